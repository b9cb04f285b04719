import { median } from "../num/quantile.js";
import { assumedDrain, FITTED_SPREAD_PCT, withTies, type Drain } from "./drain.js";
import type { DrainStep } from "./drain-steps.js";
import { lengthOf_min, residual_pct, solveDrain } from "./solve-drain.js";

export { drainSteps, type DrainStep } from "./drain-steps.js";

/** Project defaults. A drop is a jump of the gauge where it is this far off, in robust deviations and in percent. */
const JUMP_DEVIATIONS = 5;
const JUMP_PCT = 1;
/** Under this many steps nothing tells an odd one. */
const JUMP_LEAST_STEPS = 8;
/** The median of |x| of a normal distribution is its deviation ÷ 1.4826. */
const MEDIAN_TO_DEVIATION = 1.4826;
/** Each round leaves out jumps that bent the one before; this is enough. */
const MOST_ROUNDS = 4;

/**
 * Drain rates by regime from the drops of a reading, by non-negative least squares of drop on time, each step weighted by
 * one over its duration and by the gauge's own noise (unweighted, long steps pull the rates down, which is the unsafe
 * way). A regime with too little to go by is tied to the fitted ones by the ratios of the next source's rates. Steps that
 * no rates explain, jumps of the gauge, are left out.
 * @param steps of one log or of several, one after the other
 * @param next the source that a regime without enough is tied to; the assumed rates unless given
 * @returns undefined where no regime has enough
 */
export function fitDrain(steps: readonly DrainStep[], from: string, next: Drain = assumedDrain()): Drain | undefined {
  // A long step that is a jump bends a fit that holds it until it looks right: begin with rates that it cannot bend.
  let kept = withoutJumps(steps, roughRates(steps, next.middle));
  for (let round = 0; ; round += 1) {
    const solved = solveDrain(kept, next.middle);
    if (solved === undefined) return undefined;
    const believed = round === MOST_ROUNDS ? kept : withoutJumps(steps, solved.middle);
    if (believed.length === kept.length) {
      const { middle, fitted: told, covariance } = solved;
      return withTies({ basis: "fitted", from, middle, told, covariance, spread_pct: FITTED_SPREAD_PCT }, next);
    }
    kept = believed;
  }
}

/** The next source's rates, scaled so that half of the steps dropped more and half less. */
function roughRates(steps: readonly DrainStep[], next: readonly number[]): number[] {
  const scale = median(steps.map((step) => step.drop_pct / (step.drop_pct - residual_pct(step, next))));
  return next.map((rate) => rate * scale);
}

/** The steps that the rates explain, to within what the others are off. */
function withoutJumps(steps: readonly DrainStep[], rates: readonly number[]): readonly DrainStep[] {
  if (steps.length < JUMP_LEAST_STEPS) return steps;
  const off_pct = steps.map((step) => Math.abs(residual_pct(step, rates)));
  const relative = steps.map((step, k) => (off_pct[k] ?? 0) / Math.sqrt(lengthOf_min(step)));
  const scale = MEDIAN_TO_DEVIATION * median(relative);
  const isJump = steps.map((step, k) => {
    const usual_pct = JUMP_DEVIATIONS * scale * Math.sqrt(lengthOf_min(step));
    return (off_pct[k] ?? 0) > Math.max(usual_pct, JUMP_PCT);
  });
  // What came after a step that is left out shares its first reading with nothing any more.
  return steps.flatMap((step, k) =>
    isJump[k] === true ? [] : [isJump[k - 1] === true ? { ...step, isNext: false } : step],
  );
}
