import type { Basis, Config } from "../config/declared.js";
import type { Policy } from "../config/policy.js";
import { distance_m } from "../num/geodesic.js";
import { FIX } from "../track/channels.js";
import type { Flight } from "../track/flights.js";
import { hasValues } from "../track/has-values.js";
import type { Track } from "../track/track.js";

/** A recovery point smaller moves than this are the noise of its own reading, not a move (project default). */
const MOVED_M = 1;

/** The recovery point of a flight at its rows (index 0 is the flight's first row). */
export interface RecoveryPoint {
  readonly basis: Basis;
  readonly from: string;
  /** NaN while no point is stored yet. */
  readonly latitude_deg: Float64Array;
  readonly longitude_deg: Float64Array;
  /** The row at which it is first known; undefined when it never is. */
  readonly setRow: number | undefined;
  /** Rows at which it moved, the first setting left out. */
  readonly moveRows: readonly number[];
}

/** When the fix first was good enough to store a point. */
export interface FirstFix {
  /** The log says something about the fix: without, it cannot be told when a point was stored. */
  readonly isKnown: boolean;
  /** The row; undefined when the fix never was good enough. */
  readonly row: number | undefined;
}

/** @returns the first row, up to the flight's end, at which all that is logged of satellites, HDOP and fix type is good */
export function firstGoodFix(track: Track, flight: Flight, policy: Policy): FirstFix {
  const { satellites, hdop, fixType } = track.columns;
  if (satellites === undefined && hdop === undefined && fixType === undefined)
    return { isKnown: false, row: undefined };
  for (let i = 0; i <= flight.last; i += 1) {
    const isGood =
      (satellites === undefined || (satellites[i] ?? Number.NaN) >= policy["fix.satellites_at_start"]) &&
      (hdop === undefined || (hdop[i] ?? Number.NaN) <= policy["fix.hdop"]) &&
      (fixType === undefined || (fixType[i] ?? Number.NaN) >= FIX.threeD) &&
      !Number.isNaN(track.columns.latitude_deg[i] ?? Number.NaN);
    if (isGood) return { isKnown: true, row: i };
  }
  return { isKnown: true, row: undefined };
}

/** @returns the point: logged, else declared, else inferred from when the fix was good; never guessed */
export function chooseRecoveryPoint(config: Config, track: Track, flight: Flight, policy: Policy): RecoveryPoint {
  const { recoveryLatitude_deg, recoveryLongitude_deg } = track.columns;
  if (hasValues(recoveryLatitude_deg, flight) && hasValues(recoveryLongitude_deg, flight)) {
    const latitude_deg = recoveryLatitude_deg.slice(flight.first, flight.last + 1);
    const longitude_deg = recoveryLongitude_deg.slice(flight.first, flight.last + 1);
    return withMoves("measured", "columns of the log", latitude_deg, longitude_deg, flight.first);
  }
  const length = flight.last - flight.first + 1;
  const latitude_deg = new Float64Array(length).fill(Number.NaN);
  const longitude_deg = new Float64Array(length).fill(Number.NaN);
  const points = config.declared.recoveryPoints;
  if (points !== undefined && points.length > 0) {
    const { time_s } = track.columns;
    for (const point of points) {
      let k = 0;
      while (k < length && (time_s[flight.first + k] ?? 0) < point.at_s) k += 1;
      latitude_deg.fill(point.latitude_deg, k);
      longitude_deg.fill(point.longitude_deg, k);
    }
    const from = config.places.get("recovery_point") ?? "declared";
    return withMoves("declared", from, latitude_deg, longitude_deg, flight.first);
  }
  return inferPoint(track, flight, policy, latitude_deg, longitude_deg);
}

function inferPoint(
  track: Track,
  flight: Flight,
  policy: Policy,
  latitude_deg: Float64Array,
  longitude_deg: Float64Array,
): RecoveryPoint {
  const make = (from: string): RecoveryPoint => withMoves("inferred", from, latitude_deg, longitude_deg, flight.first);
  if (flight.takeoff === undefined) return make("unknown: the recording begins in the air");
  const fix = firstGoodFix(track, flight, policy);
  if (fix.row !== undefined && fix.row > flight.first) {
    const k = fix.row - flight.first;
    latitude_deg.fill(track.columns.latitude_deg[fix.row] ?? Number.NaN, k);
    longitude_deg.fill(track.columns.longitude_deg[fix.row] ?? Number.NaN, k);
    return make("where the fix first was good, after take-off");
  }
  latitude_deg.fill(flight.takeoff.latitude_deg);
  longitude_deg.fill(flight.takeoff.longitude_deg);
  if (fix.row !== undefined) return make("take-off position, the fix being good by then");
  return make(fix.isKnown ? "take-off position, though the fix never was good" : "take-off position");
}

function withMoves(
  basis: Basis,
  from: string,
  latitude_deg: Float64Array,
  longitude_deg: Float64Array,
  first: number,
): RecoveryPoint {
  let setRow: number | undefined;
  let last = -1;
  const moveRows: number[] = [];
  for (let k = 0; k < latitude_deg.length; k += 1) {
    const latitude = latitude_deg[k] ?? Number.NaN;
    const longitude = longitude_deg[k] ?? Number.NaN;
    if (Number.isNaN(latitude) || Number.isNaN(longitude)) continue;
    const at = (column: Float64Array): number => column[last] ?? Number.NaN;
    if (last < 0) setRow = first + k;
    else if (latitude === at(latitude_deg) && longitude === at(longitude_deg)) continue;
    else if (distance_m(latitude, longitude, at(latitude_deg), at(longitude_deg)) > MOVED_M) moveRows.push(first + k);
    else continue;
    last = k;
  }
  return { basis, from, latitude_deg, longitude_deg, setRow, moveRows };
}
