import { quantileSorted } from "simple-statistics";

/**
 * Quantile of a column, missing values left out.
 *
 * Definition: simple-statistics' `quantileSorted` (the mean of the two middle values for the median of an even count).
 * @param values may hold NaN; not changed
 * @param share 0–1
 * @returns NaN for a column without values
 */
export function quantile(values: Float64Array | readonly number[], share: number): number {
  const known = sortedKnown(values);
  return at(known, share);
}

/** Several quantiles of one column, which is sorted only once; see `quantile`. */
export function quantiles<Shares extends readonly number[]>(
  values: Float64Array | readonly number[],
  shares: Shares,
): { [Place in keyof Shares]: number } {
  const known = sortedKnown(values);
  return shares.map((share) => at(known, share)) as { [Place in keyof Shares]: number };
}

/** The library reads by index and length alone, which its types do not say. */
function at(sorted: Float64Array, share: number): number {
  return sorted.length === 0 ? Number.NaN : quantileSorted(sorted as ArrayLike<number> as number[], share);
}

/** A typed array is sorted by the machine's own code, which a single log is done with before selecting is even compiled. */
function sortedKnown(values: Float64Array | readonly number[]): Float64Array {
  // NaN goes to the end.
  const sorted = new Float64Array(values).sort();
  let { length } = sorted;
  while (length > 0 && Number.isNaN(sorted[length - 1] ?? 0)) length -= 1;
  return sorted.subarray(0, length);
}

/** @returns the median, NaN for a column without values */
export function median(values: Float64Array | readonly number[]): number {
  return quantile(values, 0.5);
}
