import { distance_m } from "../num/geodesic.js";
import type { Problem, Track } from "./track.js";

/** A position that would need more than this is a jump of the fix, not a movement (docs/rules/fix-weak.md). */
export const JUMP_MS = 50;

/**
 * Where each run of rows that repeat one position begins and ends: receivers often update slower than the log is written.
 * Plain arrays of row numbers, since a log can have a million.
 */
interface Fixes {
  readonly from: readonly number[];
  readonly to: readonly number[];
}

/**
 * Takes out what is not a position: 0,0 (a receiver's way to say "none yet") and lone spikes (out and back faster than
 * `JUMP_MS`).
 * @returns the track with NaN there, and a note for each kind found
 */
export function cleanPositions(track: Track): { track: Track; problems: Problem[] } {
  const latitude_deg = track.columns.latitude_deg.slice();
  const longitude_deg = track.columns.longitude_deg.slice();
  let zeros = 0;
  for (let i = 0; i < track.length; i += 1) {
    if (latitude_deg[i] !== 0 || longitude_deg[i] !== 0) continue;
    latitude_deg[i] = Number.NaN;
    longitude_deg[i] = Number.NaN;
    zeros += 1;
  }
  const cleaned = { ...track, columns: { ...track.columns, latitude_deg, longitude_deg } };
  const fixes = fixesOf(cleaned);
  const speed = (from: number | undefined, to: number | undefined): number => speedBetween(cleaned, from, to);
  const spikes: number[] = [];
  let before = fixes.from[0];
  for (let j = 1; j < fixes.from.length - 1; j += 1) {
    const [here, after] = [fixes.from[j], fixes.from[j + 1]];
    const isSpike = speed(before, here) > JUMP_MS && speed(here, after) > JUMP_MS && speed(before, after) <= JUMP_MS;
    if (isSpike) spikes.push(j);
    // A good position between two spikes is measured against the one before them.
    else before = here;
  }
  for (const j of spikes) {
    latitude_deg.fill(Number.NaN, fixes.from[j], fixes.to[j]);
    longitude_deg.fill(Number.NaN, fixes.from[j], fixes.to[j]);
  }
  return { track: cleaned, problems: notes(zeros, spikes.length) };
}

/**
 * Speed that each row's position would need since the one before it, m/s: a repeated position counts from when it was
 * first seen, for two seconds at most. NaN where there is no position; 0 at the first.
 */
export function jumpSpeeds_ms(track: Track): Float64Array {
  const speeds = new Float64Array(track.length).fill(Number.NaN);
  const fixes = fixesOf(track);
  fixes.from.forEach((from, j) => {
    const before = fixes.from[j - 1];
    speeds.fill(before === undefined ? 0 : speedBetween(track, before, from), from, fixes.to[j]);
  });
  return speeds;
}

/** Project default: receivers repeat a position for this long at most; one that stands longer was frozen or still. */
const REPEATS_S = 2;

/** Speed between the first rows of two fixes, m/s; NaN where one is missing. */
function speedBetween(track: Track, from: number | undefined, to: number | undefined): number {
  const { time_s, latitude_deg, longitude_deg } = track.columns;
  const at = (column: Float64Array, row: number | undefined): number => column[row ?? -1] ?? Number.NaN;
  const apart_m = distance_m(
    at(latitude_deg, from),
    at(longitude_deg, from),
    at(latitude_deg, to),
    at(longitude_deg, to),
  );
  const since_s = at(time_s, to) - at(time_s, from);
  // Rows may lie further apart than a receiver repeats itself: then the step between them is what there is.
  const step_s = at(time_s, to) - at(time_s, to === undefined ? undefined : to - 1);
  return apart_m / Math.min(since_s, Math.max(REPEATS_S, step_s));
}

function fixesOf(track: Track): Fixes {
  const { latitude_deg, longitude_deg } = track.columns;
  const fixes: { from: number[]; to: number[] } = { from: [], to: [] };
  for (let i = 0; i < track.length;) {
    const latitude = latitude_deg[i] ?? Number.NaN;
    const longitude = longitude_deg[i] ?? Number.NaN;
    let to = i + 1;
    while (to < track.length && latitude_deg[to] === latitude && longitude_deg[to] === longitude) to += 1;
    if (!Number.isNaN(latitude) && !Number.isNaN(longitude)) {
      fixes.from.push(i);
      fixes.to.push(to);
    }
    i = to;
  }
  return fixes;
}

function notes(zeros: number, spikes: number): Problem[] {
  const note = (code: string, message: string): Problem => ({ severity: "note", code, message, line: undefined });
  return [
    ...(zeros > 0 ? [note("position-zero", `${zeros} rows at latitude 0, longitude 0 are taken as no position.`)] : []),
    ...(spikes > 0
      ? [note("position-spike", `${spikes} lone jumps of the position, there and back, are taken as no position.`)]
      : []),
  ];
}
