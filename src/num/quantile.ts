import { quantile as quantileOf } from "simple-statistics";

/**
 * Quantile of a column, missing values left out.
 *
 * Definition: simple-statistics' `quantile`, which selects and does not sort (the mean of the two middle values for the median of an even count).
 * @param values may hold NaN; not changed
 * @param share 0–1
 * @returns NaN for a column without values
 */
export function quantile(values: Float64Array | readonly number[], share: number): number {
  // Made in its full length at once: to grow it takes longer than to fill it.
  const known: number[] = [];
  known.length = values.length;
  let count = 0;
  for (let i = 0; i < values.length; i += 1) {
    const value = values[i] ?? Number.NaN;
    if (Number.isNaN(value)) continue;
    known[count] = value;
    count += 1;
  }
  known.length = count;
  return count === 0 ? Number.NaN : quantileOf(known, share);
}

/** @returns the median, NaN for a column without values */
export function median(values: Float64Array | readonly number[]): number {
  return quantile(values, 0.5);
}
