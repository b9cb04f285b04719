import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { roundDegrees, roundTo, roundValue } from "../../src/num/round.js";

describe("roundTo", () => {
  it.each([
    [1.25, 1, 1.3],
    [-1.25, 1, -1.3],
    [2.5, 0, 3],
    [1.005, 2, 1], // 1.005 is stored as less than itself
    [0.1 + 0.2, 6, 0.3],
    [123.456, 0, 123],
    [0, 3, 0],
    [1e21, 6, 1e21],
    [-1.5e300, 6, -1.5e300],
    [Number.MAX_SAFE_INTEGER, 6, Number.MAX_SAFE_INTEGER],
  ])("%d to %d digits is %d", (value, digits, rounded) => {
    expect(roundTo(value, digits)).toBe(rounded);
  });

  it.each([-0, -1e-9, -0.0000004])("%d is 0 and not −0", (value) => {
    expect(Object.is(roundTo(value, 6), 0)).toBe(true);
  });

  it.each([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])("%d is null", (value) => {
    expect(roundTo(value, 6)).toBeNull();
  });

  it("is near, and rounding again changes nothing", () => {
    fc.assert(
      fc.property(fc.double({ min: -1e9, max: 1e9, noNaN: true }), fc.integer({ min: 0, max: 9 }), (value, digits) => {
        const rounded = roundTo(value, digits) ?? Number.NaN;
        expect(Math.abs(rounded - value)).toBeLessThanOrEqual(0.5 * 10 ** -digits + 1e-6 * 10 ** -digits + 1e-7);
        expect(roundTo(rounded, digits)).toBe(rounded);
      }),
    );
  });
});

it("degrees keep nine digits, other values six", () => {
  expect(roundDegrees(47.123456789123)).toBe(47.123456789);
  expect(roundValue(47.123456789123)).toBe(47.123457);
  expect(roundDegrees(Number.NaN)).toBeNull();
  expect(roundValue(Number.NaN)).toBeNull();
});
