/** @returns how many values of a column are missing */
export function countMissing(values: Float64Array): number {
  let count = 0;
  for (let i = 0; i < values.length; i += 1) if (Number.isNaN(values[i] ?? Number.NaN)) count += 1;
  return count;
}

/** @returns the greatest value of a column, missing ones left out; −∞ for a column without any */
export function greatest(values: Float64Array): number {
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < values.length; i += 1) {
    const value = values[i] ?? Number.NaN;
    if (value > most) most = value;
  }
  return most;
}

/** @returns the sum of a column, 0 for one without values; NaN where one is missing */
export function total(values: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < values.length; i += 1) sum += values[i] ?? Number.NaN;
  return sum;
}
