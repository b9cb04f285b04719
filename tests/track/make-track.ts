import type { Channel } from "../../src/track/channels.js";
import type { Flight } from "../../src/track/flights.js";
import { medianStep_s, segmentsOf } from "../../src/track/segments.js";
import type { Track } from "../../src/track/track.js";

/** A column given as numbers, as one number for all rows, or by row and time. */
export type ColumnSpec = number | readonly number[] | Float64Array | ((time_s: number, row: number) => number);

const HOME = { latitude_deg: 47, longitude_deg: 8 };
/** Metres in a degree of latitude at 47° N and of longitude there, close enough to build tracks by hand. */
const DEGREE = { latitude_m: 111_178, longitude_m: 76_057 };

/** A position so many metres east and north of a fixed spot. */
export function place(east_m: number, north_m: number = 0): { latitude_deg: number; longitude_deg: number } {
  return {
    latitude_deg: HOME.latitude_deg + north_m / DEGREE.latitude_m,
    longitude_deg: HOME.longitude_deg + east_m / DEGREE.longitude_m,
  };
}

/** Times from 0, `step_s` apart, the last one at `until_s` or just before. */
export function times(until_s: number, step_s: number = 1): Float64Array {
  return Float64Array.from({ length: Math.floor(until_s / step_s + 1e-9) + 1 }, (_, i) => i * step_s);
}

/** A track; without coordinates it stands at one spot, with `east_m` it moves along the parallel. */
export function makeTrack(
  time_s: ArrayLike<number>,
  columns: Partial<Record<Channel | "east_m", ColumnSpec>> = {},
  breaks: readonly number[] = [],
): Track {
  const at = Float64Array.from(Array.from(time_s));
  const { east_m = 0, ...rest } = columns;
  const east = expand(east_m, at);
  const out: Partial<Record<Channel, Float64Array>> = {};
  for (const [channel, spec] of Object.entries(rest) as [Channel, ColumnSpec][]) out[channel] = expand(spec, at);
  return {
    length: at.length,
    startUtc_s: undefined,
    columns: {
      latitude_deg: east.map((x) => (Number.isNaN(x) ? x : HOME.latitude_deg)),
      longitude_deg: east.map((x) => place(x).longitude_deg),
      ...out,
      time_s: at,
    },
    mode: undefined,
    breaks,
  };
}

function expand(spec: ColumnSpec, time_s: Float64Array): Float64Array {
  if (typeof spec === "number") return time_s.map(() => spec);
  if (typeof spec === "function") return time_s.map((t, i) => spec(t, i));
  if (spec.length !== time_s.length) throw new Error(`column of ${spec.length} for ${time_s.length} rows`);
  return Float64Array.from(spec);
}

/** A flight over rows [first, last] of a track, whatever the track shows. */
export function makeFlight(track: Track, given: Partial<Flight> = {}, longestGap_s: number = 5): Flight {
  const first = given.first ?? 0;
  const last = given.last ?? track.length - 1;
  return {
    index: 1,
    first,
    last,
    segments: segmentsOf(track, longestGap_s)
      .map(({ from, to }) => ({ from: Math.max(from, first), to: Math.min(to, last + 1) }))
      .filter(({ from, to }) => from < to),
    step_s: medianStep_s(track),
    takeoff: place(0),
    takeoffAltitude_m: undefined,
    beginsInAir: false,
    endsInAir: false,
    basis: "inferred",
    ...given,
  };
}

/** Linear interpolation through [time, value] corners, held at both ends. */
export function through(...corners: readonly (readonly [number, number])[]): (time_s: number) => number {
  return (time_s) => {
    const [firstTime, firstValue] = corners[0] ?? [0, 0];
    if (time_s <= firstTime) return firstValue;
    for (let k = 1; k < corners.length; k += 1) {
      const [t0, v0] = corners[k - 1] ?? [0, 0];
      const [t1, v1] = corners[k] ?? [0, 0];
      if (time_s <= t1) return v0 + ((v1 - v0) * (time_s - t0)) / (t1 - t0);
    }
    return corners[corners.length - 1]?.[1] ?? Number.NaN;
  };
}

/** The same value so many times. */
export function repeat<T>(value: T, count: number): T[] {
  return Array.from({ length: count }, () => value);
}
