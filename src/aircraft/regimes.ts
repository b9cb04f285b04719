import { groundVelocity } from "../air/ground-velocity.js";
import type { RegimeRates } from "../config/declared.js";
import type { Flight } from "../track/flights.js";
import { type Motion, smoothFlight } from "../track/motion.js";
import type { Track } from "../track/track.js";

/** The four ways of flying that a drain rate is known for. The order is that of every vector of rates here. */
export const REGIMES = ["hover", "climb", "cruise", "descent"] as const satisfies readonly (keyof RegimeRates)[];

/** Number of a regime in `REGIMES`. */
export const HOVER = 0;
export const CLIMB = 1;
export const CRUISE = 2;
export const DESCENT = 3;

/** Limits (docs/model.md), on means over three seconds. */
const MEAN_S = 3;
const VERTICAL_MS = 0.5;
const HOVER_BELOW_MS = 1;

/** Wind at the rows of a flight, by their indices in the track, for telling air speed from ground speed; undefined where it is not known. */
export interface RowWind {
  /** Towards north and east, m/s. */
  readonly north_ms: Float64Array;
  readonly east_ms: Float64Array;
}

/**
 * The regime of every row: climb, descent, else hover or cruise by the air speed.
 * @param airSpeed_ms of `airSpeedOf`
 * @returns numbers of `REGIMES` for the flight's rows (index 0 is the flight's first row); cruise where the speed is not
 *   known
 */
export function regimesOf(track: Track, flight: Flight, motion: Motion, airSpeed_ms: Float64Array): Uint8Array {
  const climb = smoothFlight(track, flight, motion.climbRate_ms, MEAN_S);
  const speed = smoothFlight(track, flight, airSpeed_ms, MEAN_S);
  const regimes = new Uint8Array(flight.last - flight.first + 1);
  for (let k = 0; k < regimes.length; k += 1) {
    const rate = climb[k] ?? Number.NaN;
    if (rate > VERTICAL_MS) regimes[k] = CLIMB;
    else if (rate < -VERTICAL_MS) regimes[k] = DESCENT;
    else regimes[k] = (speed[k] ?? Number.NaN) < HOVER_BELOW_MS ? HOVER : CRUISE;
  }
  return regimes;
}

/**
 * Air speed at the rows of a flight: logged, else ground velocity less the wind where that is known, else the ground
 * speed. Indices are those of the track.
 */
export function airSpeedOf(track: Track, flight: Flight, motion: Motion, wind: RowWind | undefined): Float64Array {
  const logged = track.columns.airSpeed_ms;
  if (logged !== undefined) return logged;
  if (wind === undefined) return motion.groundSpeed_ms;
  const velocity = groundVelocity(track, flight, motion);
  const out = new Float64Array(track.length).fill(Number.NaN);
  for (let i = flight.first; i <= flight.last; i += 1) {
    const north = velocity.north_ms[i - flight.first] ?? Number.NaN;
    const east = velocity.east_ms[i - flight.first] ?? Number.NaN;
    // Without a course the ground speed has to do.
    out[i] = Number.isNaN(north)
      ? (motion.groundSpeed_ms[i] ?? Number.NaN)
      : Math.hypot(north - (wind.north_ms[i] ?? Number.NaN), east - (wind.east_ms[i] ?? Number.NaN));
  }
  return out;
}

/** @returns minutes of the flight in each regime; gaps belong to none */
export function regimeTimes_min(track: Track, flight: Flight, regimes: Uint8Array): number[] {
  const { time_s } = track.columns;
  const times = REGIMES.map(() => 0);
  for (const { from, to } of flight.segments) {
    for (let i = from; i < to - 1; i += 1) {
      const regime = regimes[i - flight.first] ?? 0;
      times[regime] = (times[regime] ?? 0) + ((time_s[i + 1] ?? 0) - (time_s[i] ?? 0)) / 60;
    }
  }
  return times;
}
