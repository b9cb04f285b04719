export function randomOf(seed: number): () => number;
export function randomCsv(seed: number, rows: number): Uint8Array;
