import { at } from "./at.js";
import { type Found, LineSearch } from "./line-highest.js";
import type { Relief } from "./relief.js";

/** Rows: an edge that rises less lies in a row whole; its slant would be no number. */
const LEAST_RISE = 1e-12;

/** Nodes round an edge that are looked at before it is searched: as many as cost less than to begin a search. */
const FEW_NODES = 16;

/** Cells: in one so narrow each node is a corner of a cell that an edge goes through. 2 would do for straight sides. */
const NARROW = 1.8;
/** Cells that opposite sides may differ by. */
const EVEN = 0.05;

/** A search of convex polygons, one after another; holds what it needs, so that no search allocates. */
export class ConvexSearch {
  readonly #relief: Relief;
  readonly #lines: LineSearch;
  // First and last column of the polygon in each row of nodes; the wrong way round where it has none.
  readonly #first: Float64Array;
  readonly #last: Float64Array;

  constructor(relief: Relief) {
    this.#relief = relief;
    this.#lines = new LineSearch(relief);
    this.#first = new Float64Array(relief.rows);
    this.#last = new Float64Array(relief.rows);
  }

  /**
   * Searches the surface in a convex polygon, edges included, exactly: a bilinear patch is highest on its rim, so that
   * the polygon's edges and the nodes inside it decide. Blocks that are not higher than what was found are skipped.
   * @param corners u and v by turns, in columns and rows, going round either way
   * @param found starts as what is to be beaten, and holds the outcome; its share and gaps say nothing here
   */
  search(corners: Float64Array, found: Found): void {
    const lines = this.#lines;
    lines.forgetRows();
    let isWhole = true;
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    const end = corners.length - 2;
    for (let a = end, b = 0; b <= end; a = b, b += 2) {
      const ua = at(corners, a);
      const va = at(corners, a + 1);
      const ub = at(corners, b);
      const vb = at(corners, b + 1);
      if (!this.#isBeaten(ua, va, ub, vb, found.z_m)) {
        lines.search(corners, a, b, found);
        isWhole &&= found.isWhole;
      }
      low = Math.min(low, vb);
      high = Math.max(high, vb);
    }
    found.isWhole = isWhole;
    const isNarrow = isWhole && isNarrowBox(corners);
    const rowFirst = Math.max(isNarrow ? lines.rowFirst : 0, Math.ceil(low));
    const rowLast = Math.min(isNarrow ? lines.rowLast : this.#relief.rows - 1, Math.floor(high));
    if (rowFirst <= rowLast) this.#searchNodes(corners, rowFirst, rowLast, found);
  }

  /** Whether all nodes round a short edge are known, and none is higher than what was found. */
  #isBeaten(ua: number, va: number, ub: number, vb: number, found_m: number): boolean {
    const { columns, rows, heights_m } = this.#relief;
    const west = Math.floor(ua < ub ? ua : ub);
    const south = Math.floor(va < vb ? va : vb);
    const east = Math.ceil(ua < ub ? ub : ua);
    const north = Math.ceil(va < vb ? vb : va);
    if (!((east - west + 1) * (north - south + 1) <= FEW_NODES)) return false;
    if (west < 0 || south < 0 || east >= columns || north >= rows) return false;
    for (let row = south * columns; row <= north * columns; row += columns) {
      for (let k = row + west; k <= row + east; k += 1) {
        if (!(at(heights_m, k) <= found_m)) return false;
      }
    }
    return true;
  }

  #searchNodes(corners: Float64Array, rowFirst: number, rowLast: number, found: Found): void {
    const { shift } = this.#relief.blocks;
    this.#setSpans(corners, rowFirst, rowLast);
    for (let row = rowFirst; row <= rowLast; row = ((row >> shift) + 1) << shift) {
      this.#searchRows(row, Math.min(rowLast, (((row >> shift) + 1) << shift) - 1), found);
    }
  }

  /**
   * Notes which columns of each row of nodes are in the polygon: between the edges that rise and those that fall. Nodes on
   * its edges may be left out, for the edges were searched.
   */
  #setSpans(corners: Float64Array, rowFirst: number, rowLast: number): void {
    const first = this.#first;
    const last = this.#last;
    for (let row = rowFirst; row <= rowLast; row += 1) {
      first[row] = Number.POSITIVE_INFINITY;
      last[row] = Number.NEGATIVE_INFINITY;
    }
    const isLeftwards = turnsLeft(corners);
    const end = corners.length - 2;
    for (let a = end, b = 0; b <= end; a = b, b += 2) {
      const ua = at(corners, a);
      const va = at(corners, a + 1);
      const rise = at(corners, b + 1) - va;
      if (Math.abs(rise) <= LEAST_RISE) continue;
      const slant = (at(corners, b) - ua) / rise;
      const low = Math.max(rowFirst, Math.ceil(rise > 0 ? va : va + rise));
      const high = Math.min(rowLast, Math.floor(rise > 0 ? va + rise : va));
      if (rise > 0 === isLeftwards) {
        for (let row = low; row <= high; row += 1) last[row] = Math.floor(ua + (row - va) * slant);
      } else {
        for (let row = low; row <= high; row += 1) first[row] = Math.ceil(ua + (row - va) * slant);
      }
    }
  }

  /** Nodes of the rows of one row of blocks; where no block in reach is higher than what was found, none is looked at. */
  #searchRows(rowFirst: number, rowLast: number, found: Found): void {
    const { blocks, columns } = this.#relief;
    let first = Number.POSITIVE_INFINITY;
    let last = Number.NEGATIVE_INFINITY;
    for (let row = rowFirst; row <= rowLast; row += 1) {
      first = Math.min(first, at(this.#first, row));
      last = Math.max(last, at(this.#last, row));
    }
    first = Math.max(0, first);
    last = Math.min(columns - 1, last);
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
    const to = Math.min(right, at(this.#last, row));
    for (let i = Math.max(left, at(this.#first, row)); i <= to; i += 1) {
      const z = at(heights_m, row * columns + i);
      if (z > found.z_m) {
        found.z_m = z;
        found.u = i;
        found.v = row;
      } else if (Number.isNaN(z)) found.isWhole = false;
    }
  }
}

/**
 * Whether a polygon is a parallelogram, or nearly, that all grid lines of one direction cross in less than two cells. Then
 * of a node inside an edge crosses the grid line less than a cell away, in a cell that has it as a corner.
 */
function isNarrowBox(corners: Float64Array): boolean {
  if (corners.length !== 8) return false;
  const au = at(corners, 2) - at(corners, 0);
  const av = at(corners, 3) - at(corners, 1);
  const bu = at(corners, 4) - at(corners, 2);
  const bv = at(corners, 5) - at(corners, 3);
  if (Math.abs(at(corners, 6) - at(corners, 0) - bu) > EVEN) return false;
  if (Math.abs(at(corners, 7) - at(corners, 1) - bv) > EVEN) return false;
  const longest = Math.max(Math.abs(au), Math.abs(av), Math.abs(bu), Math.abs(bv));
  return Math.abs(au * bv - av * bu) <= NARROW * longest;
}

/** Whether a polygon goes round leftwards, its rising edges being the eastern ones. */
function turnsLeft(corners: Float64Array): boolean {
  let area = 0;
  const u = at(corners, 0);
  const v = at(corners, 1);
  for (let k = 2; k + 3 < corners.length; k += 2) {
    area += (at(corners, k) - u) * (at(corners, k + 3) - v) - (at(corners, k + 2) - u) * (at(corners, k + 1) - v);
  }
  return area > 0;
}
