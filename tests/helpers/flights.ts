import geodesic from "geographiclib-geodesic";
import type { Channel } from "../../src/track/channels.js";
import type { Flight } from "../../src/track/flights.js";
import type { Track } from "../../src/track/track.js";

/** Where invented flights take off. */
export const ORIGIN = { latitude_deg: 47, longitude_deg: 8 };

/** One row of an invented flight. */
export type Row = Partial<Record<Channel, number>> & { readonly time_s: number };

/** @returns a position at a distance and course from the origin, by the geodesic library and not by the code under test */
export function at(distance_m: number, course_deg: number): { latitude_deg: number; longitude_deg: number } {
  const { lat2, lon2 } = geodesic.Geodesic.WGS84.Direct(
    ORIGIN.latitude_deg,
    ORIGIN.longitude_deg,
    course_deg,
    distance_m,
  );
  return { latitude_deg: lat2 ?? Number.NaN, longitude_deg: lon2 ?? Number.NaN };
}

/** @returns a track with the channels that the rows have; what a row lacks is NaN */
export function trackOf(rows: readonly Row[], options: { startUtc_s?: number; breaks?: number[] } = {}): Track {
  const names = [...new Set(rows.flatMap((row) => Object.keys(row)))] as Channel[];
  const columns: Partial<Record<Channel, Float64Array>> = {};
  for (const name of names) columns[name] = Float64Array.from(rows, (row) => row[name] ?? Number.NaN);
  const empty = new Float64Array(rows.length).fill(Number.NaN);
  return {
    length: rows.length,
    startUtc_s: options.startUtc_s,
    columns: {
      ...columns,
      time_s: columns.time_s ?? empty,
      latitude_deg: columns.latitude_deg ?? empty,
      longitude_deg: columns.longitude_deg ?? empty,
    },
    mode: undefined,
    breaks: options.breaks ?? [],
  };
}

/** @returns a flight of these rows of a track, whatever the track shows: from take-off at the origin to a landing */
export function flightOfRows(first: number, last: number): Flight {
  return {
    index: 1,
    first,
    last,
    segments: [{ from: first, to: last + 1 }],
    step_s: 1,
    takeoff: ORIGIN,
    takeoffAltitude_m: undefined,
    beginsInAir: false,
    endsInAir: false,
    basis: "measured",
  };
}

/** A flight straight out along a course and back, flown at constant ground speeds, height and rates. */
export interface OutAndBack {
  readonly course_deg: number;
  readonly out_ms: number;
  readonly outFor_s: number;
  readonly back_ms: number;
  readonly height_m: number;
  readonly battery_pct: number;
  /** While flying out and back, % a minute. */
  readonly rate_pctPerMin: number;
  readonly step_s: number;
}

/**
 * @returns rows from t = 0 over the origin at height, out, and back to the origin; battery exact, not quantised, so that
 *   the answer is closed-form. The flag says it is airborne, and the first row is low, so that take-off was seen.
 */
export function outAndBack(plan: OutAndBack): Row[] {
  const rows: Row[] = [];
  const backFor_s = (plan.out_ms * plan.outFor_s) / plan.back_ms;
  const steps = Math.round((plan.outFor_s + backFor_s) / plan.step_s);
  for (let i = 0; i <= steps; i += 1) {
    const time_s = i * plan.step_s;
    const distance_m =
      time_s <= plan.outFor_s
        ? plan.out_ms * time_s
        : Math.max(0, plan.out_ms * plan.outFor_s - plan.back_ms * (time_s - plan.outFor_s));
    rows.push({
      time_s,
      ...at(distance_m, plan.course_deg),
      height_m: i === 0 ? 0 : plan.height_m,
      battery_pct: plan.battery_pct - (plan.rate_pctPerMin * time_s) / 60,
      airborne: 1,
    });
  }
  return rows;
}

/** @returns the rows with ten seconds on the ground after them, so that the record does not end in the air */
export function landed(rows: readonly Row[]): Row[] {
  const last = rows[rows.length - 1];
  if (last === undefined) return [];
  const ground = Array.from({ length: 10 }, (_, i) => ({
    ...last,
    time_s: last.time_s + 1 + i,
    height_m: 0,
    airborne: 0,
  }));
  return [...rows, ...ground];
}
