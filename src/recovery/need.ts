import { groundSpeedIn_ms } from "../air/wind-triangle.js";
import type { Drain } from "../aircraft/drain.js";
import type { Speeds } from "../aircraft/speeds.js";
import { radians } from "../num/bearing.js";
import { DrainDoubt, NeedRates, noMinutes, type RegimeMinutes, together } from "./need-rates.js";
import { climbTime_min, descentTime_min, legTime_min } from "./phase-times.js";
import { slowed_ms, vertical, type VerticalSpeeds } from "./vertical-speeds.js";

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
    middle_pct: Number.NaN,
    upper_pct: Number.NaN,
    upperKnown_pct: Number.NaN,
    low_pct: Number.NaN,
    groundSpeed_ms: Number.NaN,
    groundSpeedAdverse_ms: Number.NaN,
    groundSpeedBest_ms: Number.NaN,
    groundSpeedAdverseBest_ms: Number.NaN,
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

/** Writes what one recovery needs; for many of one flight, keep a `NeedReckoner`. */
export function computeNeed(model: NeedModel, plan: Plan, out: Need): void {
  new NeedReckoner(model).write(plan, out);
}

/**
 * Energy of one recovery: Σ rate of the phase's regime × its time; upper = middle + √Σ(each input at its adverse value −
 * middle)² + bounds of assumed inputs. Formulas: docs/model.md.
 *
 * What does not change within a flight is worked out once, and nothing is allocated for a recovery.
 */
export class NeedReckoner {
  readonly #z: number;
  readonly #slowHeight_m: number;
  readonly #middle: NeedRates;
  readonly #low: NeedRates;
  readonly #high: NeedRates;
  readonly #doubt: DrainDoubt;
  // Numbers, not the record they are from: of those there is another shape for each basis.
  readonly #recovery_ms: number;
  readonly #bestRecovery_ms: number;
  readonly #isSpeedAssumed: boolean;
  readonly #slowRecovery_ms: number;
  readonly #usual: VerticalSpeeds;
  readonly #best: VerticalSpeeds;
  /** Those with a spread at their adverse value, the others as usual. */
  readonly #known: VerticalSpeeds;
  /** Those assumed at their slow end, the others as usual. */
  readonly #assumed: VerticalSpeeds;
  // NaN makes fields of fractions from the first: those of whole numbers would be boxed anew for every recovery.
  readonly #minutes: RegimeMinutes = noMinutes();
  readonly #bestMinutes: RegimeMinutes = noMinutes();
  // The wind off the course of the recovery at hand.
  #sin = Number.NaN;
  #cos = Number.NaN;

  constructor({ drain, speeds, slowHeight_m, z }: NeedModel) {
    const { recovery } = speeds;
    this.#z = z;
    this.#slowHeight_m = slowHeight_m;
    this.#middle = new NeedRates(drain.middle);
    this.#low = drain.isAssumed ? new NeedRates(drain.low) : this.#middle;
    this.#high = new NeedRates(drain.high);
    this.#doubt = new DrainDoubt(drain);
    this.#recovery_ms = recovery.value;
    this.#bestRecovery_ms = recovery.best_ms;
    this.#isSpeedAssumed = recovery.adverse_ms !== undefined;
    this.#slowRecovery_ms = recovery.adverse_ms ?? slowed_ms(z, recovery);
    this.#usual = vertical(speeds, ({ value }) => value);
    this.#best = vertical(speeds, ({ best_ms }) => best_ms);
    this.#known = vertical(speeds, (one) => (one.adverse_ms === undefined ? slowed_ms(z, one) : one.value));
    this.#assumed = vertical(speeds, ({ adverse_ms, value }) => adverse_ms ?? value);
  }

