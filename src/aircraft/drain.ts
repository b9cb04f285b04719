import type { Basis, RegimeRates } from "../config/declared.js";

/** Rates of battery use with how sure they are. Rates are in % of full charge a minute, in the order of `REGIMES`. */
export interface Drain {
  readonly basis: Basis;
  readonly from: string;
  readonly middle: readonly number[];
  /** Ends of the range of what was only assumed; equal to `middle` for a regime that was not. */
  readonly low: readonly number[];
  readonly high: readonly number[];
  /** True where all four rates are assumed: then the low end decides `fail`. */
  readonly isAssumed: boolean;
  /** Of the fitted rates, (%/min)², 4 × 4; zeros where not fitted. */
  readonly covariance: readonly (readonly number[])[];
  /** From flight to flight, one standard deviation, % of the rate, common to all regimes. */
  readonly spread_pct: number;
}

/** Project defaults, no source: small multirotors from long-endurance to sporting, in % a minute. */
export const ASSUMED_DRAIN = {
  low: [3, 3.6, 3, 2.4],
  middle: [4.5, 6, 5, 4],
  high: [8, 12, 10, 8],
} as const;

/** Project default: spread of rates that were declared without one. */
export const DECLARED_SPREAD_PCT = 10;
/** Project default: spread of rates fitted from this very flight, whose later minutes may differ from its earlier ones. */
export const FITTED_SPREAD_PCT = 5;
/** Project default: how far a rate scaled from the assumed ones may be off for its regime. */
export const SCALED_BOUND = 0.3;

const NO_COVARIANCE: readonly (readonly number[])[] = [0, 1, 2, 3].map(() => [0, 0, 0, 0]);

/** @returns declared rates as a drain */
export function declaredDrain(rates: RegimeRates, spread_pct: number | undefined, from: string): Drain {
  const middle = [rates.hover, rates.climb, rates.cruise, rates.descent];
  return {
    basis: "declared",
    from,
    middle,
    low: middle,
    high: middle,
    isAssumed: false,
    covariance: NO_COVARIANCE,
    spread_pct: spread_pct ?? DECLARED_SPREAD_PCT,
  };
}

/** @returns the wide rates for an aircraft of which nothing is known */
export function assumedDrain(): Drain {
  return {
    basis: "assumed",
    from: "project default for small multirotors",
    ...ASSUMED_DRAIN,
    isAssumed: true,
    covariance: NO_COVARIANCE,
    spread_pct: 0,
  };
}
