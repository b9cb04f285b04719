import { at } from "./at.js";
import { type Found, LineSearch } from "./line-highest.js";
import type { Relief } from "./relief.js";

/**
 * Searches the surface in a polygon of any shape, exactly: its edges and the nodes inside it. Not for every moment: no
 * block is skipped.
 * @param rings columns and rows by turns, closed, holes after the outer one
 * @param found starts as what is to be beaten, and holds the outcome
 * @param sign 1 for the highest, -1 for the lowest
 */
export function highestInRings(relief: Relief, rings: readonly Float64Array[], found: Found, sign: 1 | -1): void {
  const lines = new LineSearch(relief);
  let isWhole = true;
  for (const ring of rings) {
    for (let k = 0; k + 3 < ring.length; k += 2) {
      lines.search(ring, k, k + 2, found, sign);
      isWhole &&= found.isWhole;
    }
  }
  found.isWhole = isWhole;
  const v = rings.flatMap((ring) => Array.from(ring)).filter((_, k) => k % 2 === 1);
  const last = Math.min(relief.rows - 1, Math.floor(v.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)));
  for (
    let j = Math.max(0, Math.ceil(v.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)));
    j <= last;
    j += 1
  ) {
    const crossings = crossingsOf(rings, j);
    for (let k = 0; k + 1 < crossings.length; k += 2) {
      nodesBetween(
        relief,
        j,
        crossings[k] ?? Number.POSITIVE_INFINITY,
        crossings[k + 1] ?? Number.NEGATIVE_INFINITY,
        found,
        sign,
      );
    }
  }
}

/** @returns where a row of nodes goes in and out of the polygon by turns, in rising order */
function crossingsOf(rings: readonly Float64Array[], row: number): number[] {
  const crossings: number[] = [];
  for (const ring of rings) {
    for (let k = 0; k + 3 < ring.length; k += 2) {
      const va = at(ring, k + 1);
      const vb = at(ring, k + 3);
      if (va > row === vb > row) continue;
      const ua = at(ring, k);
      crossings.push(ua + ((row - va) / (vb - va)) * (at(ring, k + 2) - ua));
    }
  }
  return crossings.sort((a, b) => a - b);
}

function nodesBetween(relief: Relief, row: number, from: number, to: number, found: Found, sign: 1 | -1): void {
  for (let i = Math.max(0, Math.ceil(from)); i <= Math.min(relief.columns - 1, Math.floor(to)); i += 1) {
    const z = sign * at(relief.heights_m, row * relief.columns + i);
    if (Number.isNaN(z)) found.isWhole = false;
    else if (z > found.z_m) {
      found.z_m = z;
      found.u = i;
      found.v = row;
    }
  }
}
