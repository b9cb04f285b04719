import { distance_m, line } from "../num/geodesic.js";
import { windowMean } from "../num/window-mean.js";
import type { Segment } from "./segments.js";
import type { Track } from "./track.js";

/** Movement of every row, logged where the log has it, else derived from positions and heights. NaN where neither. */
export interface Motion {
  /** Over the ground, m/s, mean over a second. */
  readonly groundSpeed_ms: Float64Array;
  /** Up is positive, m/s, mean over a second. */
  readonly climbRate_ms: Float64Array;
  /** The log's own height above take-off, else its altitude: a height whose zero is not known yet. */
  readonly anyHeight_m: Float64Array | undefined;
  /** True where `anyHeight_m` is the log's height above take-off. */
  readonly heightIsAboveTakeoff: boolean;
  /** The log has a height: without one, level flight shows only its speed. */
  readonly hasVertical: boolean;
}

/** Derived rates are taken across this much time on each side: a 1 cm position at 10 Hz would else be 0.1 m/s of noise. */
const DERIVE_HALF_S = 1;

/** @returns the movement of every row; nothing is derived across a segment's ends */
export function motionOf(track: Track, segments: readonly Segment[]): Motion {
  const { columns } = track;
  const anyHeight_m = columns.height_m ?? columns.altitude_m ?? columns.altitudeEllipsoidal_m;
  const speed = columns.groundSpeed_ms ?? deriveSpeed(track, segments);
  const climb =
    columns.climbRate_ms ??
    (anyHeight_m === undefined ? nothing(track.length) : deriveRate(track, segments, anyHeight_m));
  return {
    groundSpeed_ms: smooth(track, segments, speed),
    climbRate_ms: smooth(track, segments, climb),
    anyHeight_m,
    heightIsAboveTakeoff: columns.height_m !== undefined,
    hasVertical: anyHeight_m !== undefined,
  };
}

/** @returns the mean over `width_s` around each row, by segment */
export function smooth(
  track: Track,
  segments: readonly Segment[],
  values: Float64Array,
  width_s: number = 1,
): Float64Array {
  const out = nothing(track.length);
  for (const { from, to } of segments) windowMean(track.columns.time_s, values, from, to, width_s / 2, out);
  return out;
}

/** @returns the mean over `width_s` around each row of a flight (index 0 is its first), by segment */
export function smoothFlight(
  track: Track,
  { first, last, segments }: { readonly first: number; readonly last: number; readonly segments: readonly Segment[] },
  values: Float64Array,
  width_s: number,
): Float64Array {
  const out = nothing(last - first + 1);
  const times = track.columns.time_s.subarray(first, last + 1);
  const within = values.subarray(first, last + 1);
  for (const { from, to } of segments) windowMean(times, within, from - first, to - first, width_s / 2, out);
  return out;
}

function nothing(length: number): Float64Array {
  return new Float64Array(length).fill(Number.NaN);
}

/** Calls back for each row with the rows about `DERIVE_HALF_S` before and after it, never across a segment's ends. */
function forEachSpan(
  track: Track,
  segments: readonly Segment[],
  visit: (row: number, low: number, high: number, span_s: number) => void,
): void {
  const { time_s } = track.columns;
  for (const { from, to } of segments) {
    let low = from;
    let high = from;
    for (let i = from; i < to; i += 1) {
      const now = time_s[i] ?? 0;
      while (low < i && (time_s[low + 1] ?? 0) <= now - DERIVE_HALF_S) low += 1;
      if (low === i && i > from) low = i - 1;
      while (high < to - 1 && (high <= i || (time_s[high] ?? 0) < now + DERIVE_HALF_S)) high += 1;
      if (high > low) visit(i, low, high, (time_s[high] ?? 0) - (time_s[low] ?? 0));
    }
  }
}

function deriveSpeed(track: Track, segments: readonly Segment[]): Float64Array {
  const { latitude_deg, longitude_deg } = track.columns;
  const out = nothing(track.length);
  const at = (column: Float64Array, row: number): number => column[row] ?? Number.NaN;
  forEachSpan(track, segments, (row, low, high, span_s) => {
    const moved_m = distance_m(
      at(latitude_deg, low),
      at(longitude_deg, low),
      at(latitude_deg, high),
      at(longitude_deg, high),
    );
    out[row] = moved_m / span_s;
  });
  return out;
}

/** @returns the course over ground from positions, true degrees; NaN where they do not tell */
export function deriveCourse_deg(track: Track, segments: readonly Segment[]): Float64Array {
  const { latitude_deg, longitude_deg } = track.columns;
  const out = nothing(track.length);
  const at = (column: Float64Array, row: number): number => column[row] ?? Number.NaN;
  forEachSpan(track, segments, (row, low, high) => {
    const { distance_m: moved_m, course_deg } = line(
      at(latitude_deg, low),
      at(longitude_deg, low),
      at(latitude_deg, high),
      at(longitude_deg, high),
    );
    if (moved_m > 0) out[row] = course_deg;
  });
  return out;
}

function deriveRate(track: Track, segments: readonly Segment[], values: Float64Array): Float64Array {
  const out = nothing(track.length);
  forEachSpan(track, segments, (row, low, high, span_s) => {
    out[row] = ((values[high] ?? Number.NaN) - (values[low] ?? Number.NaN)) / span_s;
  });
  return out;
}
