import { describe, expect, it } from "vitest";
import { countMissing, greatest, total } from "../../src/num/columns.js";

describe("countMissing", () => {
  it("counts NaN alone: an infinite value is a value, and so is 0", () => {
    expect(countMissing(Float64Array.of(Number.NaN, 0, Number.POSITIVE_INFINITY, Number.NaN))).toBe(2);
    expect(countMissing(new Float64Array(0))).toBe(0);
  });
});

describe("greatest", () => {
  it("leaves out what is missing", () => {
    expect(greatest(Float64Array.of(Number.NaN, -3, -2, Number.NaN))).toBe(-2);
    expect(greatest(Float64Array.of(1, Number.POSITIVE_INFINITY))).toBe(Number.POSITIVE_INFINITY);
  });

  it.each([[new Float64Array(0)], [Float64Array.of(Number.NaN)]])("is −∞ where nothing is known", (column) => {
    expect(greatest(column)).toBe(Number.NEGATIVE_INFINITY);
  });
});

describe("total", () => {
  it("adds up all values, in their order", () => {
    expect(total(Float64Array.of(1e16, 1, -1e16, 2))).toBe(2);
    expect(total(new Float64Array(0))).toBe(0);
  });

  it("is unknown where one is missing", () => {
    expect(total(Float64Array.of(1, Number.NaN))).toBeNaN();
  });
});
