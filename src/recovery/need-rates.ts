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
  /** 4 × 4, row by row. */
  readonly #covariance: Float64Array;
  readonly #times = new Float64Array(4);

  constructor({ spread_pct, covariance }: Drain) {
    this.#share = spread_pct / 100;
    this.#covariance = Float64Array.from({ length: 16 }, (_, n) => covariance[n >> 2]?.[n & 3] ?? 0);
  }

  /** @returns one standard deviation of a need, %; 0 for one without end */
  deviation_pct(need_pct: number, { hover, climb, cruise, descent }: RegimeMinutes): number {
    if (cruise === Number.POSITIVE_INFINITY) return 0;
    const times = this.#times;
    times[HOVER] = hover;
    times[CLIMB] = climb;
    times[CRUISE] = cruise;
    times[DESCENT] = descent;
    let variance = (this.#share * need_pct) ** 2;
    for (let n = 0; n < 16; n += 1) {
      variance += (times[n >> 2] ?? 0) * (this.#covariance[n] ?? 0) * (times[n & 3] ?? 0);
    }
    return Math.sqrt(Math.max(0, variance));
  }
}