  /** Writes what a recovery needs into `out`. */
  write(plan: Plan, out: Need): void {
    const angle = radians(plan.windFrom_deg - plan.course_deg);
    this.#sin = Math.sin(angle);
    this.#cos = Math.cos(angle);
    this.#writeGroundSpeeds(plan, out);
    const minutes = this.#minutes;
    const bestMinutes = this.#bestMinutes;
    this.#time(plan, plan.top_m, this.#usual, out.groundSpeed_ms, minutes);
    this.#time(plan, plan.bestTop_m, this.#best, out.groundSpeedBest_ms, bestMinutes);
    out.middle_pct = this.#middle.total_pct(minutes);
    out.low_pct = this.#low.total_pct(bestMinutes);
    const { distance_m } = plan;
    const { cruise } = this.#middle;
    const slow = legTime_min(distance_m, this.#groundSpeed_ms(this.#slowRecovery_ms, plan.wind_ms));
    const slow_pct = cruise * longer(slow, minutes.cruise);
    const knownSlow_pct = this.#isSpeedAssumed ? 0 : slow_pct;
    const known_pct = this.#verticalExtra_pct(plan, this.#known);
    const spread_pct = together(
      this.#z * this.#doubt.deviation_pct(out.middle_pct, minutes),
      cruise * longer(legTime_min(distance_m, out.groundSpeedAdverse_ms), minutes.cruise),
      knownSlow_pct,
      known_pct,
    );
    out.upper_pct = out.middle_pct + spread_pct + this.#bound_pct(plan, slow_pct);
    out.upperKnown_pct =
      out.low_pct +
      together(
        this.#z * this.#doubt.deviation_pct(out.low_pct, bestMinutes),
        cruise * longer(legTime_min(distance_m, out.groundSpeedAdverseBest_ms), bestMinutes.cruise),
        knownSlow_pct,
        known_pct,
      );
  }

  /** What the slow ends of all that was only assumed add, %. @param slow_pct of the leg with the recovery speed's */
  #bound_pct(plan: Plan, slow_pct: number): number {
    const minutes = this.#minutes;
    const { cruise } = this.#middle;
    return (
      this.#high.vertical_pct(minutes) -
      this.#middle.vertical_pct(minutes) +
      (minutes.cruise === Number.POSITIVE_INFINITY ? 0 : (this.#high.cruise - cruise) * minutes.cruise) +
      cruise * longer(this.#windBoundTime_min(plan), minutes.cruise) +
      (this.#isSpeedAssumed ? slow_pct : 0) +
      this.#verticalExtra_pct(plan, this.#assumed)
    );
  }

  /** Writes the minutes of a recovery at given speeds. */
  #time(plan: Plan, top_m: number, vertical: VerticalSpeeds, ground_ms: number, out: RegimeMinutes): void {
    out.hover = plan.delay_s / 60;
    out.climb = climbTime_min(plan.height_m, top_m, vertical.climb_ms);
    out.cruise = legTime_min(plan.distance_m, ground_ms);
    out.descent = descentTime_min(top_m, vertical.descent_ms, vertical.landing_ms, this.#slowHeight_m);
  }

  /** Ground speeds home: with the speed as it is and at its fast end, each with the wind as it is and at its worst. */
  #writeGroundSpeeds(plan: Plan, out: Need): void {
    const usual_ms = this.#recovery_ms;
    const best_ms = this.#bestRecovery_ms;
    out.groundSpeed_ms = this.#groundSpeed_ms(usual_ms, plan.wind_ms);
    out.groundSpeedAdverse_ms = this.#adverseSpeed_ms(usual_ms, plan, out.groundSpeed_ms);
    if (best_ms === usual_ms) {
      out.groundSpeedBest_ms = out.groundSpeed_ms;
      out.groundSpeedAdverseBest_ms = out.groundSpeedAdverse_ms;
      return;
    }
    out.groundSpeedBest_ms = this.#groundSpeed_ms(best_ms, plan.wind_ms);
    out.groundSpeedAdverseBest_ms = this.#adverseSpeed_ms(best_ms, plan, out.groundSpeedBest_ms);
  }

  #groundSpeed_ms(airSpeed_ms: number, wind_ms: number): number {
    return groundSpeedIn_ms(airSpeed_ms, wind_ms, this.#sin, this.#cos);
  }

  /** The slowest the leg can get with the wind off either way. */
  #adverseSpeed_ms(airSpeed_ms: number, { wind_ms, windOff_ms }: Plan, ground_ms: number): number {
    if (windOff_ms === 0) return ground_ms;
    return Math.min(
      ground_ms,
      this.#groundSpeed_ms(airSpeed_ms, wind_ms + windOff_ms),
      this.#groundSpeed_ms(airSpeed_ms, wind_ms - windOff_ms),
    );
  }

  /** Minutes of the leg with the assumed wind against; the usual ones where the wind is known. */
  #windBoundTime_min({ distance_m, windBound_ms }: Plan): number {
    if (windBound_ms === 0) return this.#minutes.cruise;
    return legTime_min(distance_m, this.#recovery_ms - windBound_ms);
  }

  /** What slower vertical speeds cost, all at once, %. */
  #verticalExtra_pct({ height_m, top_m }: Plan, { climb_ms, descent_ms, landing_ms }: VerticalSpeeds): number {
    const { climb, descent } = this.#minutes;
    const slowClimb = climbTime_min(height_m, top_m, climb_ms);
    const slowDescent = descentTime_min(top_m, descent_ms, landing_ms, this.#slowHeight_m);
    return this.#middle.climb * (slowClimb - climb) + this.#middle.descent * (slowDescent - descent);
  }
}

/** How much longer one time is than another, at least nothing: where both are without end too (∞ − ∞ is no number). */
function longer(slow_min: number, usual_min: number): number {
  return slow_min <= usual_min ? 0 : slow_min - usual_min;
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
