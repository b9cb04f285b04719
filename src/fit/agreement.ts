import { median } from "../num/quantile.js";
import { standardNormalQuantile } from "../num/standard-normal.js";
import { flightSpread } from "./flight-spread.js";
import type { Ratio } from "./ratios.js";

/**
 * Project defaults: what one aircraft does. The spread is fixed, since a mixture must not excuse itself by how wide it is, nor
 * ten calm evenings call a windy day a stranger.
 */
const ONE_AIRCRAFT = 0.08;
const FALSE_ALARM = 0.01;
const GROUPS_APART = 0.15;
const GROUPS_APART_SD = 5;
const SPREAD_APART = 0.15;

/** Logs that are not of one aircraft. */
export interface Disagreement {
  /** `log-apart`: some logs are off; `two-groups`: there are two kinds; `too-wide`: no two agree. */
  readonly kind: "log-apart" | "two-groups" | "too-wide";
  /** Indices of the logs to leave out, or of the smaller group. */
  readonly logs: readonly number[];
}

/** How a log stands among the others. */
export interface Standing {
  /** Ratio over the median of all. */
  readonly level: number;
  /** Farthest that is still taken for the same aircraft, as a share either way. */
  readonly allowed: number;
}

/** @returns the level of each log among all, and what is allowed; NaN for a log that tells nothing */
export function standingsOf(ratios: readonly Ratio[]): Standing[] {
  const known = ratios.map(({ ratio }) => ratio).filter((ratio) => !Number.isNaN(ratio));
  const middle = median(known);
  const z = standardNormalQuantile(1 - FALSE_ALARM / (2 * Math.max(1, known.length)));
  return ratios.map(({ ratio, error, rateError }) => ({
    level: ratio / middle,
    allowed: z * Math.hypot(ONE_AIRCRAFT, error, rateError),
  }));
}

/**
 * Whether logs are of one aircraft, flown alike. Three questions, the first that is answered by yes decides:
 * do the logs fall into two groups (of two or more) whose means are 15 % apart and five times the deviation within; is some
 * log farther from the median of all than chance allows (1 % for a false alarm in all, two-sided, each log's errors and a
 * spread of 8 % counted); is the deviation of all more than 15 % beyond their errors. (Project defaults.)
 * @param ratios of the logs, flown over what the pool predicts
 */
export function disagreementOf(ratios: readonly Ratio[]): Disagreement | undefined {
  const known = ratios.flatMap(({ ratio }, i) => (Number.isNaN(ratio) ? [] : [i]));
  const groups = twoGroups(ratios, known);
  if (groups !== undefined) return { kind: "two-groups", logs: groups };
  const standings = standingsOf(ratios);
  const apart = known.filter((i) => {
    const { level, allowed } = standings[i] ?? { level: 1, allowed: 1 };
    return Math.abs(level - 1) > allowed;
  });
  if (apart.length > 0) return { kind: "log-apart", logs: apart };
  return isTooWide(ratios, known) ? { kind: "too-wide", logs: known } : undefined;
}

/** Splits the logs at the widest gap between their levels. */
function twoGroups(ratios: readonly Ratio[], known: readonly number[]): number[] | undefined {
  const value = (i: number | undefined): number => ratios[i ?? -1]?.ratio ?? Number.NaN;
  const sorted = known.toSorted((a, b) => value(a) - value(b));
  let cut = 0;
  for (let i = 1; i < sorted.length; i += 1) {
    const gap = value(sorted[i]) - value(sorted[i - 1]);
    if (cut === 0 || gap > value(sorted[cut]) - value(sorted[cut - 1])) cut = i;
  }
  const low = sorted.slice(0, cut);
  const high = sorted.slice(cut);
  if (low.length < 2 || high.length < 2) return undefined;
  const mean = (of: readonly number[]): number => of.reduce((sum, i) => sum + value(i), 0) / of.length;
  const squares = (of: readonly number[]): number => of.reduce((sum, i) => sum + (value(i) - mean(of)) ** 2, 0);
  const within = Math.sqrt((squares(low) + squares(high)) / (sorted.length - 2));
  const error = Math.sqrt(known.reduce((sum, i) => sum + (ratios[i]?.error ?? 0) ** 2, 0) / known.length);
  const apart = mean(high) / mean(low) - 1;
  const isApart = apart >= GROUPS_APART && mean(high) - mean(low) >= GROUPS_APART_SD * Math.max(within, error);
  if (!isApart) return undefined;
  return (high.length <= low.length ? high : low).toSorted((a, b) => a - b);
}

/** By the same estimate as the spread of flights, so that a log told by two steps does not count like one told by forty. */
function isTooWide(ratios: readonly Ratio[], known: readonly number[]): boolean {
  const { seen } = flightSpread(known.flatMap((i) => ratios[i] ?? []));
  return seen !== undefined && seen > SPREAD_APART;
}
