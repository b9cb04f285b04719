import { at } from "./at.js";
import { heightAt, ON_LINE } from "./grid.js";
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
 * Searches the surface along a straight line, exactly: cell by cell, on the quadratic that a bilinear cell is along a
 * line. Whole blocks that are not higher than what was found are stepped over.
 *
 * A void cell is unknown, but for its edges with a known cell and its known nodes, which belong to those.
 * @param found starts as what is to be beaten, and holds the outcome
 * @param sign 1 for the highest; -1 for the lowest, which no block can be skipped for
 */
export function highestOnLine(
  relief: Relief,
  u0: number,
  v0: number,
  u1: number,
  v1: number,
  found: Found,
  sign: 1 | -1 = 1,
): void {
  const { heights_m, columns, rows, blocks, superblocks } = relief;
  // A billionth of a thousandth of a cell is no slant, and its reciprocal no number.
  const du = Math.abs(u1 - u0) < LEAST_STEP ? 0 : u1 - u0;
  const dv = Math.abs(v1 - v0) < LEAST_STEP ? 0 : v1 - v0;
  const start = Math.max(0, enters(u0, du, columns - 1), enters(v0, dv, rows - 1));
  const end = Math.min(1, leaves(u0, du, columns - 1), leaves(v0, dv, rows - 1));
  found.isWhole = start === 0 && end === 1;
  found.seen_share = 0;
  if (!(start <= end)) {
    found.gaps?.push(0, 1);
    return;
  }
  if (start > 0) found.gaps?.push(0, start);
  const iLast = columns - 2;
  const jLast = rows - 2;
  const iStop = du > 0 ? iLast : 0;
  const jStop = dv > 0 ? jLast : 0;
  const perU = 1 / du;
  const perV = 1 / dv;
  let best = found.z_m;
  let bestT = -1;
  let seen = 0;
  if (best === Number.NEGATIVE_INFINITY && sign === 1) {
    // What is known at both ends lets lower blocks be stepped over from the first one on.
    const from = heightAt(relief, u0 + du * start, v0 + dv * start);
    const to = heightAt(relief, u0 + du * end, v0 + dv * end);
    if (from > best) {
      best = from;
      bestT = start;
    }
    if (to > best) {
      best = to;
      bestT = end;
    }
  }
  let t = start;
  let i = clamp(Math.floor(u0 + du * t), 0, iLast);
  let j = clamp(Math.floor(v0 + dv * t), 0, jLast);
  let blockBefore = -1;
  for (;;) {
    const block = (j >> blocks.shift) * blocks.columns + (i >> blocks.shift);
    if (block !== blockBefore && sign === 1) {
      blockBefore = block;
      if (at(blocks.highest_m, block) <= best && blocks.hasVoid[block] === 0) {
        const { shift } = liftable(superblocks, i, j, best) ? superblocks : blocks;
        const iEdge = du > 0 ? ((i >> shift) + 1) << shift : (i >> shift) << shift;
        const jEdge = dv > 0 ? ((j >> shift) + 1) << shift : (j >> shift) << shift;
        const tU = du === 0 || iEdge <= 0 || iEdge > iLast ? Infinity : (iEdge - u0) * perU;
        const tV = dv === 0 || jEdge <= 0 || jEdge > jLast ? Infinity : (jEdge - v0) * perV;
        const out = Math.max(t, Math.min(tU, tV, end));
        seen += out - t;
        t = out;
        if (t >= end) break;
        const iLow = (i >> shift) << shift;
        const jLow = (j >> shift) << shift;
        if (tU <= tV) {
          i = du > 0 ? iEdge : iEdge - 1;
          j = clamp(Math.floor(v0 + dv * t), jLow, Math.min(jLow + (1 << shift) - 1, jLast));
        } else {
          j = dv > 0 ? jEdge : jEdge - 1;
          i = clamp(Math.floor(u0 + du * t), iLow, Math.min(iLow + (1 << shift) - 1, iLast));
        }
        continue;
      }
    }
    // Out of the grid's last cells a line goes nowhere: its end is where the grid ends.
    const tU = i === iStop || du === 0 ? Infinity : ((du > 0 ? i + 1 : i) - u0) * perU;
    const tV = j === jStop || dv === 0 ? Infinity : ((dv > 0 ? j + 1 : j) - v0) * perV;
    const out = Math.max(t, Math.min(tU, tV, end));
    const k = j * columns + i;
    const z00 = sign * at(heights_m, k);
    const z10 = sign * at(heights_m, k + 1);
    const z01 = sign * at(heights_m, k + columns);
    const z11 = sign * at(heights_m, k + columns + 1);
    if (z00 > best || z10 > best || z01 > best || z11 > best || z00 + z10 + z01 + z11 !== z00 + z10 + z01 + z11) {
      const x = u0 + du * t - i;
      const y = v0 + dv * t - j;
      const twist = z11 - z10 - z01 + z00;
      const z = z00 + (z10 - z00) * x + (z01 - z00) * y + twist * x * y;
      if (Number.isNaN(twist)) {
        // A line along the edge of a void lies on the known cell beside it.
        const from = sign * alongEdge(relief, u0, v0, du, dv, t);
        const to = sign * alongEdge(relief, u0, v0, du, dv, out);
        found.isWhole = false;
        if (from > best) {
          best = from;
          bestT = t;
        }
        if (to > best) {
          best = to;
          bestT = out;
        }
        if (Number.isNaN(from + to)) {
          if (out > t) found.gaps?.push(t, out);
        } else seen += out - t;
      } else {
        // Along the line: z + slope·s + bend·s², s from 0 to the way out.
        const slope = (z10 - z00) * du + (z01 - z00) * dv + twist * (x * dv + y * du);
        const bend = twist * du * dv;
        const length = out - t;
        const vertex = bend < 0 ? -slope / (2 * bend) : -1;
        const s = vertex > 0 && vertex < length ? vertex : slope * length + bend * length * length > 0 ? length : 0;
        const top = z + (slope + bend * s) * s;
        if (top > best) {
          best = top;
          bestT = t + s;
        }
        seen += length;
      }
    } else seen += out - t;
    t = out;
    if (t >= end) break;
    if (tU <= tV) i += du > 0 ? 1 : -1;
    else j += dv > 0 ? 1 : -1;
  }
  if (end < 1) found.gaps?.push(end, 1);
  found.seen_share = found.isWhole ? 1 : Math.min(seen, 1);
  if (bestT < 0) return;
  found.z_m = best;
  found.u = u0 + du * bestT;
  found.v = v0 + dv * bestT;
}

