import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { windAtHeight_ms } from "../../src/air/wind-profile.js";

// Published values are in tests/reference/wind-profile.test.ts.
describe("windAtHeight_ms", () => {
  it("is the wind itself at its reference height, or without shear", () => {
    expect(windAtHeight_ms(7, 10, 10, 0.2)).toBe(7);
    expect(windAtHeight_ms(7, 10, 120, 0)).toBe(7);
  });

  it("holds heights to 2 to 200 m", () => {
    const at = (height_m: number): number => windAtHeight_ms(5, 10, height_m, 0.2);
    expect(at(0)).toBe(at(2));
    expect(at(-30)).toBe(at(2));
    expect(at(1.9)).toBe(at(2));
    expect(at(2.1)).toBeGreaterThan(at(2));
    expect(at(1000)).toBe(at(200));
    expect(at(200.1)).toBe(at(200));
    expect(at(199)).toBeLessThan(at(200));
  });

  it("holds the reference height too", () => {
    expect(windAtHeight_ms(5, 0, 10, 0.2)).toBe(windAtHeight_ms(5, 2, 10, 0.2));
    expect(windAtHeight_ms(5, 500, 10, 0.2)).toBe(windAtHeight_ms(5, 200, 10, 0.2));
  });

  it("is 0 for calm and NaN for what is not known", () => {
    expect(windAtHeight_ms(0, 10, 50, 0.2)).toBe(0);
    expect(windAtHeight_ms(0, Number.NaN, 50, 0.2)).toBe(0);
    expect(windAtHeight_ms(0, 10, Number.NaN, 0.2)).toBeNaN();
    expect(windAtHeight_ms(Number.NaN, 10, 50, 0.2)).toBeNaN();
    expect(windAtHeight_ms(5, Number.NaN, 50, 0.2)).toBeNaN();
    expect(windAtHeight_ms(5, 10, Number.NaN, 0.2)).toBeNaN();
  });

  it("grows with height, and comes back", () => {
    const height = fc.double({ min: 2, max: 200, noNaN: true });
    fc.assert(
      fc.property(height, height, fc.double({ min: 0, max: 0.5, noNaN: true }), (a, b, shear) => {
        const up = windAtHeight_ms(5, Math.min(a, b), Math.max(a, b), shear);
        expect(up).toBeGreaterThanOrEqual(5 - 1e-12);
        expect(windAtHeight_ms(up, Math.max(a, b), Math.min(a, b), shear)).toBeCloseTo(5, 9);
      }),
    );
  });
});
