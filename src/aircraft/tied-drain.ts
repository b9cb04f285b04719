import { type Drain, SCALED_BOUND } from "./drain.js";
import { REGIMES } from "./regimes.js";

/**
 * Widens declared rates that were not told by logs but tied to the others, as `homeleg fit` writes them: ±30 % as a bound,
 * the same as for a tied rate of the flight's own fit.
 * @param tied regimes by name, from `aircraft.drain.tied`
 */
export function tiedDrain(drain: Drain, tied: readonly (typeof REGIMES)[number][]): Drain {
  if (tied.length === 0) return drain;
  const isTied = REGIMES.map((regime) => tied.includes(regime));
  const far = (sign: number): number[] =>
    drain.middle.map((rate, r) => (isTied[r] === true ? rate * (1 + sign * SCALED_BOUND) : rate));
  return { ...drain, low: far(-1), high: far(1), told: isTied.map((is) => !is) };
}
