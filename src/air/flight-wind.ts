import type { Basis, Config } from "../config/declared.js";
import { degrees, radians, wrapBearing_deg } from "../num/bearing.js";
import { windowMean } from "../num/window-mean.js";
import type { Segment } from "../track/segments.js";
import { hasValues } from "../track/has-values.js";
import type { Track } from "../track/track.js";
import { SHEAR_DEFAULT, windAtHeight_ms } from "./wind-profile.js";

/** A wind that was logged is used as its mean over this time. */
const MEAN_S = 60;
/** What stands for an unknown wind in the upper estimate, against, at transit height (Beaufort 3 ends at 5.4 m/s). */
export const ASSUMED_AGAINST_MS = 5;
/** Without a declared gust: the larger of 2 m/s and 30 % more (project default). */
const OFF_LEAST_MS = 2;
const OFF_SHARE = 0.3;

/** The wind of a flight at its rows (index 0 is the flight's first row). */
export interface FlightWind {
  readonly basis: Basis;
  readonly from: string;
  /** At the reference height; 0 where the wind is only assumed; NaN where a logged wind is missing. */
  readonly speed_ms: Float64Array;
  /** Where it blows from, true. */
  readonly from_deg: Float64Array;
  /** Height over the ground that the speed holds for, m; NaN for the aircraft's own height. */
  readonly reference_m: number;
  readonly shear: number;
  readonly shearBasis: Basis;
  /** Declared gust less declared speed, m/s at the reference height; undefined without a gust. */
  readonly gustOver_ms: number | undefined;
}

/** @returns the wind: logged, else declared, else calm with an allowance (`basis` "assumed") */
export function chooseWind(
  config: Config,
  track: Track,
  flight: { readonly first: number; readonly last: number; readonly segments: readonly Segment[] },
): FlightWind {
  const length = flight.last - flight.first + 1;
  const declared = config.declared.wind;
  const shear = declared?.shear ?? SHEAR_DEFAULT;
  const shearBasis: Basis = declared?.shear === undefined ? "assumed" : "declared";
  const { windSpeed_ms, windFrom_deg } = track.columns;
  if (hasValues(windSpeed_ms, flight) && hasValues(windFrom_deg, flight)) {
    const mean = meanWind(track.columns.time_s, windSpeed_ms, windFrom_deg, flight);
    const from = "columns of the log, mean over a minute";
    return { basis: "measured", from, ...mean, reference_m: Number.NaN, shear, shearBasis, gustOver_ms: undefined };
  }
  if (declared !== undefined) {
    const { gust_ms } = declared;
    return {
      basis: "declared",
      from: config.places.get("wind.speed") ?? config.places.get("wind") ?? "declared",
      speed_ms: new Float64Array(length).fill(declared.speed_ms),
      from_deg: new Float64Array(length).fill(declared.from_deg),
      reference_m: declared.height_m ?? 10,
      shear,
      shearBasis,
      gustOver_ms: gust_ms === undefined ? undefined : gust_ms - declared.speed_ms,
    };
  }
  return {
    basis: "assumed",
    from: `calm, and ${ASSUMED_AGAINST_MS} m/s against for the upper estimate`,
    speed_ms: new Float64Array(length),
    from_deg: new Float64Array(length),
    reference_m: 10,
    shear,
    shearBasis,
    gustOver_ms: 0,
  };
}

/**
 * How far the wind on a leg may be off at the adverse level, m/s, along its own direction and both ways: a tailwind may
 * ease, and a light wind may turn.
 * @param legSpeed_ms the wind at the height of the leg
 */
export function windOff_ms(wind: FlightWind, legSpeed_ms: number, height_m: number): number {
  if (wind.gustOver_ms === undefined) return Math.max(OFF_LEAST_MS, OFF_SHARE * legSpeed_ms);
  return windAtHeight_ms(wind.gustOver_ms, wind.reference_m, height_m, wind.shear);
}

/** Vector mean over a minute around each row; a row whose own reading is missing stays missing. */
function meanWind(
  time_s: Float64Array,
  speed_ms: Float64Array,
  from_deg: Float64Array,
  flight: { readonly first: number; readonly last: number; readonly segments: readonly Segment[] },
): { speed_ms: Float64Array; from_deg: Float64Array } {
  // A calm has no direction, and logs leave it blank.
  const along = (part: (angle: number) => number): Float64Array =>
    speed_ms.map((speed, i) => (speed === 0 ? 0 : speed * part(radians(from_deg[i] ?? Number.NaN))));
  const north = along(Math.cos);
  const east = along(Math.sin);
  const meanNorth = new Float64Array(speed_ms.length).fill(Number.NaN);
  const meanEast = new Float64Array(speed_ms.length).fill(Number.NaN);
  for (const { from, to } of flight.segments) {
    windowMean(time_s, north, from, to, MEAN_S / 2, meanNorth);
    windowMean(time_s, east, from, to, MEAN_S / 2, meanEast);
  }
  const length = flight.last - flight.first + 1;
  const out = { speed_ms: new Float64Array(length), from_deg: new Float64Array(length) };
  for (let k = 0; k < length; k += 1) {
    const i = flight.first + k;
    const missing = Number.isNaN(north[i] ?? Number.NaN);
    const n = missing ? Number.NaN : (meanNorth[i] ?? Number.NaN);
    const e = meanEast[i] ?? Number.NaN;
    out.speed_ms[k] = Math.hypot(n, e);
    out.from_deg[k] = wrapBearing_deg(degrees(Math.atan2(e, n)));
  }
  return out;
}
