/** @returns the page with fresh output under every command of its console blocks */
export function withOutputs(page: string): string;
