import type { Basis, RegimeRates } from "../config/declared.js";
import { REGIMES } from "./regimes.js";

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
  /** By regime: the source itself tells the rate; else it is tied by ratio to the next source, or assumed. */
  readonly told: readonly boolean[];
  /** Of the fitted rates and of rates tied to a source with a spread, (%/min)², 4 × 4; zeros elsewhere. */
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
/**
 * Spread of rates fitted from this very flight: a recovery flies at another speed, by machine, on an emptier pack. No
 * source; calibrated against generated flights, as docs/decisions.md tells.
 */
export const FITTED_SPREAD_PCT = 9;
/** Project default: how far a rate scaled from the assumed ones may be off for its regime. */
export const SCALED_BOUND = 0.3;

const NO_COVARIANCE: readonly (readonly number[])[] = REGIMES.map(() => REGIMES.map(() => 0));

/** @returns declared rates as a drain */
export function declaredDrain(rates: RegimeRates, spread_pct: number | undefined, from: string): Drain {
  return wholeDrain(
    "declared",
    from,
    REGIMES.map((regime) => rates[regime]),
    spread_pct ?? DECLARED_SPREAD_PCT,
  );
}

/** @returns the wide rates for an aircraft of which nothing is known */
export function assumedDrain(): Drain {
  return {
    basis: "assumed",
    from: "project default for small multirotors",
    ...ASSUMED_DRAIN,
    isAssumed: true,
    told: REGIMES.map(() => false),
    covariance: NO_COVARIANCE,
    spread_pct: 0,
  };
}

/** @returns a drain from a source that tells all four rates */
export function wholeDrain(basis: Basis, from: string, middle: readonly number[], spread_pct: number): Drain {
  return {
    basis,
    from,
    middle,
    low: middle,
    high: middle,
    isAssumed: false,
    told: REGIMES.map(() => true),
    covariance: NO_COVARIANCE,
    spread_pct,
  };
}

/** What a source tells of the rates: NaN for a regime that it says nothing of. */
export interface ToldRates {
  readonly basis: Basis;
  readonly from: string;
  readonly rates: readonly number[];
  readonly spread_pct: number;
}

/**
 * Completes the rates of a source that does not tell all four: a missing one is the next source's × (this ÷ next over the
 * time of the known regimes), so that an aircraft that is told to be thrifty in one regime is not average in another.
 * @param times_min of the flight by regime; where the known regimes were not flown at all, they weigh the same
 * @returns undefined where the source tells no rate
 */
export function completeDrain(told: ToldRates, next: Drain, times_min: readonly number[]): Drain | undefined {
  const isTold = told.rates.map((rate) => rate > 0);
  if (!isTold.some(Boolean)) return undefined;
  const flown = isTold.some((is, r) => is && (times_min[r] ?? 0) > 0);
  const weight = (r: number): number => (flown ? (times_min[r] ?? 0) : 1);
  const over = (rates: readonly number[]): number =>
    rates.reduce((sum, rate, r) => sum + (isTold[r] === true ? rate * weight(r) : 0), 0);
  const ratio = over(told.rates) / over(next.middle);
  const middle = told.rates.map((rate, r) => (isTold[r] === true ? rate : ratio * (next.middle[r] ?? Number.NaN)));
  return withTies({ ...told, middle, told: isTold, covariance: NO_COVARIANCE }, next);
}

/**
 * Adds how far rates that are tied to the next source may be off for their regime: its spread where it tells the rate
 * itself, else a bound.
 */
export function withTies(
  drain: Pick<Drain, "basis" | "from" | "middle" | "told" | "covariance" | "spread_pct">,
  next: Drain,
): Drain {
  const isTied = (r: number): boolean => drain.told[r] === false;
  const isBound = (r: number): boolean => isTied(r) && next.told[r] === false;
  const far = (sign: number): number[] =>
    drain.middle.map((rate, r) => (isBound(r) ? rate * (1 + sign * SCALED_BOUND) : rate));
  const extra = (r: number): number =>
    isTied(r) && !isBound(r) ? ((drain.middle[r] ?? 0) * next.spread_pct) / 100 : 0;
  const tied = REGIMES.filter((_, r) => isTied(r));
  return {
    ...drain,
    from: tied.length === 0 ? drain.from : `${drain.from}; ${tied.join(", ")} by ratio from ${nameOf(next)}`,
    low: far(-1),
    high: far(1),
    isAssumed: false,
    covariance: drain.covariance.map((row, i) => row.map((value, j) => value + (i === j ? extra(i) ** 2 : 0))),
  };
}

function nameOf({ basis, from }: Drain): string {
  return basis === "assumed" ? "the assumed rates" : from;
}
