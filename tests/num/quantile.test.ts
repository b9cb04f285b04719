import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { median, quantile, quantiles } from "../../src/num/quantile.js";

describe("median", () => {
  it.each([
    [[3], 3],
    [[1, 2], 1.5],
    [[9, 1, 5], 5],
    [[4, 1, 3, 2], 2.5],
    [[Number.NaN, 7, Number.NaN], 7],
    [[-1, -10, 100], -1],
  ])("of %j is %d", (values, middle) => {
    expect(median(values)).toBe(middle);
    expect(median(Float64Array.from(values))).toBe(middle);
  });

  it("is NaN for nothing and for nothing but NaN", () => {
    expect(median([])).toBeNaN();
    expect(median(new Float64Array(0))).toBeNaN();
    expect(median([Number.NaN, Number.NaN])).toBeNaN();
  });
});

describe("quantile", () => {
  it.each([
    [0, 1],
    [0.05, 1.45],
    [0.25, 3.25],
    [0.75, 7.75],
    [1, 10],
  ])("at %d of 1 to 10 is %d", (share, value) => {
    expect(quantile([10, 9, 8, 7, 6, 5, 4, 3, 2, 1], share)).toBeCloseTo(value, 12);
  });

  it("leaves its argument as it was", () => {
    const values = Float64Array.from([3, 1, 2]);
    quantile(values, 0.5);
    expect([...values]).toEqual([3, 1, 2]);
  });

  it("sorts by size, not by text", () => {
    expect(quantile([10, 9, 100], 1)).toBe(100);
  });

  it("is NaN where there is no value", () => {
    expect(quantile([], 0.9)).toBeNaN();
  });

  it("is among the values and grows with the share", () => {
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -100, max: 100, noNaN: true }), { minLength: 1 }),
        share,
        share,
        (values, a, b) => {
          const low = quantile(values, Math.min(a, b));
          const high = quantile(values, Math.max(a, b));
          expect(low).toBeLessThanOrEqual(high);
          expect(low).toBeGreaterThanOrEqual(Math.min(...values));
          expect(high).toBeLessThanOrEqual(Math.max(...values));
        },
      ),
    );
  });
});

describe("quantiles", () => {
  it("are those of one share each, in their order", () => {
    expect(quantiles([4, Number.NaN, 1, 3, 2], [1, 0.5, 0])).toEqual([4, 2.5, 1]);
    expect(quantiles([], [0.1, 0.9])).toEqual([Number.NaN, Number.NaN]);
    expect(quantiles([1, 2], [])).toEqual([]);
  });
});
