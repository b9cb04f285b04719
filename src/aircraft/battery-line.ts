import type { Segment } from "../track/segments.js";

/** A reading in steps at least this coarse is judged on lines between its steps. */
const COARSE_STEP_PCT = 0.5;

/** First rows at which the reading shows a value lower than any before, and how often it rose. */
export interface Steps {
  readonly rows: readonly number[];
  readonly rises: number;
}

/**
 * @param battery_pct the reading; NaN where missing
 * @param first, @param last rows of the flight
 * @returns the rows at which a new low is first read, the first known reading included
 */
export function stepsOf(battery_pct: Float64Array, first: number, last: number): Steps {
  const rows: number[] = [];
  let lowest = Number.POSITIVE_INFINITY;
  let before = Number.NaN;
  let rises = 0;
  for (let i = first; i <= last; i += 1) {
    const reading = battery_pct[i] ?? Number.NaN;
    if (Number.isNaN(reading)) continue;
    if (reading > before) rises += 1;
    before = reading;
    if (reading >= lowest) continue;
    lowest = reading;
    rows.push(i);
  }
  return { rows, rises };
}

/** Project defaults: a reading that falls this far and is back within this time was none. */
const DROPOUT_PCT = 3;
const DROPOUT_BACK_S = 3;
const DROPOUT_SHORT_OF_PCT = 1;

/**
 * Takes out dropouts: rows where the reading falls by more than 3 % and within 3 s is back to within 1 % of where it was.
 * Without this a single odd row would stand for the rest of the flight, since rises are ignored.
 * @returns a copy with NaN in those rows of the flight, the column itself where there are none; and how many there were
 */
export function withoutDropouts(
  time_s: Float64Array,
  battery_pct: Float64Array,
  { first, last }: { readonly first: number; readonly last: number },
): { battery_pct: Float64Array; dropouts: number } {
  let out = battery_pct;
  let dropouts = 0;
  let before = -1;
  for (let i = first; i <= last; i += 1) {
    if (Number.isNaN(out[i] ?? Number.NaN)) continue;
    const from_pct = out[before] ?? Number.NaN;
    if (from_pct - (out[i] ?? 0) > DROPOUT_PCT) {
      let back = i;
      const until_s = (time_s[before] ?? 0) + DROPOUT_BACK_S;
      const isInTime = (row: number): boolean => row <= last && (time_s[row] ?? 0) <= until_s;
      const isBack = (row: number): boolean => (battery_pct[row] ?? Number.NaN) >= from_pct - DROPOUT_SHORT_OF_PCT;
      while (isInTime(back) && !isBack(back)) back += 1;
      if (isInTime(back)) {
        if (out === battery_pct) out = battery_pct.slice();
        out.fill(Number.NaN, i, back);
        dropouts += 1;
        i = back;
      }
    }
    before = i;
  }
  return { battery_pct: out, dropouts };
}

/**
 * The battery at each moment as it is judged: never above the reading, a rise ignored; a coarse reading on straight lines
 * between the first rows of its values, since a reading of 1 % steps is up to 1 % too high just before each step.
 * Lines are not drawn across gaps.
 * @returns one value a row of the flight (index 0 is `first`), %; NaN where the log has no reading at that row
 */
export function judgedBattery_pct(
  time_s: Float64Array,
  battery_pct: Float64Array,
  flight: { readonly first: number; readonly last: number; readonly segments: readonly Segment[] },
): Float64Array {
  const { first, last } = flight;
  const { rows } = stepsOf(battery_pct, first, last);
  const out = new Float64Array(last - first + 1).fill(Number.NaN);
  let lowest = Number.POSITIVE_INFINITY;
  for (let i = first; i <= last; i += 1) {
    const reading = battery_pct[i] ?? Number.NaN;
    if (Number.isNaN(reading)) continue;
    lowest = Math.min(lowest, reading);
    out[i - first] = lowest;
  }
  if (coarsest(battery_pct, rows) < COARSE_STEP_PCT - 1e-9) return out;
  for (const { from, to } of flight.segments) drawLines(time_s, battery_pct, rows, { from, to }, first, out);
  return out;
}

/** The usual size of a step: the median would do, the least is on the safe side of drawing lines. */
function coarsest(battery_pct: Float64Array, rows: readonly number[]): number {
  let least = Number.POSITIVE_INFINITY;
  for (let k = 1; k < rows.length; k += 1) {
    least = Math.min(least, (battery_pct[rows[k - 1] ?? 0] ?? 0) - (battery_pct[rows[k] ?? 0] ?? 0));
  }
  return least;
}

function drawLines(
  time_s: Float64Array,
  battery_pct: Float64Array,
  rows: readonly number[],
  segment: Segment,
  first: number,
  out: Float64Array,
): void {
  for (let k = 1; k < rows.length; k += 1) {
    const start = rows[k - 1] ?? 0;
    const end = rows[k] ?? 0;
    if (start < segment.from || end >= segment.to) continue;
    const from_s = time_s[start] ?? 0;
    const from_pct = battery_pct[start] ?? 0;
    const slope = ((battery_pct[end] ?? 0) - from_pct) / ((time_s[end] ?? 0) - from_s);
    for (let i = start; i < end; i += 1) {
      const k0 = i - first;
      if (!Number.isNaN(out[k0] ?? Number.NaN)) out[k0] = from_pct + slope * ((time_s[i] ?? 0) - from_s);
    }
  }
}
