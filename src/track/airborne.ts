import { quantiles } from "../num/quantile.js";
import type { Motion } from "./motion.js";
import type { Segment } from "./segments.js";
import { type Activity, LEFTOVER_HEIGHT_M, SignWatch, type Span } from "./sign-watch.js";
import type { Track } from "./track.js";

/** Rows from take-off to landing, both in the air. */
export interface Run {
  readonly first: number;
  readonly last: number;
  readonly beginsInAir: boolean;
  readonly endsInAir: boolean;
}

/** Signs of flying. */
const CLIMBING_MS = 0.5;
const MOVING_MS = 2;
const CURRENT_TIMES_REST = 3;
/** Project default: only a current this near to rest says that the motors stand; between the two the height decides. */
const RESTING_TIMES_REST = 1.5;
const MOVING_HELD_S = 5;
/** Project default: with positions alone a hover looks like standing, so only a long stop ends a flight. */
const STOOD_S = 60;
/** Project default: a height above take-off that a first row on the ground does not read. */
const FIRST_ROW_IN_AIR_M = 3;

/**
 * Finds when the aircraft was in the air.
 *
 * From the log's flag if it has one; else two signs of four (risen, climbing, moving, drawing current) held for 2 s, and
 * landed when none is left for 5 s; with positions alone, moving for 5 s.
 */
export function airborneRuns(
  track: Track,
  segments: readonly Segment[],
  motion: Motion,
): { runs: Run[]; basis: "measured" | "inferred" } {
  const flag = track.columns.airborne;
  if (flag !== undefined) return { runs: runsOfFlag(track, flag, motion), basis: "measured" };
  const activity = activityOf(track, motion);
  const spans =
    motion.hasVertical || activity.hasCurrent
      ? bySigns(track, segments, motion, activity)
      : byMovement(track, segments, motion);
  return { runs: spans.map((span) => toRun(track, motion, span, segments)), basis: "inferred" };
}

function activityOf(track: Track, motion: Motion): Activity {
  const current = track.columns.current_A;
  const rest_A = current === undefined ? Number.NaN : restCurrent_A(current);
  const hasCurrent = !Number.isNaN(rest_A);
  const at = (row: number): number =>
    (Math.abs(motion.climbRate_ms[row] ?? Number.NaN) > CLIMBING_MS ? 1 : 0) +
    ((motion.groundSpeed_ms[row] ?? Number.NaN) > MOVING_MS ? 1 : 0) +
    (hasCurrent && Math.abs(current?.[row] ?? Number.NaN) > CURRENT_TIMES_REST * rest_A ? 1 : 0);
  const isMetered = (row: number): boolean =>
    hasCurrent && Math.abs(current?.[row] ?? Number.NaN) <= RESTING_TIMES_REST * rest_A;
  return { at, hasCurrent, isMetered };
}

/**
 * Current at rest: the lowest twentieth of the readings, at least 0.1 A; NaN when the log never rests, since a recording
 * wholly in the air has no rest to compare with. A reading can be slightly negative at rest.
 */
function restCurrent_A(current_A: Float64Array): number {
  const [least_A, middle_A, most_A] = quantiles(current_A.map(Math.abs), [0.05, 0.5, 0.95] as const);
  const rest_A = Math.max(0.1, least_A);
  return middle_A > CURRENT_TIMES_REST * rest_A || most_A > 2 * CURRENT_TIMES_REST * rest_A ? rest_A : Number.NaN;
}

/** The two-of-four rule, row by row; a gap keeps a flight going, since nothing was seen to end it. */
function bySigns(track: Track, segments: readonly Segment[], motion: Motion, activity: Activity): Span[] {
  const starts = new Set(segments.map(({ from }) => from));
  const watch = new SignWatch(track, motion, activity);
  for (let row = 0; row < track.length; row += 1) watch.see(row, starts.has(row));
  watch.close();
  return watch.spans;
}

/** With positions alone: moving for 5 s begins a flight, and only a minute's stop ends it. */
function byMovement(track: Track, segments: readonly Segment[], motion: Motion): Span[] {
  const { time_s } = track.columns;
  const starts = new Set(segments.map(({ from }) => from));
  const spans: Span[] = [];
  let first = -1;
  let last = -1;
  let since = -1;
  for (let i = 0; i < track.length; i += 1) {
    const now = time_s[i] ?? 0;
    if ((motion.groundSpeed_ms[i] ?? Number.NaN) > MOVING_MS) {
      if (since < 0 || starts.has(i)) since = i;
      if (now - (time_s[since] ?? 0) < MOVING_HELD_S) continue;
      if (first < 0) first = since;
      last = i;
    } else {
      since = -1;
      if (first >= 0 && now - (time_s[last] ?? 0) >= STOOD_S) {
        spans.push({ first, last, fromStart: first === 0, landed: true });
        first = -1;
      }
    }
  }
  if (first >= 0) spans.push({ first, last, fromStart: first === 0, landed: last < track.length - 1 });
  return spans;
}

function toRun(track: Track, motion: Motion, span: Span, segments: readonly Segment[]): Run {
  const height = track.columns.height_m?.[span.first] ?? Number.NaN;
  const speed = motion.groundSpeed_ms[span.first] ?? Number.NaN;
  const atStart = span.first === 0 || segments[0]?.from === span.first;
  const beginsInAir = Number.isNaN(height)
    ? atStart && speed > MOVING_MS
    : (atStart && height > FIRST_ROW_IN_AIR_M) || (span.fromStart && height > LEFTOVER_HEIGHT_M);
  return {
    first: span.first,
    last: span.last,
    beginsInAir,
    endsInAir: !span.landed && isAloft(track, motion, span.last),
  };
}

/**
 * A recorder that stops with the motors ends on the ground, so the last row decides. Between 3 and 10 m a still aircraft
 * counts as landed: after a landing the height is often metres off, and no sign tells that from a hover.
 */
function isAloft(track: Track, motion: Motion, row: number): boolean {
  const height = track.columns.height_m?.[row] ?? Number.NaN;
  const speed = motion.groundSpeed_ms[row] ?? Number.NaN;
  const climb = Math.abs(motion.climbRate_ms[row] ?? Number.NaN);
  const vertical = climb > (height > FIRST_ROW_IN_AIR_M ? CLIMBING_MS : 3 * CLIMBING_MS);
  return height > LEFTOVER_HEIGHT_M || speed > MOVING_MS || vertical;
}

function runsOfFlag(track: Track, flag: Float64Array, motion: Motion): Run[] {
  const runs: Run[] = [];
  let first = -1;
  let last = -1;
  const push = (landed: boolean): void => {
    const height = track.columns.height_m?.[first] ?? Number.NaN;
    const beginsInAir = first === 0 && !(height <= FIRST_ROW_IN_AIR_M);
    runs.push({ first, last, beginsInAir, endsInAir: !landed && isAloft(track, motion, last) });
  };
  for (let i = 0; i < track.length; i += 1) {
    const value = flag[i] ?? Number.NaN;
    if (value > 0) {
      if (first < 0) first = i;
      last = i;
    } else if (value === 0 && first >= 0) {
      push(true);
      first = -1;
    }
  }
  if (first >= 0) push(false);
  return runs;
}
