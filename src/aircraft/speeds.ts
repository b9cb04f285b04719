import type { Basis, Config } from "../config/declared.js";
import type { Sourced } from "../config/sourced.js";
import { quantile } from "../num/quantile.js";
import type { Flight } from "../track/flights.js";
import type { Motion } from "../track/motion.js";
import type { Track } from "../track/track.js";
import { type FlownRows, flownRowsOf } from "./flown-rows.js";
import { CLIMB, CRUISE, DESCENT } from "./regimes.js";

/** A speed with its spread: one standard deviation as a share of it, or the adverse end of what was assumed. */
export interface Speed extends Sourced<number> {
  readonly spread: number;
  /** The slow end, where the value was only assumed. */
  readonly adverse_ms: number | undefined;
  /** The fast end, where the value was only assumed and an assumption alone must not fail a flight; else the value. */
  readonly best_ms: number;
}

/** Speeds of a recovery, m/s. */
export interface Speeds {
  readonly recovery: Speed;
  readonly climb: Speed;
  readonly descent: Speed;
  readonly landing: Speed;
}

/** Project defaults, no source. */
const ASSUMED = {
  recovery: { value: 8, adverse: 6, best: 12 },
  climb: { value: 3, adverse: 2, best: 6 },
  descent: { value: 2, adverse: 1.5, best: 5 },
  landing: { value: 0.8, adverse: 0.5, best: 1.5 },
} as const;
const DECLARED_SPREAD = { recovery: 0.03, climb: 0.05, descent: 0.05, landing: 0.05 } as const;
const INFERRED_SPREAD = { recovery: 0.1, climb: 0.15, descent: 0.15, landing: 0.15 } as const;

/** Legs that tell a recovery speed. */
const LEG_S = 20;
const LEG_OVER_MS = 6;
const LEG_LEAST_MS = 8;
/** Project default: a flown recovery shorter than this tells no speed. */
const FLOWN_S = 10;
/** Project default: this much of climbing or descending before its speed is taken from the log. */
const VERTICAL_ENOUGH_S = 8;
/** A recovery uses the vertical speeds near the upper end of what a pilot's hand does. */
const VERTICAL_QUANTILE = 0.75;

/** @returns the speeds, declared first, else told by the log's own flying, else assumed */
export function chooseSpeeds(
  config: Config,
  track: Track,
  flight: Flight,
  motion: Motion,
  airSpeed_ms: Float64Array,
  regimes: Uint8Array,
): Speeds {
  const declared = config.declared.aircraft.speeds_ms;
  const choose = (name: keyof Speeds, inferred: number | undefined, from: string): Speed => {
    const value = declared[name];
    const place = config.places.get(`aircraft.speeds.${name}`) ?? "declared";
    if (value !== undefined) return known(value, "declared", place, DECLARED_SPREAD[name]);
    if (inferred !== undefined) return known(inferred, "inferred", from, INFERRED_SPREAD[name]);
    const { value: assumed, adverse, best } = ASSUMED[name];
    const ends = { adverse_ms: adverse, best_ms: best };
    return { value: assumed, ...ends, basis: "assumed", from: "project default", spread: 0 };
  };
  const flown = flownSpeed_ms(track, flight, airSpeed_ms, regimes, flownRowsOf(config, track, flight));
  return {
    recovery:
      flown === undefined
        ? choose("recovery", legSpeed_ms(track, flight, airSpeed_ms), "this log's fast legs, at least 8 m/s")
        : choose("recovery", flown, "the recovery flown in this log"),
    climb: choose("climb", verticalSpeed_ms(track, flight, motion, regimes, CLIMB), "this log's climbs"),
    descent: choose("descent", verticalSpeed_ms(track, flight, motion, regimes, DESCENT), "this log's descents"),
    landing: choose("landing", undefined, ""),
  };
}

function known(value: number, basis: Basis, from: string, spread: number): Speed {
  return { value, adverse_ms: undefined, best_ms: value, basis, from, spread };
}

/**
 * The speed of the way home where the log says that a recovery was flown, for ten seconds or more, m/s.
 * @returns undefined where none was flown, or not for long enough
 */
export function flownSpeed_ms(
  track: Track,
  flight: Flight,
  speed: Float64Array,
  regimes: Uint8Array,
  rows: FlownRows | undefined,
): number | undefined {
  const { time_s } = track.columns;
  if (rows === undefined) return undefined;
  const flown: number[] = [];
  let lasted_s = 0;
  for (const { from, to } of flight.segments) {
    for (let i = from; i < to - 1; i += 1) {
      if (rows.isFlown[i - flight.first] !== 1 || regimes[i - flight.first] !== CRUISE) continue;
      flown.push(speed[i] ?? Number.NaN);
      lasted_s += (time_s[i + 1] ?? 0) - (time_s[i] ?? 0);
    }
  }
  const median_ms = quantile(flown, 0.5);
  return lasted_s >= FLOWN_S && median_ms > 0 ? median_ms : undefined;
}

function legSpeed_ms(track: Track, flight: Flight, speed: Float64Array): number | undefined {
  const { time_s } = track.columns;
  const inLegs: number[] = [];
  for (const { from, to } of flight.segments) {
    let start = from;
    for (let i = from; i <= to; i += 1) {
      if (i < to && (speed[i] ?? Number.NaN) > LEG_OVER_MS) continue;
      if (i > start && (time_s[i - 1] ?? 0) - (time_s[start] ?? 0) >= LEG_S) {
        for (let k = start; k < i; k += 1) inLegs.push(speed[k] ?? Number.NaN);
      }
      start = i + 1;
    }
  }
  return inLegs.length === 0 ? undefined : Math.max(LEG_LEAST_MS, quantile(inLegs, 0.5));
}

function verticalSpeed_ms(
  track: Track,
  flight: Flight,
  motion: Motion,
  regimes: Uint8Array,
  regime: number,
): number | undefined {
  const { time_s } = track.columns;
  const rates: number[] = [];
  let lasted_s = 0;
  for (const { from, to } of flight.segments) {
    for (let i = from; i < to - 1; i += 1) {
      if (regimes[i - flight.first] !== regime) continue;
      rates.push(Math.abs(motion.climbRate_ms[i] ?? Number.NaN));
      lasted_s += (time_s[i + 1] ?? 0) - (time_s[i] ?? 0);
    }
  }
  if (lasted_s < VERTICAL_ENOUGH_S) return undefined;
  const speed = quantile(rates, VERTICAL_QUANTILE);
  return speed > 0 ? speed : undefined;
}
