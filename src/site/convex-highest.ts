import { at } from "./at.js";
import { type Found, LineSearch } from "./line-highest.js";
import type { Relief } from "./relief.js";

/** Rows: an edge that rises less lies in a row whole; its slant would be no number. */
const LEAST_RISE = 1e-12;

/** Numbers kept of an edge: its lowest and highest row, where it begins (column, row), its last column, columns a row. */
const EDGE = 6;

/** A search of convex polygons, one after another; holds what it needs, so that no search allocates. */
export class ConvexSearch {
  readonly #relief: Relief;
  readonly #lines: LineSearch;
  #edges = new Float64Array(0);
  // Where the part of the polygon that is looked at begins and ends, in columns.
  #from = 0.5;
  #to = 0.5;

  constructor(relief: Relief) {
    this.#relief = relief;
    this.#lines = new LineSearch(relief);
  }

  /**
   * Searches the surface in a convex polygon, edges included, exactly: a bilinear patch is highest on its rim, so that
   * the polygon's edges and the nodes inside it decide. Blocks that are not higher than what was found are skipped.
   * @param corners u and v by turns, in columns and rows, going round either way
   * @param found starts as what is to be beaten, and holds the outcome; its share and gaps say nothing here
   */
  search(corners: Float64Array, found: Found): void {
    const { blocks, rows } = this.#relief;
    const { shift } = blocks;
    let isWhole = true;
    let low = Infinity;
    let high = -Infinity;
    const last = corners.length - 2;
    for (let a = last, b = 0; b <= last; a = b, b += 2) {
      const v = at(corners, b + 1);
      this.#lines.search(at(corners, a), at(corners, a + 1), at(corners, b), v, found);
      isWhole &&= found.isWhole;
      low = Math.min(low, v);
      high = Math.max(high, v);
    }
    found.isWhole = isWhole;
    this.#setEdges(corners);
    const rowLast = Math.min(rows - 1, Math.floor(high));
    for (let row = Math.max(0, Math.ceil(low)); row <= rowLast; row = ((row >> shift) + 1) << shift) {
      this.#searchRows(row, Math.min(rowLast, (((row >> shift) + 1) << shift) - 1), found);
    }
  }

  /** Nodes of the rows of one row of blocks; where no block in reach is higher than what was found, none is looked at. */
  #searchRows(rowFirst: number, rowLast: number, found: Found): void {
    const { blocks, columns } = this.#relief;
    this.#span(rowFirst, rowLast);
    const first = Math.max(0, Math.ceil(this.#from));
    const last = Math.min(columns - 1, Math.floor(this.#to));
    const blockRow = Math.min(rowFirst >> blocks.shift, blocks.rows - 1) * blocks.columns;
    for (let left = first; left <= last; left = ((left >> blocks.shift) + 1) << blocks.shift) {
      const block = blockRow + Math.min(left >> blocks.shift, blocks.columns - 1);
      if (at(blocks.highest_m, block) <= found.z_m && blocks.hasVoid[block] === 0) continue;
      const right = Math.min(last, (((left >> blocks.shift) + 1) << blocks.shift) - 1);
      for (let row = rowFirst; row <= rowLast; row += 1) this.#searchRow(row, left, right, found);
    }
  }

  #searchRow(row: number, left: number, right: number, found: Found): void {
    const { heights_m, columns } = this.#relief;
    this.#span(row, row);
    const last = Math.min(right, Math.floor(this.#to));
    for (let i = Math.max(left, Math.ceil(this.#from)); i <= last; i += 1) {
      const z = at(heights_m, row * columns + i);
      if (z > found.z_m) {
        found.z_m = z;
        found.u = i;
        found.v = row;
      } else if (Number.isNaN(z)) found.isWhole = false;
    }
  }

  /** Notes the edges of the polygon, so that no row works them out again. */
  #setEdges(corners: Float64Array): void {
    if (this.#edges.length !== 3 * corners.length) this.#edges = new Float64Array(3 * corners.length);
    const edges = this.#edges;
    const last = corners.length - 2;
    for (let a = last, b = 0, e = 0; b <= last; a = b, b += 2, e += EDGE) {
      const ua = at(corners, a);
      const va = at(corners, a + 1);
      const ub = at(corners, b);
      const vb = at(corners, b + 1);
      edges[e] = Math.min(va, vb);
      edges[e + 1] = Math.max(va, vb);
      edges[e + 2] = ua;
      edges[e + 3] = va;
      edges[e + 4] = ub;
      edges[e + 5] = Math.abs(vb - va) <= LEAST_RISE ? Number.NaN : (ub - ua) / (vb - va);
    }
  }

  /** Writes where the part of the polygon between two rows begins and ends; the wrong way round where it is none. */
  #span(vLow: number, vHigh: number): void {
    const edges = this.#edges;
    let from = Infinity;
    let to = -Infinity;
    for (let e = 0; e < edges.length; e += EDGE) {
      const low = at(edges, e);
      const high = at(edges, e + 1);
      if (high < vLow || low > vHigh) continue;
      // The part of the edge that is between the rows, from its lower to its upper end.
      const ua = at(edges, e + 2);
      const va = at(edges, e + 3);
      const slant = at(edges, e + 5);
      const isLevel = Number.isNaN(slant);
      const u1 = isLevel ? ua : ua + ((vLow > low ? vLow : low) - va) * slant;
      const u2 = isLevel ? at(edges, e + 4) : ua + ((vHigh < high ? vHigh : high) - va) * slant;
      from = Math.min(from, u1, u2);
      to = Math.max(to, u1, u2);
    }
    this.#from = from;
    this.#to = to;
  }
}
