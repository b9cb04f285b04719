import { at } from "./at.js";
import { heightAt, ON_LINE } from "./grid.js";
import { enters, leaves } from "./line-ends.js";
import type { Level, Relief } from "./relief.js";

/** The highest (or lowest) found so far, handed from search to search so that each only looks for higher. */
export interface Found {
  /** m; -Infinity at first. For a search of the lowest: of the surface turned upside down. */
  z_m: number;
  /** Where, in columns and rows of the grid that was searched last and held something higher. */
  u: number;
  v: number;
  /** Whether the last search touched neither void nor edge. */
  isWhole: boolean;
  /** Share of the last line on known ground, 0–1. */
  seen_share: number;
  /** Where wanted: the stretches of the last line that are not known, as pairs of shares of its length. */
  gaps: number[] | undefined;
}

const LEAST_STEP = 1e-12;
/** A share of the way that no line comes to. */
const NEVER = 2;

/** @returns nothing found yet */
export function nothingFound(): Found {
  return {
    z_m: Number.NEGATIVE_INFINITY,
    u: Number.NaN,
    v: Number.NaN,
    isWhole: true,
    seen_share: Number.NaN,
    gaps: undefined,
  };
}

/**
 * Searches the surface along straight lines, exactly: cell by cell, on the quadratic that a bilinear cell is along a
 * line. Whole blocks that hold nothing beyond what was found are stepped over.
 *
 * A void cell is unknown, but for its edges with a known cell and its known nodes, which belong to those. Holds where a
 * search stands, so that none allocates.
 */
export class LineSearch {
  /** Rows of nodes, first and last, of the cells met since `forgetRows` that are void or have a corner beyond what was found. */
  rowFirst = 0;
  rowLast = 0;
  readonly #relief: Relief;
  #found = nothingFound();
  #sign: 1 | -1 = 1;
  // The line: where it begins, and its way, in columns and rows; t is a share of the way.
  #u0 = 0.5;
  #v0 = 0.5;
  #du = 0.5;
  #dv = 0.5;
  #perU = 0.5;
  #perV = 0.5;
  #end = 0.5;
  /** Column and row beyond which no cell is. */
  #iStop = 0;
  #jStop = 0;
  // Where the search stands, and where it leaves the cell.
  #t = 0.5;
  #out = 0.5;
  #i = 0;
  #j = 0;
  // What it found.
  #best = 0.5;
  #bestT = 0.5;
  /** Share of the line in void cells. */
  #unseen = 0.5;

  constructor(relief: Relief) {
    this.#relief = relief;
  }

  forgetRows(): void {
    this.rowFirst = this.#relief.rows;
    this.rowLast = -1;
  }

