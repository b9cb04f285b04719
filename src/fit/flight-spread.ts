import { DECLARED_SPREAD_PCT } from "../aircraft/drain.js";
import type { Ratio } from "./ratios.js";

/** How much flights of one aircraft differ. Shares of the rate, one standard deviation. */
export interface FlightSpread {
  /** From the flights alone; undefined for fewer than two. */
  readonly seen: number | undefined;
  /** With what is usual counted as one flight more, so that two flights that happen to agree do not promise too much. */
  readonly believed: number;
}

/** Project default: what is usual, where little was flown; the spread of rates that were declared without one. */
const USUAL = DECLARED_SPREAD_PCT / 100;

/**
 * Spread from flight to flight, beyond what errors of the reading explain.
 *
 * Estimator: R. DerSimonian and N. Laird, Meta-analysis in clinical trials, Controlled Clinical Trials 7 (1986), the moment
 * estimate of the variance between studies, here between flights (from memory). One flight of the usual spread is added
 * (project default).
 */
export function flightSpread(ratios: readonly Ratio[]): FlightSpread {
  const known = ratios.filter(({ ratio }) => !Number.isNaN(ratio));
  const n = known.length;
  if (n < 2) return { seen: undefined, believed: USUAL };
  const weights = known.map(({ error }) => 1 / error ** 2);
  const all = sum(weights);
  const mean = sum(known.map(({ ratio }, i) => ratio * (weights[i] ?? 0))) / all;
  const q = sum(known.map(({ ratio }, i) => (weights[i] ?? 0) * (ratio - mean) ** 2));
  const between = (q - (n - 1)) / (all - sum(weights.map((w) => w * w)) / all);
  const seen = Math.sqrt(Math.max(0, between));
  return { seen, believed: Math.sqrt(((n - 1) * seen ** 2 + USUAL ** 2) / n) };
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
