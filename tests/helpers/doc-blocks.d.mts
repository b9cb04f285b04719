export function namedBlocks(page: string): Map<string, string>;