/** Share of the way at which a coordinate comes to be within 0 to `last`; above 1 where it never is. */
function enters(from: number, step: number, last: number): number {
  if (isWithin(from, last)) return 0;
  const t = (from < 0 ? -from : last - from) / step;
  if (isWithin(from + step, last)) return Math.min(1, t);
  return t >= 0 ? t : 2;
}

/** Share of the way at which it ceases to be; below 0 where it never was. */
function leaves(from: number, step: number, last: number): number {
  const to = from + step;
  if (isWithin(to, last)) return 1;
  const t = (to < 0 ? -from : last - from) / step;
  return isWithin(from, last) ? Math.max(0, t) : t;
}

function isWithin(value: number, last: number): boolean {
  return value >= -ON_LINE && value <= last + ON_LINE;
}

function clamp(value: number, low: number, high: number): number {
  return value < low ? low : value > high ? high : value;
}

/** Whether the block of blocks round a cell can be stepped over too. */
function liftable(level: Level, i: number, j: number, best: number): boolean {
  const block = (j >> level.shift) * level.columns + (i >> level.shift);
  return at(level.highest_m, block) <= best && level.hasVoid[block] === 0;
}

/** Height on a line that runs along a grid line, NaN for any other. */
function alongEdge(relief: Relief, u0: number, v0: number, du: number, dv: number, t: number): number {
  const isAlong = Math.abs(du) <= ON_LINE || Math.abs(dv) <= ON_LINE;
  return isAlong ? heightAt(relief, u0 + du * t, v0 + dv * t) : Number.NaN;
}
