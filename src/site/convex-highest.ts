import { at } from "./at.js";
import { type Found, highestOnLine } from "./line-highest.js";
import type { Relief } from "./relief.js";

/** Rows: an edge that rises less lies in a row whole; its slant would be no number. */
const LEAST_RISE = 1e-12;

/** A search of convex polygons, one after another; holds what it needs, so that no search allocates. */
export class ConvexSearch {
  // Where the part of the polygon that is looked at begins and ends, in columns.
  #from = 0.5;
  #to = 0.5;

  /**
   * Searches the surface in a convex polygon, edges included, exactly: a bilinear patch is highest on its rim, so that
   * the polygon's edges and the nodes inside it decide. Blocks that are not higher than what was found are skipped.
   * @param corners u and v by turns, in columns and rows, going round either way
   * @param found starts as what is to be beaten, and holds the outcome; its share and gaps say nothing here
   */
  search(relief: Relief, corners: Float64Array, found: Found): void {
    const { shift } = relief.blocks;
    let isWhole = true;
    let low = Infinity;
    let high = -Infinity;
    const last = corners.length - 2;
    for (let a = last, b = 0; b <= last; a = b, b += 2) {
      const v = at(corners, b + 1);
      highestOnLine(relief, at(corners, a), at(corners, a + 1), at(corners, b), v, found);
      isWhole &&= found.isWhole;
      low = Math.min(low, v);
      high = Math.max(high, v);
    }
    found.isWhole = isWhole;
    const rowLast = Math.min(relief.rows - 1, Math.floor(high));
    for (let row = Math.max(0, Math.ceil(low)); row <= rowLast; row = ((row >> shift) + 1) << shift) {
      this.#searchRows(relief, corners, row, Math.min(rowLast, (((row >> shift) + 1) << shift) - 1), found);
    }
  }

  /** Nodes of the rows of one row of blocks; where no block in reach is higher than what was found, none is looked at. */
  #searchRows(relief: Relief, corners: Float64Array, rowFirst: number, rowLast: number, found: Found): void {
    const { blocks, columns } = relief;
    this.#span(corners, rowFirst, rowLast);
    const first = Math.max(0, Math.ceil(this.#from));
    const last = Math.min(columns - 1, Math.floor(this.#to));
    const blockRow = Math.min(rowFirst >> blocks.shift, blocks.rows - 1) * blocks.columns;
    for (let left = first; left <= last; left = ((left >> blocks.shift) + 1) << blocks.shift) {
      const block = blockRow + Math.min(left >> blocks.shift, blocks.columns - 1);
      if (at(blocks.highest_m, block) <= found.z_m && blocks.hasVoid[block] === 0) continue;
      const right = Math.min(last, (((left >> blocks.shift) + 1) << blocks.shift) - 1);
      for (let row = rowFirst; row <= rowLast; row += 1) this.#searchRow(relief, corners, row, left, right, found);
    }
  }

  #searchRow(relief: Relief, corners: Float64Array, row: number, left: number, right: number, found: Found): void {
    this.#span(corners, row, row);
    const last = Math.min(right, Math.floor(this.#to));
    for (let i = Math.max(left, Math.ceil(this.#from)); i <= last; i += 1) {
      const z = at(relief.heights_m, row * relief.columns + i);
      if (z > found.z_m) {
        found.z_m = z;
        found.u = i;
        found.v = row;
      } else if (Number.isNaN(z)) found.isWhole = false;
    }
  }

  /** Writes where the part of a convex polygon between two rows begins and ends; the wrong way round where it is none. */
  #span(corners: Float64Array, vLow: number, vHigh: number): void {
    let from = Infinity;
    let to = -Infinity;
    const last = corners.length - 2;
    for (let a = last, b = 0; b <= last; a = b, b += 2) {
      const ua = at(corners, a);
      const va = at(corners, a + 1);
      const vb = at(corners, b + 1);
      if ((va < vLow && vb < vLow) || (va > vHigh && vb > vHigh)) continue;
      // The part of the edge that is between the rows, from its lower to its upper end.
      const isLevel = Math.abs(vb - va) <= LEAST_RISE;
      const slant = isLevel ? 0 : (at(corners, b) - ua) / (vb - va);
      const u1 = isLevel ? ua : ua + (Math.max(vLow, Math.min(va, vb)) - va) * slant;
      const u2 = isLevel ? at(corners, b) : ua + (Math.min(vHigh, Math.max(va, vb)) - va) * slant;
      from = Math.min(from, u1, u2);
      to = Math.max(to, u1, u2);
    }
    this.#from = from;
    this.#to = to;
  }
}
