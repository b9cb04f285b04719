import type { Basis, Config } from "../config/declared.js";
import { degrees, radians, wrapBearing_deg } from "../num/bearing.js";
import { windowMean } from "../num/window-mean.js";
import type { Segment } from "../track/segments.js";
import { hasValues } from "../track/has-values.js";
import type { Motion } from "../track/motion.js";
import type { Problem, Track } from "../track/track.js";
import { type GroundVelocity, groundVelocity } from "./ground-velocity.js";
import { ownFlowReason } from "./own-flow.js";
import { fitWind, type FittedWind } from "./wind-fit.js";
import { logWindAtHeight_ms, SHEAR_DEFAULT, windAtHeight_ms } from "./wind-profile.js";

/** A wind that was logged is used as its mean over this time. */
const MEAN_S = 60;
/** What stands for an unknown wind in the upper estimate, against, at transit height (Beaufort 3 ends at 5.4 m/s). */
export const ASSUMED_AGAINST_MS = 5;
/** Without a declared gust: the larger of 2 m/s and 30 % more (project default). */
const OFF_LEAST_MS = 2;
const OFF_SHARE = 0.3;
/** One-sided 90 % point of the normal distribution: what turns a standard deviation into an adverse wind. */
const OFF_DEVIATIONS = 1.2816;

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
  /** Where declared, the log law with this roughness length, m, stands for the power law. */
  readonly roughness_m: number | undefined;
  /** Declared gust less declared speed, m/s at the reference height; undefined without a gust. */
  readonly gustOver_ms: number | undefined;
  /** Without a gust, the least that the wind may be off at the adverse level, m/s. */
  readonly leastOff_ms: number;
  readonly problems: readonly Problem[];
}

/** The rows of a flight, and what it takes to know how high it flew. */
interface Rows {
  readonly index: number;
  readonly first: number;
  readonly last: number;
  readonly segments: readonly Segment[];
  readonly takeoffAltitude_m: number | undefined;
}

/**
 * @returns the wind: columns of the log, else told by air speed and heading against the velocity over the ground, else
 *   declared, else calm with an allowance (`basis` "assumed")
 */
export function chooseWind(config: Config, track: Track, flight: Rows, motion: Motion): FlightWind {
  const declared = config.declared.wind;
  const isLogLaw = declared?.roughness_m !== undefined;
  const profile = {
    shear: declared?.shear ?? SHEAR_DEFAULT,
    shearBasis: declared?.shear === undefined && !isLogLaw ? "assumed" : "declared",
    roughness_m: declared?.roughness_m,
    leastOff_ms: OFF_LEAST_MS,
  } as const;
  const { windSpeed_ms, windFrom_deg, time_s } = track.columns;
  const problems: Problem[] = [];
  let known: GroundVelocity | undefined;
  const velocity = (): GroundVelocity => (known ??= groundVelocity(track, flight, motion));
  if (hasValues(windSpeed_ms, flight) && hasValues(windFrom_deg, flight)) {
    const reason = ownFlowReason(track, flight, motion, velocity());
    if (reason === undefined) {
      const mean = meanWind(time_s, windSpeed_ms, windFrom_deg, flight);
      const from = "columns of the log, mean over a minute";
      return {
        basis: "measured",
        from,
        ...mean,
        reference_m: Number.NaN,
        ...profile,
        gustOver_ms: undefined,
        problems,
      };
    }
    const message = `The wind columns are air flow past the aircraft in flight ${flight.index}, not wind, and are not used: ${reason}.`;
    problems.push({ severity: "warning", code: "wind-is-air-flow", message, line: undefined });
  }
  const length = flight.last - flight.first + 1;
  const fitted = fitWind(track, flight, motion, velocity);
  if (fitted !== undefined) return { ...profile, ...toldWind(fitted, length), problems };
  if (declared !== undefined) {
    const { gust_ms } = declared;
    return {
      basis: "declared",
      from: config.places.get("wind.speed") ?? config.places.get("wind") ?? "declared",
      ...steady(length, declared.speed_ms, declared.from_deg),
      reference_m: declared.height_m ?? 10,
      ...profile,
      gustOver_ms: gust_ms === undefined ? undefined : gust_ms - declared.speed_ms,
      problems,
    };
  }
  return {
    basis: "assumed",
    from: `calm, and ${ASSUMED_AGAINST_MS} m/s against for the upper estimate`,
    ...steady(length, 0, 0),
    reference_m: 10,
    ...profile,
    gustOver_ms: 0,
    problems,
  };
}

