import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { angleBetween_deg, degrees, radians, wrapBearing_deg } from "../../src/num/bearing.js";

describe("wrapBearing_deg", () => {
  it.each([
    [0, 0],
    [359.5, 359.5],
    [360, 0],
    [361, 1],
    [-1, 359],
    [-360, 0],
    [-725, 355],
    [725, 5],
    [-1e-20, 0],
    // What is within the circle is not touched, be it smaller than 360 can tell.
    [1e-20, 1e-20],
  ])("%d is %d", (angle, wrapped) => {
    expect(wrapBearing_deg(angle)).toBe(wrapped);
  });

  it("never gives −0", () => {
    for (const angle of [-0, 0, -360, -720, 360]) expect(Object.is(wrapBearing_deg(angle), 0)).toBe(true);
  });

  it("hands NaN and infinity on as NaN", () => {
    expect(wrapBearing_deg(Number.NaN)).toBeNaN();
    expect(wrapBearing_deg(Number.POSITIVE_INFINITY)).toBeNaN();
  });

  it("is in [0, 360) and points the same way", () => {
    fc.assert(
      fc.property(fc.double({ min: -1e5, max: 1e5, noNaN: true }), (angle) => {
        const wrapped = wrapBearing_deg(angle);
        expect(wrapped).toBeGreaterThanOrEqual(0);
        expect(wrapped).toBeLessThan(360);
        expect(Math.cos(radians(wrapped))).toBeCloseTo(Math.cos(radians(angle)), 8);
        expect(Math.sin(radians(wrapped))).toBeCloseTo(Math.sin(radians(angle)), 8);
      }),
    );
  });
});

describe("angleBetween_deg", () => {
  it.each([
    [10, 350, 20],
    [350, 10, 20],
    [0, 180, 180],
    [90, 90, 0],
    [0, 360, 0],
    [-170, 170, 20],
    [0, 181, 179],
  ])("%d and %d are %d apart", (a, b, apart) => {
    expect(angleBetween_deg(a, b)).toBeCloseTo(apart, 12);
  });

  it("is NaN where either is", () => {
    expect(angleBetween_deg(Number.NaN, 0)).toBeNaN();
    expect(angleBetween_deg(0, Number.NaN)).toBeNaN();
  });

  it("is symmetric and at most 180", () => {
    const angle = fc.double({ min: -1000, max: 1000, noNaN: true });
    fc.assert(
      fc.property(angle, angle, (a, b) => {
        expect(angleBetween_deg(a, b)).toBeLessThanOrEqual(180);
        expect(angleBetween_deg(a, b)).toBeGreaterThanOrEqual(0);
        expect(angleBetween_deg(a, b)).toBeCloseTo(angleBetween_deg(b, a), 9);
      }),
    );
  });
});

it("degrees and radians", () => {
  expect(radians(180)).toBe(Math.PI);
  expect(degrees(Math.PI / 2)).toBe(90);
});
