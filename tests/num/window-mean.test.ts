import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { windowMean } from "../../src/num/window-mean.js";

const run = (time_s: number[], values: number[], half_s: number, from = 0, to = time_s.length): number[] => {
  const out = new Float64Array(time_s.length).fill(-1);
  windowMean(Float64Array.from(time_s), Float64Array.from(values), from, to, half_s, out);
  return [...out];
};

/** The definition, row by row. */
function bruteForce(time_s: number[], values: number[], half_s: number, from: number, to: number): number[] {
  return time_s.map((now, i) => {
    if (i < from || i >= to) return -1;
    const inside = values.filter(
      (value, k) =>
        k >= from &&
        k < to &&
        (time_s[k] ?? 0) >= now - half_s &&
        (time_s[k] ?? 0) <= now + half_s &&
        !Number.isNaN(value),
    );
    return inside.length === 0 ? Number.NaN : inside.reduce((sum, value) => sum + value, 0) / inside.length;
  });
}

describe("windowMean", () => {
  it("takes both ends of the window in", () => {
    expect(run([0, 1, 2, 3], [1, 2, 4, 8], 1)).toEqual([1.5, 7 / 3, 14 / 3, 6]);
  });

  it("is the value itself in a window of nothing", () => {
    expect(run([0, 1, 2], [5, 6, 7], 0)).toEqual([5, 6, 7]);
  });

  it("leaves missing values out, and fills a row from its neighbours", () => {
    expect(run([0, 1, 2], [1, Number.NaN, 5], 1)).toEqual([1, 3, 5]);
  });

  it("is NaN where the window holds nothing", () => {
    expect(run([0, 10, 20], [1, Number.NaN, 5], 1)).toEqual([1, Number.NaN, 5]);
    expect(run([0, 1], [Number.NaN, Number.NaN], 5)).toEqual([Number.NaN, Number.NaN]);
  });

  it("never looks past its range, nor writes there", () => {
    expect(run([0, 1, 2, 3, 4], [100, 1, 2, 3, 100], 1, 1, 4)).toEqual([-1, 1.5, 2, 2.5, -1]);
  });

  it("does nothing to an empty range", () => {
    expect(run([0, 1], [1, 2], 1, 1, 1)).toEqual([-1, -1]);
  });

  it("is the brute-force mean", () => {
    // Quarter seconds and whole values are exact in doubles, so that no window end is in doubt.
    const step = fc.integer({ min: 1, max: 12 }).map((n) => n / 4);
    const value = fc.oneof(
      { weight: 5, arbitrary: fc.integer({ min: -50, max: 50 }) },
      { weight: 1, arbitrary: fc.constant(Number.NaN) },
    );
    fc.assert(
      fc.property(
        fc.array(fc.tuple(step, value), { minLength: 1, maxLength: 40 }),
        fc.integer({ min: 0, max: 20 }).map((n) => n / 4),
        fc.nat(),
        fc.nat(),
        (rows, half_s, a, b) => {
          let now = 0;
          const time_s = rows.map(([dt]) => (now += dt));
          const values = rows.map(([, v]) => v);
          const from = Math.min(a % (rows.length + 1), b % (rows.length + 1));
          const to = Math.max(a % (rows.length + 1), b % (rows.length + 1));
          const expected = bruteForce(time_s, values, half_s, from, to);
          run(time_s, values, half_s, from, to).forEach((mean, i) => {
            if (Number.isNaN(expected[i])) expect(mean).toBeNaN();
            else expect(mean).toBeCloseTo(expected[i] ?? Number.NaN, 10);
          });
        },
      ),
      { numRuns: 300 },
    );
  });
});
