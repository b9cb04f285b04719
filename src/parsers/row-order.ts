/** How the rows of a log lie in time. */
export interface RowOrder {
  /** Rows in the order of time, earliest first and equal times in the order of the file; undefined if they already are. */
  readonly order: Uint32Array | undefined;
  /** How many rows stood after a later one and were sorted in. */
  readonly outOfOrder: number;
  /** Rows at which the clock was set back for good: all after them were laid after what came before. */
  readonly resets: readonly { readonly row: number; readonly back_us: number }[];
}

/** Rows in file order from `from` to before `to`, times not falling. */
interface Run {
  readonly from: number;
  readonly to: number;
}

/** A late stretch of fewer rows is jitter, not a clock that was set back. */
const RESET_ROWS = 5;
/** How many stretches back an overlap is looked for. */
const RUNS_BACK = 1000;
/** A session that begins after a clock was set back is laid this much after the end of the one before. */
const RESET_GAP_US = 1e6;

/**
 * Puts rows in the order of time.
 *
 * A row that is earlier than one before it is late (sorted in), or the clock was set back (a new session). It was set
 * back if at least five rows follow that fall among at least five rows recorded before: late rows fall into a hole, and
 * rows repeated by a logger are equal to the ones before, which `isSameRow` tells. A log written newest first is sorted.
 *
 * @param time_us by row, finite; changed in place where the clock was set back
 * @param isSameRow whether two rows hold the same values
 */
export function orderRows(time_us: Float64Array, isSameRow: (a: number, b: number) => boolean): RowOrder {
  const steps = countSteps(time_us);
  if (steps.back === 0) return { order: undefined, outOfOrder: 0, resets: [] };
  const isReversed = steps.back > steps.forward;
  const resets = isReversed ? [] : laySessionsInLine(time_us, isSameRow);
  const outOfOrder = countOutOfOrder(time_us);
  if (outOfOrder === 0) return { order: undefined, outOfOrder, resets };
  const order = Uint32Array.from(time_us, (_, row) => row);
  order.sort((a, b) => (time_us[a] ?? 0) - (time_us[b] ?? 0) || a - b);
  return { order, outOfOrder, resets };
}

function countSteps(time_us: Float64Array): { back: number; forward: number } {
  let back = 0;
  let forward = 0;
  for (let row = 1; row < time_us.length; row += 1) {
    const step = (time_us[row] ?? 0) - (time_us[row - 1] ?? 0);
    if (step < 0) back += 1;
    else if (step > 0) forward += 1;
  }
  return { back, forward };
}

function countOutOfOrder(time_us: Float64Array): number {
  let latest = Number.NEGATIVE_INFINITY;
  let count = 0;
  for (const time of time_us) {
    if (time < latest) count += 1;
    else latest = time;
  }
  return count;
}

function laySessionsInLine(
  time_us: Float64Array,
  isSameRow: (a: number, b: number) => boolean,
): { row: number; back_us: number }[] {
  const resets: { row: number; back_us: number }[] = [];
  let session: Run[] = [];
  let latest = Number.NEGATIVE_INFINITY;
  for (let from = 0; from < time_us.length;) {
    const start = time_us[from] ?? 0;
    const to = endOfRun(time_us, from);
    if (start < latest && isReset(time_us, session, { from, to }, latest, isSameRow)) {
      const back_us = latest - start;
      resets.push({ row: from, back_us });
      for (let row = from; row < time_us.length; row += 1) time_us[row] = (time_us[row] ?? 0) + back_us + RESET_GAP_US;
      session = [];
    }
    session.push({ from, to });
    latest = Math.max(latest, time_us[to - 1] ?? 0);
    from = to;
  }
  return resets;
}

function endOfRun(time_us: Float64Array, from: number): number {
  let to = from + 1;
  while (to < time_us.length && (time_us[to] ?? 0) >= (time_us[to - 1] ?? 0)) to += 1;
  return to;
}

function isReset(
  time_us: Float64Array,
  session: readonly Run[],
  run: Run,
  latest: number,
  isSameRow: (a: number, b: number) => boolean,
): boolean {
  const late = lowerBound(time_us, run, latest) - run.from;
  if (late < RESET_ROWS) return false;
  const start = time_us[run.from] ?? 0;
  const end = time_us[run.from + late - 1] ?? 0;
  let among = 0;
  for (const earlier of session.slice(-RUNS_BACK)) {
    const first = lowerBound(time_us, earlier, start);
    if (isSameTimeAndRow(time_us, first, earlier, run.from, isSameRow)) return false;
    // Times are whole: the first row after `end` is the first not before `end + 1`.
    among += lowerBound(time_us, earlier, end + 1) - first;
  }
  return among >= RESET_ROWS;
}

function isSameTimeAndRow(
  time_us: Float64Array,
  row: number,
  within: Run,
  other: number,
  isSameRow: (a: number, b: number) => boolean,
): boolean {
  return row < within.to && time_us[row] === time_us[other] && isSameRow(row, other);
}

/** @returns the first row of the run that is not before `time`, or its end */
function lowerBound(time_us: Float64Array, { from, to }: Run, time: number): number {
  let low = from;
  let high = to;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((time_us[middle] ?? 0) < time) low = middle + 1;
    else high = middle;
  }
  return low;
}