function toldWind(
  fitted: FittedWind,
  length: number,
): Pick<FlightWind, "basis" | "from" | "speed_ms" | "from_deg" | "reference_m" | "gustOver_ms" | "leastOff_ms"> {
  return {
    basis: "inferred",
    from: `air speed and heading against the velocity over the ground, one wind for the flight, ±${fitted.deviation_ms.toFixed(1)} m/s from minute to minute`,
    ...steady(length, fitted.speed_ms, fitted.from_deg),
    reference_m: fitted.height_m,
    gustOver_ms: undefined,
    leastOff_ms: Math.max(OFF_LEAST_MS, OFF_DEVIATIONS * fitted.deviation_ms),
  };
}

function steady(length: number, speed_ms: number, from_deg: number): Pick<FlightWind, "speed_ms" | "from_deg"> {
  return {
    speed_ms: new Float64Array(length).fill(speed_ms),
    from_deg: new Float64Array(length).fill(from_deg),
  };
}

/**
 * @param speed_ms at `reference_m`, e.g. the wind's own or a gust's
 * @returns the speed at another height, by the power law or, with a roughness length, the log law
 */
export function raisedWind_ms(
  { shear, roughness_m }: Pick<FlightWind, "shear" | "roughness_m">,
  speed_ms: number,
  reference_m: number,
  height_m: number,
): number {
  return roughness_m === undefined
    ? windAtHeight_ms(speed_ms, reference_m, height_m, shear)
    : logWindAtHeight_ms(speed_ms, reference_m, height_m, roughness_m);
}

/**
 * How far the wind on a leg may be off at the adverse level, m/s, along its own direction and both ways: a tailwind may
 * ease, and a light wind may turn.
 * @param legSpeed_ms the wind at the height of the leg
 */
export function windOff_ms(wind: FlightWind, legSpeed_ms: number, height_m: number): number {
  if (wind.gustOver_ms === undefined) return Math.max(wind.leastOff_ms, OFF_SHARE * legSpeed_ms);
  return raisedWind_ms(wind, wind.gustOver_ms, wind.reference_m, height_m);
}

/** Vector mean over a minute around each row; a row whose own reading is missing stays missing. */
function meanWind(
  time_s: Float64Array,
  speed_ms: Float64Array,
  from_deg: Float64Array,
  flight: { readonly first: number; readonly last: number; readonly segments: readonly Segment[] },
): { speed_ms: Float64Array; from_deg: Float64Array } {
  const { first, last } = flight;
  const times = time_s.subarray(first, last + 1);
  // A calm has no direction, and logs leave it blank.
  const along = (part: (angle: number) => number): Float64Array =>
    speed_ms
      .subarray(first, last + 1)
      .map((speed, k) => (speed === 0 ? 0 : speed * part(radians(from_deg[first + k] ?? Number.NaN))));
  const north = along(Math.cos);
  const east = along(Math.sin);
  const { length } = north;
  const meanNorth = new Float64Array(length).fill(Number.NaN);
  const meanEast = new Float64Array(length).fill(Number.NaN);
  for (const { from, to } of flight.segments) {
    windowMean(times, north, from - first, to - first, MEAN_S / 2, meanNorth);
    windowMean(times, east, from - first, to - first, MEAN_S / 2, meanEast);
  }
  const out = { speed_ms: new Float64Array(length), from_deg: new Float64Array(length) };
  for (let k = 0; k < length; k += 1) {
    const missing = Number.isNaN(north[k] ?? Number.NaN);
    const n = missing ? Number.NaN : (meanNorth[k] ?? Number.NaN);
    const e = meanEast[k] ?? Number.NaN;
    out.speed_ms[k] = Math.hypot(n, e);
    out.from_deg[k] = wrapBearing_deg(degrees(Math.atan2(e, n)));
  }
  return out;
}