  /**
   * @param points u and v by turns, in columns and rows
   * @param from where the line begins: index of its u
   * @param to where it ends
   * @param found starts as what is to be beaten, and holds the outcome
   * @param sign 1 for the highest; -1 for the lowest, the surface being turned upside down
   */
  search(points: Float64Array, from: number, to: number, found: Found, sign: 1 | -1 = 1): void {
    this.#found = found;
    this.#sign = sign;
    if (!this.#lay(points, from, to)) return;
    const start = this.#t;
    this.#walk();
    if (this.#end < 1) found.gaps?.push(this.#end, 1);
    found.seen_share = found.isWhole ? 1 : Math.min(Math.max(0, this.#end - start - this.#unseen), 1);
    if (this.#bestT < 0) return;
    found.z_m = this.#best;
    found.u = this.#u0 + this.#du * this.#bestT;
    found.v = this.#v0 + this.#dv * this.#bestT;
  }

  /** Lays the line over the grid and stands at its first cell. @returns false where it does not touch the grid */
  #lay(points: Float64Array, from: number, to: number): boolean {
    const u0 = at(points, from);
    const v0 = at(points, from + 1);
    const u1 = at(points, to);
    const v1 = at(points, to + 1);
    const { columns, rows } = this.#relief;
    const found = this.#found;
    // A billionth of a thousandth of a cell is no slant, and its reciprocal no number.
    const du = Math.abs(u1 - u0) < LEAST_STEP ? 0 : u1 - u0;
    const dv = Math.abs(v1 - v0) < LEAST_STEP ? 0 : v1 - v0;
    const start = Math.max(0, enters(u0, du, columns - 1), enters(v0, dv, rows - 1));
    const end = Math.min(1, leaves(u0, du, columns - 1), leaves(v0, dv, rows - 1));
    found.isWhole = start === 0 && end === 1;
    found.seen_share = 0;
    if (!(start <= end)) {
      found.gaps?.push(0, 1);
      return false;
    }
    if (start > 0) found.gaps?.push(0, start);
    this.#u0 = u0;
    this.#v0 = v0;
    this.#du = du;
    this.#dv = dv;
    this.#perU = 1 / du;
    this.#perV = 1 / dv;
    this.#end = end;
    this.#iStop = du > 0 ? columns - 2 : 0;
    this.#jStop = dv > 0 ? rows - 2 : 0;
    this.#t = start;
    this.#i = clamp(Math.floor(u0 + du * start), 0, columns - 2);
    this.#j = clamp(Math.floor(v0 + dv * start), 0, rows - 2);
    this.#best = found.z_m;
    this.#bestT = -1;
    this.#unseen = 0;
    return true;
  }

  #beat(z: number, t: number): void {
    if (!(z > this.#best)) return;
    this.#best = z;
    this.#bestT = t;
  }

  #walk(): void {
    const { blocks, superblocks } = this.#relief;
    do {
      if (!this.#isBeaten(blocks)) this.#searchBlock();
      else this.#stepOver(this.#isBeaten(superblocks) ? superblocks.shift : blocks.shift);
    } while (this.#t < this.#end);
  }

  /** Whether the block round the cell is known and holds nothing beyond what was found. */
  #isBeaten({ shift, columns, highest_m, lowest_m, hasVoid }: Level): boolean {
    const block = (this.#j >> shift) * columns + (this.#i >> shift);
    const most_m = this.#sign === 1 ? at(highest_m, block) : -at(lowest_m, block);
    return most_m <= this.#best && hasVoid[block] === 0;
  }

  /** Steps to where the line leaves the block of 1 << shift cells, and into the next one. */
  #stepOver(shift: number): void {
    const { columns, rows } = this.#relief;
    const du = this.#du;
    const dv = this.#dv;
    const iLow = (this.#i >> shift) << shift;
    const jLow = (this.#j >> shift) << shift;
    const size = 1 << shift;
    const iEdge = du > 0 ? iLow + size : iLow;
    const jEdge = dv > 0 ? jLow + size : jLow;
    const tU = du === 0 || iEdge <= 0 || iEdge > columns - 2 ? NEVER : (iEdge - this.#u0) * this.#perU;
    const tV = dv === 0 || jEdge <= 0 || jEdge > rows - 2 ? NEVER : (jEdge - this.#v0) * this.#perV;
    const out = between(this.#t, tU < tV ? tU : tV, this.#end);
    this.#t = out;
    if (tU <= tV) {
      this.#i = du > 0 ? iEdge : iEdge - 1;
      this.#j = clamp(Math.floor(this.#v0 + dv * out), jLow, Math.min(jLow + size - 1, rows - 2));
    } else {
      this.#j = dv > 0 ? jEdge : jEdge - 1;
      this.#i = clamp(Math.floor(this.#u0 + du * out), iLow, Math.min(iLow + size - 1, columns - 2));
    }
  }

  /** Searches cell by cell to where the line leaves the block, and steps into the next one. */
  #searchBlock(): void {
    const { blocks, heights_m, columns } = this.#relief;
    const { shift } = blocks;
    const sign = this.#sign;
    const du = this.#du;
    const dv = this.#dv;
    const u0 = this.#u0;
    const v0 = this.#v0;
    const perU = this.#perU;
    const perV = this.#perV;
    const end = this.#end;
    let i = this.#i;
    let j = this.#j;
    const iLast = this.#iStop;
    const jLast = this.#jStop;
    // Out of the grid's last cells a line goes nowhere: its end is where the grid ends.
    const iStop = du === 0 ? i : iLast;
    const jStop = dv === 0 ? j : jLast;
    const iBlock = i >> shift;
    const jBlock = j >> shift;
    let t = this.#t;
    let best = this.#best;
    do {
      const tU = i === iStop ? NEVER : ((du > 0 ? i + 1 : i) - u0) * perU;
      const tV = j === jStop ? NEVER : ((dv > 0 ? j + 1 : j) - v0) * perV;
      const out = between(t, tU < tV ? tU : tV, end);
      const k = j * columns + i;
      const isBeaten =
        sign * at(heights_m, k) <= best &&
        sign * at(heights_m, k + 1) <= best &&
        sign * at(heights_m, k + columns) <= best &&
        sign * at(heights_m, k + columns + 1) <= best;
      if (!isBeaten) {
        this.#t = t;
        this.#out = out;
        this.#searchCell(i, j);
        best = this.#best;
      }
      t = out;
      if (tU <= tV) i += du > 0 ? 1 : -1;
      else j += dv > 0 ? 1 : -1;
    } while (t < end && i >> shift === iBlock && j >> shift === jBlock);
    this.#i = i;
    this.#j = j;
    this.#t = t;
  }

  /** Searches the part of the line in one cell: there it is z + slope·s + bend·s², s from 0 to the way out. */
  #searchCell(i: number, j: number): void {
    if (j < this.rowFirst) this.rowFirst = j;
    if (j >= this.rowLast) this.rowLast = j + 1;
    const { heights_m, columns } = this.#relief;
    const sign = this.#sign;
    const k = j * columns + i;
    const z00 = sign * at(heights_m, k);
    const z10 = sign * at(heights_m, k + 1);
    const z01 = sign * at(heights_m, k + columns);
    const twist = sign * at(heights_m, k + columns + 1) - z10 - z01 + z00;
    if (Number.isNaN(twist)) {
      this.#searchVoid();
      return;
    }
    const du = this.#du;
    const dv = this.#dv;
    const t = this.#t;
    const x = this.#u0 + du * t - i;
    const y = this.#v0 + dv * t - j;
    const length = this.#out - t;
    const z = z00 + (z10 - z00) * x + (z01 - z00) * y + twist * x * y;
    const slope = (z10 - z00) * du + (z01 - z00) * dv + twist * (x * dv + y * du);
    const bend = twist * du * dv;
    const vertex = bend < 0 ? -slope / (2 * bend) : -1;
    const s = vertex > 0 && vertex < length ? vertex : slope * length + bend * length * length > 0 ? length : 0;
    this.#beat(z + (slope + bend * s) * s, t + s);
  }

  /** A line along the edge of a void lies on the known cell beside it. */
  #searchVoid(): void {
    const t = this.#t;
    const out = this.#out;
    const from = this.#sign * this.#alongEdge(t);
    const to = this.#sign * this.#alongEdge(out);
    this.#found.isWhole = false;
    this.#beat(from, t);
    this.#beat(to, out);
    if (!Number.isNaN(from + to)) return;
    this.#unseen += out - t;
    if (out > t) this.#found.gaps?.push(t, out);
  }

  /** Height on a line that runs along a grid line, NaN for any other. */
  #alongEdge(t: number): number {
    const isAlong = Math.abs(this.#du) <= ON_LINE || Math.abs(this.#dv) <= ON_LINE;
    return isAlong ? heightAt(this.#relief, this.#u0 + this.#du * t, this.#v0 + this.#dv * t) : Number.NaN;
  }
}

/** @returns the first of two shares of the way that a line may end at, never before where it stands */
function between(t: number, edge: number, end: number): number {
  const out = edge < end ? edge : end;
  return out > t ? out : t;
}

function clamp(value: number, low: number, high: number): number {
  return value < low ? low : value > high ? high : value;
}
