import type { Drain } from "../aircraft/drain.js";
import { CLIMB, CRUISE, DESCENT, HOVER } from "../aircraft/regimes.js";

/** How long one recovery spends in each regime, min. */
export interface RegimeMinutes {
  hover: number;
  climb: number;
  cruise: number;
  descent: number;
}

/** @returns times to be written over */
export function noMinutes(): RegimeMinutes {
  return { hover: Number.NaN, climb: Number.NaN, cruise: Number.NaN, descent: Number.NaN };
}

/** @returns √(a² + b² + c² + d²): how far independent doubts are off together; without end where one of them is */
export function together(a: number, b: number, c: number, d: number): number {
  return Math.sqrt(a * a + b * b + c * c + d * d);
}

/** Drain rates of the regimes as plain numbers, % a minute. */
export class NeedRates {
  readonly climb: number;
  readonly cruise: number;
  readonly descent: number;
  readonly #hover: number;

  constructor(rates: readonly number[]) {
    this.#hover = rates[HOVER] ?? 0;
    this.climb = rates[CLIMB] ?? 0;
    this.cruise = rates[CRUISE] ?? 0;
    this.descent = rates[DESCENT] ?? 0;
  }

  /** @returns what hover, climb and descent use, % */
  vertical_pct({ hover, climb, descent }: RegimeMinutes): number {
    return this.#hover * hover + this.climb * climb + this.descent * descent;
  }

  /** @returns what a recovery uses, %; a leg that takes for ever costs for ever, whatever the rate (0 × ∞ is no number) */
  total_pct(minutes: RegimeMinutes): number {
    const { cruise } = minutes;
    return cruise === Number.POSITIVE_INFINITY ? cruise : this.vertical_pct(minutes) + this.cruise * cruise;
  }
}

/** How far a need may be off from the joint drain rates: the fit's covariance and the flight-to-flight spread. */
export class DrainDoubt {
  readonly #share: number;
  // Of the regimes' joint covariance the variances, and the covariances twice: it is symmetric.
  readonly #hover2: number;
  readonly #climb2: number;
  readonly #cruise2: number;
  readonly #descent2: number;
  readonly #hoverClimb: number;
  readonly #hoverCruise: number;
  readonly #hoverDescent: number;
  readonly #climbCruise: number;
  readonly #climbDescent: number;
  readonly #cruiseDescent: number;

  constructor({ spread_pct, covariance }: Drain) {
    const of = (a: number, b: number): number => covariance[a]?.[b] ?? 0;
    const both = (a: number, b: number): number => of(a, b) + of(b, a);
    this.#share = spread_pct / 100;
    this.#hover2 = of(HOVER, HOVER);
    this.#climb2 = of(CLIMB, CLIMB);
    this.#cruise2 = of(CRUISE, CRUISE);
    this.#descent2 = of(DESCENT, DESCENT);
    this.#hoverClimb = both(HOVER, CLIMB);
    this.#hoverCruise = both(HOVER, CRUISE);
    this.#hoverDescent = both(HOVER, DESCENT);
    this.#climbCruise = both(CLIMB, CRUISE);
    this.#climbDescent = both(CLIMB, DESCENT);
    this.#cruiseDescent = both(CRUISE, DESCENT);
  }

  /** @returns one standard deviation of a need, %; 0 for one without end */
  deviation_pct(need_pct: number, { hover, climb, cruise, descent }: RegimeMinutes): number {
    if (cruise === Number.POSITIVE_INFINITY) return 0;
    const spread_pct = this.#share * need_pct;
    const variance =
      spread_pct * spread_pct +
      hover *
        (hover * this.#hover2 + climb * this.#hoverClimb + cruise * this.#hoverCruise + descent * this.#hoverDescent) +
      climb * (climb * this.#climb2 + cruise * this.#climbCruise + descent * this.#climbDescent) +
      cruise * (cruise * this.#cruise2 + descent * this.#cruiseDescent) +
      descent * descent * this.#descent2;
    return Math.sqrt(Math.max(0, variance));
  }
}
