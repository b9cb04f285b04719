import { distance_m } from "../num/geodesic.js";
import type { Problem, Track } from "./track.js";

/** Where each run of rows that repeat one position begins and ends: receivers often update slower than the log is written. */
interface Fixes {
  readonly from: Int32Array;
  readonly to: Int32Array;
}

/**
 * Takes out what is not a position: 0,0 (a receiver's way to say "none yet") and spikes (out and back within two
 * seconds, both faster than a jump).
 * @param jump_ms what would need more is a jump of the fix, not a movement (`policy.fix.jump`)
 * @returns the track with NaN there, and a note for each kind found
 */
export function cleanPositions(track: Track, jump_ms: number): { track: Track; problems: Problem[] } {
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
  const spikes: number[] = [];
  let before = 0;
  for (let j = 1; j < fixes.from.length - 1; j += 1) {
    const last = endOfSpike(cleaned, fixes, { before, j, jump_ms });
    // A good position between two spikes is measured against the one before them.
    if (last === undefined) before = j;
    else for (let k = j; k <= last; k += 1) spikes.push(k);
    j = last ?? j;
  }
  for (const j of spikes) {
    latitude_deg.fill(Number.NaN, fixes.from[j], fixes.to[j]);
    longitude_deg.fill(Number.NaN, fixes.from[j], fixes.to[j]);
  }
  return { track: cleaned, problems: notes(zeros, spikes.length) };
}

/** Project default: a jump that is back within this time was none; one that lasts is a new position to doubt. */
const SPIKE_LASTS_S = 2;

/** The last fix of a spike that begins with the j-th: out from `before` too fast, and back too fast; else undefined. */
function endOfSpike(
  track: Track,
  fixes: Fixes,
  { before, j, jump_ms }: { before: number; j: number; jump_ms: number },
): number | undefined {
  if (speedBetween(track, fixes, before, j) <= jump_ms) return undefined;
  const time = (k: number): number => track.columns.time_s[fixes.from[k] ?? -1] ?? Number.NaN;
  for (let k = j; k + 1 < fixes.from.length && time(k) - time(j) <= SPIKE_LASTS_S; k += 1) {
    if (speedBetween(track, fixes, k, k + 1) <= jump_ms) continue;
    return speedBetween(track, fixes, before, k + 1) <= jump_ms ? k : undefined;
  }
  return undefined;
}

/**
 * Speed that each row's position would need since the one before it, m/s: a repeated position counts from when it was
 * first seen, for two seconds at most. NaN where there is no position; 0 at the first of the track.
 * @param rows asked about, first and last; the position before them counts
 * @returns one value a row (index 0 is `first`)
 */
export function jumpSpeeds_ms(
  track: Track,
  { first, last }: { readonly first: number; readonly last: number } = { first: 0, last: track.length - 1 },
): Float64Array {
  const speeds = new Float64Array(last - first + 1).fill(Number.NaN);
  const fixes = fixesOf(track, startOfFixBefore(track, first), last + 1);
  for (let j = 0; j < fixes.from.length; j += 1) {
    const speed = j === 0 ? 0 : speedBetween(track, fixes, j - 1, j);
    const to = (fixes.to[j] ?? 0) - first;
    for (let k = Math.max(0, (fixes.from[j] ?? 0) - first); k < to; k += 1) speeds[k] = speed;
  }
  return speeds;
}

/** Where the position before that of `row` was first seen; 0 where there is none. */
function startOfFixBefore(track: Track, row: number): number {
  const { latitude_deg, longitude_deg } = track.columns;
  const isSame = (i: number, k: number): boolean =>
    latitude_deg[i] === latitude_deg[k] && longitude_deg[i] === longitude_deg[k];
  const hasNone = (i: number): boolean =>
    Number.isNaN(latitude_deg[i] ?? Number.NaN) || Number.isNaN(longitude_deg[i] ?? Number.NaN);
  let start = row;
  while (start > 0 && isSame(start - 1, row)) start -= 1;
  start -= 1;
  while (start > 0 && hasNone(start)) start -= 1;
  while (start > 0 && isSame(start - 1, start)) start -= 1;
  return Math.max(0, start);
}

/** Project default: receivers repeat a position for this long at most; one that stands longer was frozen or still. */
const REPEATS_S = 2;
/** Project default: a shorter step is a correction by the receiver, however fast the log is written. */
const CORRECTION_M = 15;

/**
 * Speed from one fix to another, m/s, 0 for a step that is only a correction. Time without a position counts in full, a
 * position that repeats for two seconds at most.
 */
function speedBetween(track: Track, fixes: Fixes, j: number, k: number): number {
  const { time_s, latitude_deg, longitude_deg } = track.columns;
  const at = (column: Float64Array, row: number | undefined): number => column[row ?? -1] ?? Number.NaN;
  const from = fixes.from[j];
  const to = fixes.from[k];
  // Most rows are a step away, and that takes no geodesic to tell.
  if (isCloseBy(at(latitude_deg, to) - at(latitude_deg, from), at(longitude_deg, to) - at(longitude_deg, from)))
    return 0;
  const apart_m = distance_m(
    at(latitude_deg, from),
    at(longitude_deg, from),
    at(latitude_deg, to),
    at(longitude_deg, to),
  );
  if (apart_m <= CORRECTION_M) return 0;
  const lastSeen_s = at(time_s, (fixes.to[j] ?? 0) - 1);
  return apart_m / (at(time_s, to) - lastSeen_s + Math.min(REPEATS_S, lastSeen_s - at(time_s, from)));
}

/** No degree of latitude or longitude is longer, m (a meridian at a pole has the largest radius, 6 399 594 m). */
const LONGEST_DEGREE_M = (Math.PI / 180) * 6_399_594;

/** Surely within a correction: the geodesic is no longer than a path of these two legs on the largest radius. */
function isCloseBy(latitude_deg: number, longitude_deg: number): boolean {
  const most_deg = CORRECTION_M / LONGEST_DEGREE_M;
  return latitude_deg * latitude_deg + longitude_deg * longitude_deg < most_deg * most_deg;
}

function fixesOf(track: Track, first: number = 0, end: number = track.length): Fixes {
  const { latitude_deg, longitude_deg } = track.columns;
  const starts = new Int32Array(end - first);
  const ends = new Int32Array(end - first);
  let count = 0;
  for (let i = first; i < end;) {
    const latitude = latitude_deg[i] ?? Number.NaN;
    const longitude = longitude_deg[i] ?? Number.NaN;
    let to = i + 1;
    while (to < end && latitude_deg[to] === latitude && longitude_deg[to] === longitude) to += 1;
    if (!Number.isNaN(latitude) && !Number.isNaN(longitude)) {
      starts[count] = i;
      ends[count] = to;
      count += 1;
    }
    i = to;
  }
  return { from: starts.subarray(0, count), to: ends.subarray(0, count) };
}

function notes(zeros: number, spikes: number): Problem[] {
  const note = (code: string, message: string): Problem => ({ severity: "note", code, message, line: undefined });
  return [
    ...(zeros > 0 ? [note("position-zero", `${zeros} rows at latitude 0, longitude 0 are taken as no position.`)] : []),
    ...(spikes > 0
      ? [note("position-spike", `${spikes} positions that jump and come back are taken as no position.`)]
      : []),
  ];
}
