import { groundSpeed_ms } from "../air/wind-triangle.js";
import type { Drain } from "../aircraft/drain.js";
import { CLIMB, CRUISE, DESCENT, HOVER } from "../aircraft/regimes.js";
import type { Speeds } from "../aircraft/speeds.js";

/** How one recovery goes; written over for each moment, so that the replay allocates nothing. Heights are above R. */
export interface Plan {
  /** Hovering before it sets off, s. */
  delay_s: number;
  /** Height it starts from, and the height of the leg. */
  height_m: number;
  top_m: number;
  /** The leg's height where an assumed recovery height is taken at its favourable end: no climb. Else `top_m`. */
  bestTop_m: number;
  /** 0 for a landing on the spot. */
  distance_m: number;
  course_deg: number;
  /** On the leg; blowing from, true. */
  wind_ms: number;
  windFrom_deg: number;
  /** How far the wind may be off at the adverse level, both ways. */
  windOff_ms: number;
  /** Against, at transit height, added as a bound where the wind is only assumed; else 0. */
  windBound_ms: number;
}

/** The battery a recovery uses, % of full charge. Infinite where there is no headway. */
export interface Need {
  middle_pct: number;
  upper_pct: number;
  /** The upper need with what was only assumed at its favourable end instead of its bounds. */
  upperKnown_pct: number;
  /** With what was only assumed at its favourable end: an assumption alone fails no flight. Else the middle. */
  low_pct: number;
  /** Over the ground on the leg, m/s: middle, and least over the adverse winds. */
  groundSpeed_ms: number;
  groundSpeedAdverse_ms: number;
  /** The same with an assumed recovery speed at its fast end; equal where the speed is known. */
  groundSpeedBest_ms: number;
  groundSpeedAdverseBest_ms: number;
}

/** @returns a need to be written over */
export function emptyNeed(): Need {
  return {
    middle_pct: 0,
    upper_pct: 0,
    upperKnown_pct: 0,
    low_pct: 0,
    groundSpeed_ms: 0,
    groundSpeedAdverse_ms: 0,
    groundSpeedBest_ms: 0,
    groundSpeedAdverseBest_ms: 0,
  };
}

/** What does not change within a flight. */
export interface NeedModel {
  readonly drain: Drain;
  readonly speeds: Speeds;
  readonly slowHeight_m: number;
  /** Standard normal quantile of the one-sided level of the upper need. */
  readonly z: number;
}

/**
 * Energy of one recovery: Σ rate of the phase's regime × its time; upper = middle + √Σ(each input at its adverse value −
 * middle)² + bounds of assumed inputs. Formulas: docs/model.md.
 */
export function computeNeed(model: NeedModel, plan: Plan, out: Need): void {
  const { drain, speeds } = model;
  const hover = plan.delay_s / 60;
  const climb = climbTime_min(plan, speeds.climb.value);
  const descent = descentTime_min(plan, speeds.descent.value, speeds.landing.value, model.slowHeight_m);
  const rate = drain.middle[CRUISE] ?? 0;
  writeGroundSpeeds(speeds.recovery, plan, out);
  const cruise = legTime_min(plan.distance_m, out.groundSpeed_ms);
  const best = legTime_min(plan.distance_m, out.groundSpeedBest_ms);
  const middle = total(drain.middle, hover, climb, cruise, descent);
  out.middle_pct = middle;
  const lowRates = drain.isAssumed ? drain.low : drain.middle;
  const bestClimb = climbTime_min(plan, speeds.climb.best_ms, plan.bestTop_m);
  const bestDescent = descentTime_min(
    plan,
    speeds.descent.best_ms,
    speeds.landing.best_ms,
    model.slowHeight_m,
    plan.bestTop_m,
  );
  out.low_pct = total(lowRates, hover, bestClimb, best, bestDescent);
  const slow = slowRecovery_min(model, plan);
  const isSpeedAssumed = speeds.recovery.adverse_ms !== undefined;
  const spread_pct = Math.hypot(
    model.z * drainDeviation_pct(drain, middle, hover, climb, cruise, descent),
    rate * longer(legTime_min(plan.distance_m, out.groundSpeedAdverse_ms), cruise),
    isSpeedAssumed ? 0 : rate * longer(slow, cruise),
    verticalExtra_pct(model, plan, climb, descent, true),
  );
  const bound_pct =
    total(drain.high, hover, climb, 0, descent) -
    total(drain.middle, hover, climb, 0, descent) +
    (cruise === Number.POSITIVE_INFINITY ? 0 : ((drain.high[CRUISE] ?? 0) - rate) * cruise) +
    rate * longer(windBoundTime_min(model, plan, cruise), cruise) +
    (isSpeedAssumed ? rate * longer(slow, cruise) : 0) +
    verticalExtra_pct(model, plan, climb, descent, false);
  out.upper_pct = middle + spread_pct + bound_pct;
  out.upperKnown_pct =
    out.low_pct +
    Math.hypot(
      model.z * drainDeviation_pct(drain, out.low_pct, hover, bestClimb, best, bestDescent),
      rate * longer(legTime_min(plan.distance_m, out.groundSpeedAdverseBest_ms), best),
      isSpeedAssumed ? 0 : rate * longer(slow, cruise),
      verticalExtra_pct(model, plan, climb, descent, true),
    );
}

