import type { Basis, Config } from "../config/declared.js";
import type { Flight } from "../track/flights.js";
import { hasValues } from "../track/has-values.js";
import type { Track } from "../track/track.js";

/** Where the operator was, at the flight's rows (index 0 is the flight's first row); undefined when nothing says. */
export interface OperatorWay {
  readonly basis: Basis;
  readonly from: string;
  /** NaN where not known. */
  readonly latitude_deg: Float64Array;
  readonly longitude_deg: Float64Array;
}

/** @returns the operator's way: logged, else declared; it is never inferred, since people walk */
export function chooseOperator(
  config: Config,
  track: Track,
  flight: Flight,
  operatorTrack: Track | undefined,
  longestGap_s: number,
): OperatorWay | undefined {
  const { operatorLatitude_deg, operatorLongitude_deg } = track.columns;
  if (hasValues(operatorLatitude_deg, flight) && hasValues(operatorLongitude_deg, flight)) {
    return {
      basis: "measured",
      from: "columns of the log",
      latitude_deg: operatorLatitude_deg.slice(flight.first, flight.last + 1),
      longitude_deg: operatorLongitude_deg.slice(flight.first, flight.last + 1),
    };
  }
  const { operator } = config.declared;
  if (operator === undefined) return undefined;
  const from = config.places.get("operator") ?? config.places.get("operator.track") ?? "declared";
  const length = flight.last - flight.first + 1;
  if (operator.kind === "track") {
    return { basis: "declared", from, ...alongTrack(track, flight, operatorTrack, longestGap_s) };
  }
  const spot = operator.kind === "position" ? operator : flight.takeoff;
  if (spot === undefined) return undefined;
  return {
    basis: "declared",
    from,
    latitude_deg: new Float64Array(length).fill(spot.latitude_deg),
    longitude_deg: new Float64Array(length).fill(spot.longitude_deg),
  };
}

/**
 * The operator's own recording, read at the log's times by UTC, on straight lines between its points: people walk, they
 * do not jump. Before its first and after its last point, and across its gaps, the operator's position is not known.
 */
function alongTrack(
  track: Track,
  flight: Flight,
  way: Track | undefined,
  longestGap_s: number,
): { latitude_deg: Float64Array; longitude_deg: Float64Array } {
  const length = flight.last - flight.first + 1;
  const latitude_deg = new Float64Array(length).fill(Number.NaN);
  const longitude_deg = new Float64Array(length).fill(Number.NaN);
  if (way === undefined || way.startUtc_s === undefined || track.startUtc_s === undefined) {
    return { latitude_deg, longitude_deg };
  }
  const shift_s = track.startUtc_s - way.startUtc_s;
  const times = way.columns.time_s;
  // A phone on a walk may record every ten seconds or so; a minute's silence is a gap of it.
  const gap_s = Math.max(60, longestGap_s);
  let low = 0;
  for (let k = 0; k < length; k += 1) {
    const at_s = (track.columns.time_s[flight.first + k] ?? Number.NaN) + shift_s;
    while (low < way.length - 1 && (times[low + 1] ?? 0) <= at_s) low += 1;
    const from_s = times[low] ?? Number.NaN;
    const high = at_s === from_s ? low : low + 1;
    const to_s = times[high] ?? Number.NaN;
    if (!(at_s >= from_s && at_s <= to_s) || to_s - from_s > gap_s || (high !== low && way.breaks.includes(high)))
      continue;
    const share = high === low ? 0 : (at_s - from_s) / (to_s - from_s);
    latitude_deg[k] = mix(way.columns.latitude_deg, low, high, share);
    longitude_deg[k] = mix(way.columns.longitude_deg, low, high, share);
  }
  return { latitude_deg, longitude_deg };
}

function mix(column: Float64Array, low: number, high: number, share: number): number {
  const from = column[low] ?? Number.NaN;
  return share === 0 ? from : from + share * ((column[high] ?? Number.NaN) - from);
}
