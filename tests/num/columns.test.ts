import { describe, expect, it } from "vitest";
import { countMissing, greatest } from "../../src/num/columns.js";

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
