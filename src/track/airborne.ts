import { quantile } from "../num/quantile.js";
import type { Motion } from "./motion.js";
import type { Segment } from "./segments.js";
import type { Track } from "./track.js";

/** Rows from take-off to landing, both in the air. */
export interface Run {
  readonly first: number;
  readonly last: number;
  readonly beginsInAir: boolean;
  readonly endsInAir: boolean;
}

/** All of these are limits of the design, §3, save those marked as project defaults. */
const RISEN_M = 2;
const CLIMBING_MS = 0.5;
const MOVING_MS = 2;
const CURRENT_TIMES_REST = 3;
const HELD_S = 2;
const LANDED_S = 5;
const MOVING_HELD_S = 5;
/** Project default: with positions alone a hover looks like standing, so only a long stop ends a flight. */
const STOOD_S = 60;
/** Project default: a height above take-off that a first row on the ground does not read. */
const FIRST_ROW_IN_AIR_M = 3;
/** Project defaults: a height that only stayed up after landing is lower than this and keeps this still. */
const LEFTOVER_HEIGHT_M = 10;
const LEFTOVER_STILL_M = 1;
/** Project default: how fast a barometric height may wander while the aircraft stands, m/s. */
const REST_DRIFT_MS = 0.02;
/** Project default: a battery that gained this much was changed, so what came before was another flight. */
const BATTERY_CHANGED_PCT = 5;

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
  const signs = signsOf(track, motion);
  const spans = motion.hasVertical || signs.hasCurrent ? bySigns(track, segments, signs) : byMovement(track, motion);
  return { runs: spans.map((span) => toRun(track, motion, span, segments)), basis: "inferred" };
}

interface Span {
  readonly first: number;
  readonly last: number;
  /** It took off before the signs had ever been at rest. */
  readonly fromStart: boolean;
  readonly landed: boolean;
}

interface Signs {
  readonly motion: Motion;
  readonly hasCurrent: boolean;
  /** Climbing, moving or drawing current: the signs that standing aircraft do not show. */
  readonly activity: (row: number) => number;
}

function signsOf(track: Track, motion: Motion): Signs {
  const current = track.columns.current_A;
  const rest_A = current === undefined ? Number.NaN : restCurrent_A(current);
  const hasCurrent = !Number.isNaN(rest_A);
  const activity = (row: number): number =>
    (Math.abs(motion.climbRate_ms[row] ?? Number.NaN) > CLIMBING_MS ? 1 : 0) +
    ((motion.groundSpeed_ms[row] ?? Number.NaN) > MOVING_MS ? 1 : 0) +
    (hasCurrent && Math.abs(current?.[row] ?? Number.NaN) > CURRENT_TIMES_REST * rest_A ? 1 : 0);
  return { motion, hasCurrent, activity };
}

/**
 * Current at rest: the lowest twentieth of the readings, at least 0.1 A; NaN when the log never rests, since a recording
 * wholly in the air has no rest to compare with. A reading can be slightly negative at rest.
 */
function restCurrent_A(current_A: Float64Array): number {
  const sizes = current_A.map(Math.abs);
  const rest_A = Math.max(0.1, quantile(sizes, 0.05));
  return quantile(sizes, 0.5) > CURRENT_TIMES_REST * rest_A || quantile(sizes, 0.95) > 2 * CURRENT_TIMES_REST * rest_A
    ? rest_A
    : Number.NaN;
}