/** Ground speeds home: with the speed as it is and at its fast end, each with the wind as it is and at its worst. */
function writeGroundSpeeds(recovery: Speeds["recovery"], plan: Plan, out: Need): void {
  const { value, best_ms } = recovery;
  const ground_ms = groundSpeed_ms(value, plan.wind_ms, plan.windFrom_deg, plan.course_deg);
  out.groundSpeed_ms = ground_ms;
  out.groundSpeedAdverse_ms = adverseSpeed_ms(value, plan, ground_ms);
  if (best_ms === value) {
    out.groundSpeedBest_ms = ground_ms;
    out.groundSpeedAdverseBest_ms = out.groundSpeedAdverse_ms;
    return;
  }
  out.groundSpeedBest_ms = groundSpeed_ms(best_ms, plan.wind_ms, plan.windFrom_deg, plan.course_deg);
  out.groundSpeedAdverseBest_ms = adverseSpeed_ms(best_ms, plan, out.groundSpeedBest_ms);
}

/** How much longer one time is than another, at least nothing: where both are without end too (∞ − ∞ is no number). */
function longer(slow_min: number, usual_min: number): number {
  return slow_min <= usual_min ? 0 : slow_min - usual_min;
}

/** Minutes of the leg with the assumed wind against; the usual ones where the wind is known. */
function windBoundTime_min({ speeds }: NeedModel, plan: Plan, usual_min: number): number {
  if (plan.windBound_ms === 0) return usual_min;
  return legTime_min(plan.distance_m, speeds.recovery.value - plan.windBound_ms);
}

/** @returns true where some bound of an assumed input is part of the upper need */
export function hasBounds(model: NeedModel, windBound_ms: number): boolean {
  const { drain, speeds } = model;
  return (
    windBound_ms > 0 ||
    drain.high.some((rate, i) => rate !== drain.middle[i]) ||
    [speeds.recovery, speeds.climb, speeds.descent, speeds.landing].some((speed) => speed.adverse_ms !== undefined)
  );
}

/** The slowest the leg can get with the wind off either way. */
function adverseSpeed_ms(airSpeed_ms: number, plan: Plan, ground_ms: number): number {
  const { wind_ms, windOff_ms, windFrom_deg, course_deg } = plan;
  return Math.min(
    ground_ms,
    groundSpeed_ms(airSpeed_ms, wind_ms + windOff_ms, windFrom_deg, course_deg),
    groundSpeed_ms(airSpeed_ms, wind_ms - windOff_ms, windFrom_deg, course_deg),
  );
}

function total(rates: readonly number[], hover: number, climb: number, cruise: number, descent: number): number {
  const flying = (rates[HOVER] ?? 0) * hover + (rates[CLIMB] ?? 0) * climb + (rates[DESCENT] ?? 0) * descent;
  // A leg that takes for ever costs for ever, whatever the rate (0 × ∞ is no number).
  return cruise === Number.POSITIVE_INFINITY ? cruise : flying + (rates[CRUISE] ?? 0) * cruise;
}

