/**
 * Mean over a window of time around each sample, missing values left out.
 *
 * @param time_s grows strictly
 * @param values same length; may hold NaN
 * @param from first index, @param to one past the last: the window never looks beyond them
 * @param half_s the window is [t − half, t + half]
 * @param out written at [from, to): NaN where the window holds no value
 */
export function windowMean(
  time_s: Float64Array,
  values: Float64Array,
  from: number,
  to: number,
  half_s: number,
  out: Float64Array,
): void {
  let low = from;
  let high = from;
  let sum = 0;
  let count = 0;
  for (let i = from; i < to; i += 1) {
    const now = time_s[i] ?? 0;
    for (; high < to && (time_s[high] ?? 0) <= now + half_s; high += 1) {
      const value = values[high] ?? Number.NaN;
      if (Number.isNaN(value)) continue;
      sum += value;
      count += 1;
    }
    for (; (time_s[low] ?? 0) < now - half_s; low += 1) {
      const value = values[low] ?? Number.NaN;
      if (Number.isNaN(value)) continue;
      sum -= value;
      count -= 1;
    }
    out[i] = count === 0 ? Number.NaN : sum / count;
  }
}
