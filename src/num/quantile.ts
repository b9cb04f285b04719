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
  const known = Float64Array.from(values).filter((value) => !Number.isNaN(value));
  if (known.length === 0) return Number.NaN;
  return quantileSorted(Array.from(known.sort()), share);
}

/** @returns the median, NaN for a column without values */
export function median(values: Float64Array | readonly number[]): number {
  return quantile(values, 0.5);
}
