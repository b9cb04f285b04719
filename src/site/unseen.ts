import { at } from "./at.js";
import type { Relief } from "./relief.js";

/**
 * The parts of a convex polygon that a grid does not know: what lies off it, and its void cells.
 * @param corners u and v by turns, in columns and rows
 * @returns convex polygons in the same coordinates
 */
export function unseenParts(relief: Relief, corners: Float64Array): Float64Array[] {
  const { columns, rows } = relief;
  const south = clip(corners, 1, 0, -1);
  const north = clip(corners, 1, rows - 1, 1);
  const between = clip(clip(corners, 1, 0, 1), 1, rows - 1, -1);
  const west = clip(between, 0, 0, -1);
  const east = clip(between, 0, columns - 1, 1);
  const inside = clip(clip(between, 0, 0, 1), 0, columns - 1, -1);
  return [south, north, west, east, ...voidRuns(relief, inside)].filter((part) => part.length >= 6);
}

/** Void cells in a row that adjoin are one run. */
function voidRuns(relief: Relief, inside: Float64Array): Float64Array[] {
  const runs: Float64Array[] = [];
  const [vLow, vHigh] = reach(inside, 1);
  for (let j = Math.max(0, Math.floor(vLow)); j <= Math.min(relief.rows - 2, Math.floor(vHigh)); j += 1) {
    const band = clip(clip(inside, 1, j, 1), 1, j + 1, -1);
    const [uLow, uHigh] = reach(band, 0);
    const last = Math.min(relief.columns - 2, Math.floor(uHigh));
    let start = -1;
    for (let i = Math.max(0, Math.floor(uLow)); i <= last + 1; i += 1) {
      const isVoid = i <= last && isUnknown(relief, i, j);
      if (isVoid && start < 0) start = i;
      if (isVoid || start < 0) continue;
      runs.push(clip(clip(band, 0, start, 1), 0, i, -1));
      start = -1;
    }
  }
  return runs;
}

/** @returns least and greatest coordinate of the corners; Infinity and -Infinity for none */
function reach(corners: Float64Array, axis: 0 | 1): [number, number] {
  const values = corners.filter((_, k) => k % 2 === axis);
  return [Math.min(...values), Math.max(...values)];
}

function isUnknown({ columns, heights_m }: Relief, i: number, j: number): boolean {
  const k = j * columns + i;
  return [k, k + 1, k + columns, k + columns + 1].some((node) => Number.isNaN(at(heights_m, node)));
}

/**
 * The part of a convex polygon on one side of a line of constant u or v.
 * @param axis 0: u; 1: v
 * @param side 1 keeps what is at the limit or above it, -1 at it or below
 */
function clip(corners: Float64Array, axis: 0 | 1, limit: number, side: 1 | -1): Float64Array {
  const kept: number[] = [];
  const last = corners.length - 2;
  for (let a = last, b = 0; b <= last; a = b, b += 2) {
    const outA = side * (at(corners, a + axis) - limit);
    const outB = side * (at(corners, b + axis) - limit);
    if (outA >= 0 !== outB >= 0) {
      const t = outA / (outA - outB);
      for (const k of [0, 1]) kept.push(at(corners, a + k) + t * (at(corners, b + k) - at(corners, a + k)));
    }
    if (outB >= 0) kept.push(at(corners, b), at(corners, b + 1));
  }
  return Float64Array.from(kept);
}
