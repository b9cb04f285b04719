import { at } from "./at.js";
import type { Nodes } from "./grid.js";
import type { Pair } from "./placement.js";

/** On a surface a person stands on the lowest within it, since a tree there must not lift the path. */
export const STANDING_WITHIN_M = 15;

/**
 * The lowest of a spot itself and the nodes within 15 m: no bilinear patch is lower than its nodes, and what lies
 * between those within reach and those beyond is left out, so that the true lowest is at most this.
 * @param cell the spot, in columns and rows
 * @param cellSize_m of a cell, there
 * @param atSpot_m the surface at the spot
 */
export function lowestAround(nodes: Nodes, cell: Pair, cellSize_m: Pair, atSpot_m: number): number {
  const u = at(cell, 0);
  const v = at(cell, 1);
  const perU_m = at(cellSize_m, 0);
  const perV_m = at(cellSize_m, 1);
  const reachV = STANDING_WITHIN_M / perV_m;
  let lowest_m = atSpot_m;
  for (let j = Math.max(0, Math.ceil(v - reachV)); j <= Math.min(nodes.rows - 1, Math.floor(v + reachV)); j += 1) {
    const reachU = Math.sqrt(Math.max(0, STANDING_WITHIN_M ** 2 - ((j - v) * perV_m) ** 2)) / perU_m;
    const last = Math.min(nodes.columns - 1, Math.floor(u + reachU));
    for (let i = Math.max(0, Math.ceil(u - reachU)); i <= last; i += 1) {
      const z_m = at(nodes.heights_m, j * nodes.columns + i);
      if (z_m < lowest_m) lowest_m = z_m;
    }
  }
  return lowest_m;
}
