import type { Drain } from "../aircraft/drain.js";
import type { DrainStep } from "../aircraft/fit-drain.js";

/** A flown drop of the reading against the drop that rates predict for the same time in each regime. */
export interface Ratio {
  readonly flown_pct: number;
  readonly predicted_pct: number;
  /** Flown ÷ predicted; NaN where nothing is predicted. */
  readonly ratio: number;
  /** One standard deviation of the ratio from the reading alone, as a share. */
  readonly error: number;
  /** One standard deviation of the prediction from the rates' covariance, as a share. */
  readonly rateError: number;
}

/** A drop is never known better than this, % of charge: a reading of whole percents is off by 0.29 (1/√12). */
const LEAST_ERROR_PCT = 0.3;

/**
 * Flown against predicted, for each group of steps (a flight, or a log).
 * @param noise_pct2PerMin variance of a step's drop per minute of it, from `stepNoise`
 */
export function ratiosOf(groups: readonly (readonly DrainStep[])[], drain: Drain, noise_pct2PerMin: number): Ratio[] {
  return groups.map((steps) => {
    const times = drain.middle.map((_, r) => steps.reduce((sum, { times_min }) => sum + (times_min[r] ?? 0), 0));
    const flown_pct = steps.reduce((sum, { drop_pct }) => sum + drop_pct, 0);
    const predicted_pct = times.reduce((sum, time, r) => sum + time * (drain.middle[r] ?? 0), 0);
    const lasted_min = times.reduce((sum, time) => sum + time, 0);
    const error_pct = Math.max(LEAST_ERROR_PCT, Math.sqrt(noise_pct2PerMin * lasted_min));
    const variance = times.reduce(
      (sum, a, i) => sum + a * times.reduce((inner, b, j) => inner + (drain.covariance[i]?.[j] ?? 0) * b, 0),
      0,
    );
    return {
      flown_pct,
      predicted_pct,
      ratio: predicted_pct > 0 ? flown_pct / predicted_pct : Number.NaN,
      error: error_pct / predicted_pct,
      rateError: Math.sqrt(Math.max(0, variance)) / predicted_pct,
    };
  });
}

/**
 * How much a step's drop scatters about its own flight's rates: Σ residual²/T over all steps, divided by steps less flights,
 * each flight scaled to its own level first.
 * @returns %² a minute; 0 where no flight has two steps
 */
export function stepNoise(groups: readonly (readonly DrainStep[])[], drain: Drain): number {
  let sum = 0;
  let free = 0;
  for (const steps of groups) {
    const predicted = steps.map(({ times_min }) =>
      times_min.reduce((total, time, r) => total + time * (drain.middle[r] ?? 0), 0),
    );
    const all = predicted.reduce((total, drop) => total + drop, 0);
    const level = all > 0 ? steps.reduce((total, { drop_pct }) => total + drop_pct, 0) / all : 1;
    steps.forEach(({ drop_pct, times_min }, i) => {
      const lasted_min = times_min.reduce((total, time) => total + time, 0);
      sum += (drop_pct - level * (predicted[i] ?? 0)) ** 2 / lasted_min;
    });
    free += Math.max(0, steps.length - 1);
  }
  return free === 0 ? 0 : sum / free;
}