/** At a level of all but certainty a slow speed would come out as none, or backwards: it keeps this share. */
const SLOWEST_SHARE = 0.1;

/** @returns a known speed at its adverse value */
function slowed_ms(z: number, { value, spread }: { readonly value: number; readonly spread: number }): number {
  return value * Math.max(SLOWEST_SHARE, 1 - z * spread);
}

/** Slower than this is no headway: a ground speed of nothing rarely comes out of the arithmetic as exactly 0. */
const NO_HEADWAY_MS = 0.001;

/** @returns minutes for the leg; infinite without headway, 0 for no leg */
export function legTime_min(distance_m: number, ground_ms: number): number {
  if (distance_m === 0) return 0;
  return ground_ms <= NO_HEADWAY_MS ? Number.POSITIVE_INFINITY : distance_m / ground_ms / 60;
}

/** @returns minutes of the climb; NaN where a height is not known */
export function climbTime_min(plan: Plan, climb_ms: number, legHeight_m: number = plan.top_m): number {
  const rise_m = legHeight_m - plan.height_m;
  // Written so that an unknown height stays unknown instead of reading as "no climb".
  return rise_m <= 0 ? 0 : rise_m / climb_ms / 60;
}

function descentTime_min(
  plan: Plan,
  descent_ms: number,
  landing_ms: number,
  slowHeight_m: number,
  legHeight_m: number = plan.top_m,
): number {
  const top_m = legHeight_m < 0 ? 0 : legHeight_m;
  const slow_m = top_m > slowHeight_m ? slowHeight_m : top_m;
  return ((top_m - slow_m) / descent_ms + slow_m / landing_ms) / 60;
}

/** Minutes of the leg with the recovery speed at its adverse value. */
function slowRecovery_min(model: NeedModel, plan: Plan): number {
  const slow_ms = model.speeds.recovery.adverse_ms ?? slowed_ms(model.z, model.speeds.recovery);
  return legTime_min(plan.distance_m, groundSpeed_ms(slow_ms, plan.wind_ms, plan.windFrom_deg, plan.course_deg));
}

/**
 * What slower vertical speeds cost, all at once, %.
 * @param known true: those with a spread, at their adverse value; false: those assumed, at their slow end
 */
function verticalExtra_pct(model: NeedModel, plan: Plan, climb: number, descent: number, known: boolean): number {
  const { drain, speeds } = model;
  const slow = (speed: { value: number; spread: number; adverse_ms: number | undefined }): number => {
    if (known) return speed.adverse_ms === undefined ? slowed_ms(model.z, speed) : speed.value;
    return speed.adverse_ms ?? speed.value;
  };
  const slowClimb = climbTime_min(plan, slow(speeds.climb));
  const slowDescent = descentTime_min(plan, slow(speeds.descent), slow(speeds.landing), model.slowHeight_m);
  return (drain.middle[CLIMB] ?? 0) * (slowClimb - climb) + (drain.middle[DESCENT] ?? 0) * (slowDescent - descent);
}

/** One standard deviation of the need from the joint drain rates, %: the fit's covariance and the flight-to-flight spread. */
function drainDeviation_pct(
  drain: Drain,
  need_pct: number,
  hover: number,
  climb: number,
  cruise: number,
  descent: number,
): number {
  if (cruise === Number.POSITIVE_INFINITY) return 0;
  let variance = ((drain.spread_pct / 100) * need_pct) ** 2;
  for (let i = 0; i < 4; i += 1) {
    const row = drain.covariance[i];
    const a = i === HOVER ? hover : i === CLIMB ? climb : i === CRUISE ? cruise : descent;
    for (let j = 0; j < 4; j += 1) {
      const b = j === HOVER ? hover : j === CLIMB ? climb : j === CRUISE ? cruise : descent;
      variance += a * (row?.[j] ?? 0) * b;
    }
  }
  return Math.sqrt(Math.max(0, variance));
}
