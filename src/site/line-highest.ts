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

/** @returns nothing found yet */
export function nothingFound(): Found {
  return { z_m: Number.NEGATIVE_INFINITY, u: 0, v: 0, isWhole: true, seen_share: 0, gaps: undefined };
}

/**
 * Searches the surface along straight lines, exactly: cell by cell, on the quadratic that a bilinear cell is along a
 * line. Whole blocks that hold nothing beyond what was found are stepped over.
 *
 * A void cell is unknown, but for its edges with a known cell and its known nodes, which belong to those. Holds where a
 * search stands, so that none allocates.
 */
export class LineSearch {
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
  // Where the search stands.
  #t = 0.5;
  #i = 0;
  #j = 0;
  // What it found.
  #best = 0.5;
  #bestT = 0.5;
  #seen = 0.5;

  constructor(relief: Relief) {
    this.#relief = relief;
  }

  /**
   * @param found starts as what is to be beaten, and holds the outcome
   * @param sign 1 for the highest; -1 for the lowest, the surface being turned upside down
   */
  search(u0: number, v0: number, u1: number, v1: number, found: Found, sign: 1 | -1 = 1): void {
    this.#found = found;
    this.#sign = sign;
    if (!this.#lay(u0, v0, u1, v1)) return;
    if (this.#best === Number.NEGATIVE_INFINITY && sign === 1) this.#askEnds();
    this.#walk();
    if (this.#end < 1) found.gaps?.push(this.#end, 1);
    found.seen_share = found.isWhole ? 1 : Math.min(this.#seen, 1);
    if (this.#bestT < 0) return;
    found.z_m = this.#best;
    found.u = u0 + this.#du * this.#bestT;
    found.v = v0 + this.#dv * this.#bestT;
  }

  /** Lays the line over the grid and stands at its first cell. @returns false where it does not touch the grid */
  #lay(u0: number, v0: number, u1: number, v1: number): boolean {
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
    this.#seen = 0;
    return true;
  }

  /** What is known at both ends lets lower blocks be stepped over from the first one on. */
  #askEnds(): void {
    const start = this.#t;
    this.#beat(heightAt(this.#relief, this.#u0 + this.#du * start, this.#v0 + this.#dv * start), start);
    const end = this.#end;
    this.#beat(heightAt(this.#relief, this.#u0 + this.#du * end, this.#v0 + this.#dv * end), end);
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
    const tU = du === 0 || iEdge <= 0 || iEdge > columns - 2 ? Infinity : (iEdge - this.#u0) * this.#perU;
    const tV = dv === 0 || jEdge <= 0 || jEdge > rows - 2 ? Infinity : (jEdge - this.#v0) * this.#perV;
    const out = between(this.#t, tU < tV ? tU : tV, this.#end);
    this.#seen += out - this.#t;
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
    const { shift } = this.#relief.blocks;
    const [du, dv, u0, v0] = [this.#du, this.#dv, this.#u0, this.#v0];
    const [perU, perV, end] = [this.#perU, this.#perV, this.#end];
    // Out of the grid's last cells a line goes nowhere: its end is where the grid ends.
    const iStop = du === 0 ? this.#i : this.#iStop;
    const jStop = dv === 0 ? this.#j : this.#jStop;
    const iBlock = this.#i >> shift;
    const jBlock = this.#j >> shift;
    let i = this.#i;
    let j = this.#j;
    let t = this.#t;
    do {
      const tU = i === iStop ? Infinity : ((du > 0 ? i + 1 : i) - u0) * perU;
      const tV = j === jStop ? Infinity : ((dv > 0 ? j + 1 : j) - v0) * perV;
      const out = between(t, tU < tV ? tU : tV, end);
      this.#seen += this.#searchCell(i, j, t, out);
      t = out;
      if (tU <= tV) i += du > 0 ? 1 : -1;
      else j += dv > 0 ? 1 : -1;
    } while (t < end && i >> shift === iBlock && j >> shift === jBlock);
    this.#i = i;
    this.#j = j;
    this.#t = t;
  }

  /** Searches the part of the line from `t` to `out`, which is in one cell. @returns how much of it is known */
  #searchCell(i: number, j: number, t: number, out: number): number {
    const { heights_m, columns } = this.#relief;
    const sign = this.#sign;
    const best = this.#best;
    const k = j * columns + i;
    const z00 = sign * at(heights_m, k);
    const z10 = sign * at(heights_m, k + 1);
    const z01 = sign * at(heights_m, k + columns);
    const z11 = sign * at(heights_m, k + columns + 1);
    const twist = z11 - z10 - z01 + z00;
    if (Number.isNaN(twist)) return this.#searchVoid(t, out);
    if (z00 > best || z10 > best || z01 > best || z11 > best) {
      const x = this.#u0 + this.#du * t - i;
      const y = this.#v0 + this.#dv * t - j;
      const z = z00 + (z10 - z00) * x + (z01 - z00) * y + twist * x * y;
      const slope = (z10 - z00) * this.#du + (z01 - z00) * this.#dv + twist * (x * this.#dv + y * this.#du);
      this.#searchParabola(z, slope, twist * this.#du * this.#dv, t, out);
    }
    return out - t;
  }

  /** Along the line a bilinear cell is z + slope·s + bend·s², s from 0 to the way out. */
  #searchParabola(z: number, slope: number, bend: number, t: number, out: number): void {
    const length = out - t;
    const vertex = bend < 0 ? -slope / (2 * bend) : -1;
    const s = vertex > 0 && vertex < length ? vertex : slope * length + bend * length * length > 0 ? length : 0;
    this.#beat(z + (slope + bend * s) * s, t + s);
  }

  /** A line along the edge of a void lies on the known cell beside it. @returns how much of it is known */
  #searchVoid(t: number, out: number): number {
    const from = this.#sign * this.#alongEdge(t);
    const to = this.#sign * this.#alongEdge(out);
    this.#found.isWhole = false;
    this.#beat(from, t);
    this.#beat(to, out);
    if (!Number.isNaN(from + to)) return out - t;
    if (out > t) this.#found.gaps?.push(t, out);
    return 0;
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