/** The two-of-four rule as a pass over the rows; a gap keeps the state, since nothing was seen to change it. */
function bySigns(track: Track, segments: readonly Segment[], signs: Signs): Span[] {
  const { time_s, battery_pct } = track.columns;
  const { anyHeight_m, heightIsAboveTakeoff } = signs.motion;
  const starts = new Set(segments.map(({ from }) => from));
  const spans: Span[] = [];
  let rest_m = heightIsAboveTakeoff ? 0 : (anyHeight_m?.find((height) => !Number.isNaN(height)) ?? Number.NaN);
  let rested = false;
  let first = -1;
  let heldSince = -1;
  let quietSince = -1;
  let leftover: { from: number; low_m: number; high_m: number } | undefined;
  let battery = Number.NaN;
  const close = (last: number, landed: boolean): void => {
    spans.push({ first, last, fromStart: !rested, landed });
    rested = true;
    first = -1;
    heldSince = -1;
    leftover = undefined;
  };
  for (let i = 0; i < track.length; i += 1) {
    const now = time_s[i] ?? 0;
    const height = anyHeight_m?.[i] ?? Number.NaN;
    const active = signs.activity(i);
    const risen = height - rest_m > RISEN_M;
    if (first < 0) {
      if (starts.has(i)) heldSince = -1;
      const held = active + (risen ? 1 : 0) >= 2;
      if (!held) heldSince = -1;
      else if (heldSince < 0) heldSince = i;
      if (held && now - (time_s[heldSince] ?? 0) >= HELD_S) {
        first = heldSince;
        quietSince = -1;
      } else if (active === 0) {
        if (quietSince < 0) quietSince = i;
        if (now - (time_s[quietSince] ?? 0) >= LANDED_S && !rested) {
          rested = true;
          if (!heightIsAboveTakeoff || Math.abs(height) <= LEFTOVER_HEIGHT_M) rest_m = height;
        }
        rest_m = follow(rest_m, height, i > 0 ? now - (time_s[i - 1] ?? 0) : 0);
      } else quietSince = -1;
      battery = battery_pct?.[i] ?? battery;
      continue;
    }
    const charge = battery_pct?.[i] ?? Number.NaN;
    if (charge - battery >= BATTERY_CHANGED_PCT && leftover !== undefined) {
      const from = leftover.from;
      close(from, true);
      rest_m = height;
      battery = charge;
      continue;
    }
    if (!Number.isNaN(charge)) battery = charge;
    if (active > 0) {
      quietSince = -1;
      leftover = undefined;
      continue;
    }
    if (quietSince < 0) quietSince = i;
    leftover =
      leftover === undefined
        ? { from: i, low_m: height, high_m: height }
        : { from: leftover.from, low_m: Math.min(leftover.low_m, height), high_m: Math.max(leftover.high_m, height) };
    if (risen) {
      // Height alone keeps the flight going, unless the motors are known to rest.
      if (!signs.hasCurrent || now - (time_s[leftover.from] ?? 0) < LANDED_S) continue;
    }
    if (now - (time_s[quietSince] ?? 0) >= LANDED_S) {
      close(quietSince, true);
      rest_m = Number.isNaN(height) ? rest_m : height;
    }
  }
  if (first >= 0) closeAtEnd(track, close, leftover, rest_m);
  return spans;
}

/** At the log's end a still height a few metres up is a landed aircraft with a drifted height, not a hover. */
function closeAtEnd(
  track: Track,
  close: (last: number, landed: boolean) => void,
  leftover: { from: number; low_m: number; high_m: number } | undefined,
  rest_m: number,
): void {
  const { time_s } = track.columns;
  const still =
    leftover !== undefined &&
    (time_s[track.length - 1] ?? 0) - (time_s[leftover.from] ?? 0) >= LANDED_S &&
    leftover.high_m - leftover.low_m <= LEFTOVER_STILL_M &&
    leftover.high_m - rest_m <= LEFTOVER_HEIGHT_M;
  if (still) close(leftover.from, true);
  else close(track.length - 1, false);
}

function follow(rest_m: number, height_m: number, step_s: number): number {
  if (Number.isNaN(height_m)) return rest_m;
  if (Number.isNaN(rest_m)) return height_m;
  const most_m = REST_DRIFT_MS * step_s;
  return rest_m + Math.min(most_m, Math.max(-most_m, height_m - rest_m));
}

/** With positions alone: moving for 5 s begins a flight, and only a minute's stop ends it. */
function byMovement(track: Track, motion: Motion): Span[] {
  const { time_s } = track.columns;
  const spans: Span[] = [];
  let first = -1;
  let last = -1;
  let since = -1;
  for (let i = 0; i < track.length; i += 1) {
    const now = time_s[i] ?? 0;
    if ((motion.groundSpeed_ms[i] ?? Number.NaN) > MOVING_MS) {
      if (since < 0) since = i;
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
