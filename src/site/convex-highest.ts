import { type Found, highestOnLine } from "./line-highest.js";
import type { Relief } from "./relief.js";

/**
 * Searches the surface in a convex polygon, edges included, exactly: a bilinear patch is highest on its rim, so that
 * the polygon's edges and the nodes inside it decide. Blocks that are not higher than what was found are skipped.
 * @param corners u and v by turns, in columns and rows, going round either way
 * @param found starts as what is to be beaten, and holds the outcome; its share and gaps say nothing here
 */
export function highestInConvex(relief: Relief, corners: Float64Array, found: Found): void {
  let isWhole = true;
  let low = Infinity;
  let high = -Infinity;
  const last = corners.length - 2;
  for (let a = last, b = 0; b <= last; a = b, b += 2) {
    const v = corners[b + 1] ?? 0;
    highestOnLine(relief, corners[a] ?? 0, corners[a + 1] ?? 0, corners[b] ?? 0, v, found);
    isWhole &&= found.isWhole;
    low = Math.min(low, v);
    high = Math.max(high, v);
  }
  found.isWhole = isWhole;
  const rowLast = Math.min(relief.rows - 1, Math.floor(high));
  for (let j = Math.max(0, Math.ceil(low)); j <= rowLast; j += 1) highestInRow(relief, corners, j, found);
}

/** The nodes of one row; where its blocks are not higher than what was found, none is looked at. */
function highestInRow(relief: Relief, corners: Float64Array, j: number, found: Found): void {
  const { columns, heights_m, blocks } = relief;
  let from = Infinity;
  let to = -Infinity;
  const last = corners.length - 2;
  for (let a = last, b = 0; b <= last; a = b, b += 2) {
    const va = corners[a + 1] ?? 0;
    const vb = corners[b + 1] ?? 0;
    if ((va < j && vb < j) || (va > j && vb > j)) continue;
    const ua = corners[a] ?? 0;
    const ub = corners[b] ?? 0;
    const u = va === vb ? ub : ua + ((j - va) / (vb - va)) * (ub - ua);
    if (u < from) from = u;
    if (u > to) to = u;
  }
  const right = Math.min(columns - 1, Math.floor(to));
  const blockRow = Math.min(j >> blocks.shift, blocks.rows - 1) * blocks.columns;
  let best = found.z_m;
  for (let i = Math.max(0, Math.ceil(from)); i <= right;) {
    const block = blockRow + Math.min(i >> blocks.shift, blocks.columns - 1);
    const next = Math.min(right + 1, ((i >> blocks.shift) + 1) << blocks.shift);
    if (!((blocks.highest_m[block] ?? 0) <= best && blocks.hasVoid[block] === 0)) {
      for (; i < next; i += 1) {
        const z = heights_m[j * columns + i] ?? Number.NaN;
        if (z > best) {
          best = z;
          found.u = i;
          found.v = j;
        } else if (Number.isNaN(z)) found.isWhole = false;
      }
    }
    i = next;
  }
  found.z_m = best;
}
