import type { Flight } from "../track/flights.js";
import type { Track } from "../track/track.js";
import { type DrainStep, dropsOf, timedDrops } from "./drain-steps.js";
import { assumedDrain, type Drain } from "./drain.js";
import { solveDrain } from "./solve-drain.js";

/** Time constants that are tried, s (project default). */
const LAGS_S = [0, 2, 4, 7, 10, 14, 19, 25, 32] as const;

/** A lag is believed where it gains this much log-likelihood: 95 %, one parameter. */
const BELIEVED_GAIN = 1.92;

/** The drops of a flight's reading against the regimes that caused them. */
export interface AlignedSteps {
  readonly steps: readonly DrainStep[];
  /** How much the reading lags the truth, s; 0 where the flight does not tell. */
  readonly lag_s: number;
}

/**
 * The drops of a reading, set against the regimes as a gauge with a lag feels them.
 *
 * A gauge that lags puts part of a climb's drops into the cruise after it and makes every rate like its neighbours'. The
 * lag that makes the drops likeliest is taken; none where that is hardly likelier.
 * @param next the source that a regime without enough is tied to
 */
export function alignedDrainSteps(
  track: Track,
  flight: Flight,
  battery_pct: Float64Array,
  regimes: Uint8Array,
  next: Drain = assumedDrain(),
): AlignedSteps {
  const drops = dropsOf(track, flight, battery_pct, regimes);
  const tried = LAGS_S.map((lag_s) => {
    const steps = timedDrops(drops, lag_s);
    return { steps, lag_s, likelihood: solveDrain(steps, next.middle)?.likelihood ?? Number.NEGATIVE_INFINITY };
  });
  const best = tried.reduce((likeliest, one) => (one.likelihood > likeliest.likelihood ? one : likeliest));
  const [prompt = best] = tried;
  // Not by a difference: a reading explained to the last digit has a likelihood without end.
  return best.likelihood >= prompt.likelihood + BELIEVED_GAIN ? best : prompt;
}
