import { nonNegativeLeastSquares } from "../num/non-negative-least-squares.js";
import type { Flight } from "../track/flights.js";
import type { Track } from "../track/track.js";
import { stepsOf } from "./battery-line.js";
import { assumedDrain, FITTED_SPREAD_PCT, withTies, type Drain } from "./drain.js";
import { CLIMB, DESCENT, REGIMES } from "./regimes.js";

/** One drop of the reading: how much, and how long the aircraft spent in each regime meanwhile, min. */
export interface DrainStep {
  readonly drop_pct: number;
  readonly times_min: readonly number[];
}

/** What a regime needs before its rate is believed. */
const ENOUGH_S = 60;
const ENOUGH_DROP_PCT = 3;
const ENOUGH_VERTICAL_S = 30;
const ENOUGH_VERTICAL_STEPS = 2;
/** Finer readings are taken together until they have dropped this much. */
const STEP_PCT = 1;

/**
 * The drops of a flight's reading. The first and last partial steps and steps across a gap are left out: it is not known
 * when they began or ended.
 * @param regimes of the flight's rows, index 0 is the first
 */
export function drainSteps(track: Track, flight: Flight, battery_pct: Float64Array, regimes: Uint8Array): DrainStep[] {
  const { rows } = stepsOf(battery_pct, flight.first, flight.last);
  const steps: DrainStep[] = [];
  for (const segment of flight.segments) {
    // A value already there at the segment's first reading began in the gap, or before the flight.
    let firstRead = segment.from;
    while (firstRead < segment.to && Number.isNaN(battery_pct[firstRead] ?? Number.NaN)) firstRead += 1;
    const inside = rows.filter((row) => row > firstRead && row < segment.to);
    let anchor = inside[0];
    for (const row of inside.slice(1)) {
      if (anchor === undefined) break;
      const drop_pct = (battery_pct[anchor] ?? 0) - (battery_pct[row] ?? 0);
      if (drop_pct < STEP_PCT - 1e-9) continue;
      steps.push({ drop_pct, times_min: timesBetween(track, flight, regimes, anchor, row) });
      anchor = row;
    }
  }
  return steps;
}

function timesBetween(track: Track, flight: Flight, regimes: Uint8Array, from: number, to: number): number[] {
  const { time_s } = track.columns;
  const times = REGIMES.map(() => 0);
  for (let i = from; i < to; i += 1) {
    const regime = regimes[i - flight.first] ?? 0;
    times[regime] = (times[regime] ?? 0) + ((time_s[i + 1] ?? 0) - (time_s[i] ?? 0)) / 60;
  }
  return times;
}

/**
 * Drain rates by regime from the drops of a reading: non-negative least squares of drop on time, each step weighted by
 * one over its duration (unweighted, long steps pull the rates down, which is the unsafe way). A regime with too little
 * to go by is tied to the fitted ones by the ratios of the next source's rates.
 * @param next the source that a regime without enough is tied to; the assumed rates unless given
 * @returns undefined where no regime has enough
 */
export function fitDrain(steps: readonly DrainStep[], from: string, next: Drain = assumedDrain()): Drain | undefined {
  let fitted = REGIMES.map((_, regime) => hasEnough(steps, regime));
  while (fitted.some(Boolean)) {
    const { solution, covariance, ties } = solve(steps, fitted, next.middle);
    const middle = ties.map((tie) => tie.reduce((sum, share, j) => sum + share * (solution[j] ?? 0), 0));
    // A rate of nothing in the air is not a rate: tie that regime to the others instead.
    const believed = fitted.map((isFitted, regime) => isFitted && (middle[regime] ?? 0) > 0);
    if (believed.some((isBelieved, regime) => isBelieved !== fitted[regime])) {
      fitted = believed;
      continue;
    }
    const joint = ties.map((a) => ties.map((b) => bilinear(a, covariance, b)));
    const drain = {
      basis: "fitted",
      from,
      middle,
      told: fitted,
      covariance: joint,
      spread_pct: FITTED_SPREAD_PCT,
    } as const;
    return withTies(drain, next);
  }
  return undefined;
}

function hasEnough(steps: readonly DrainStep[], regime: number): boolean {
  let time_min = 0;
  let drop_pct = 0;
  let worth = 0;
  for (const { drop_pct: drop, times_min } of steps) {
    const all = times_min.reduce((sum, time) => sum + time, 0);
    const time = times_min[regime] ?? 0;
    time_min += time;
    drop_pct += (drop * time) / all;
    worth += time / all;
  }
  if (regime === CLIMB || regime === DESCENT) {
    return time_min * 60 >= ENOUGH_VERTICAL_S && worth >= ENOUGH_VERTICAL_STEPS;
  }
  return time_min * 60 >= ENOUGH_S && drop_pct >= ENOUGH_DROP_PCT;
}

/**
 * Solves for the fitted regimes. `ties[r][j]` is how much of the j-th fitted rate goes into the rate of regime r: itself,
 * or the next source's rate × (fitted ÷ next over the fitted regimes' time).
 */
function solve(
  steps: readonly DrainStep[],
  fitted: readonly boolean[],
  next: readonly number[],
): { solution: readonly number[]; covariance: readonly (readonly number[])[]; ties: number[][] } {
  const chosen = fitted.flatMap((isFitted, regime) => (isFitted ? [regime] : []));
  const totals = chosen.map((regime) => steps.reduce((sum, { times_min }) => sum + (times_min[regime] ?? 0), 0));
  const known = chosen.reduce((sum, regime, j) => sum + (next[regime] ?? 0) * (totals[j] ?? 0), 0);
  const ties = REGIMES.map((_, regime) =>
    chosen.map((own, j) => {
      if (fitted[regime] === true) return own === regime ? 1 : 0;
      return ((next[regime] ?? 0) * (totals[j] ?? 0)) / known;
    }),
  );
  const rows = steps.map(({ times_min }) =>
    chosen.map((_, j) => times_min.reduce((sum, time, regime) => sum + time * (ties[regime]?.[j] ?? 0), 0)),
  );
  const weights = steps.map(({ times_min }) => 1 / times_min.reduce((sum, time) => sum + time, 0));
  const { solution, covariance } = nonNegativeLeastSquares(
    rows,
    steps.map(({ drop_pct }) => drop_pct),
    weights,
  );
  return { solution, covariance: covariance.map((row) => row.map((v) => (Number.isNaN(v) ? 0 : v))), ties };
}

function bilinear(a: readonly number[], matrix: readonly (readonly number[])[], b: readonly number[]): number {
  return a.reduce((sum, x, i) => sum + x * b.reduce((inner, y, j) => inner + (matrix[i]?.[j] ?? 0) * y, 0), 0);
}
