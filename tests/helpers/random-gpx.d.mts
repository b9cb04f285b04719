export function randomGpx(seed: number, points: number): Uint8Array;
