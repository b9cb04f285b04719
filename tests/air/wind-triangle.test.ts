import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { groundSpeed_ms } from "../../src/air/wind-triangle.js";

// Published examples are in tests/reference/wind-triangle.test.ts.
describe("groundSpeed_ms", () => {
  it.each([
    ["calm", 10, 0, 123, 45, 10],
    ["head on", 10, 4, 90, 90, 6],
    ["from behind", 10, 4, 270, 90, 14],
    ["from the right", 5, 3, 180, 90, 4],
    ["from the left", 5, 3, 0, 90, 4],
    ["half off the nose", 13, 10, 30, 0, Math.sqrt(144) - 10 * Math.cos(Math.PI / 6)],
  ])("%s", (_name, airSpeed, wind, from_deg, course_deg, expected) => {
    expect(groundSpeed_ms(airSpeed, wind, from_deg, course_deg)).toBeCloseTo(expected, 12);
  });

  it("is 0 where the crosswind alone equals or exceeds the air speed: the course cannot be held", () => {
    expect(groundSpeed_ms(5, 6, 90, 0)).toBe(0);
    expect(groundSpeed_ms(5, 5, 90, 0)).toBe(0);
    expect(groundSpeed_ms(5, 4.999, 90, 0)).toBeGreaterThan(0);
    // Even with a tail component that would carry it along.
    expect(groundSpeed_ms(5, 20, 135, 0)).toBe(0);
  });

  it("is 0 or less against a wind as strong as itself: no headway", () => {
    expect(groundSpeed_ms(5, 5, 0, 0)).toBe(0);
    expect(groundSpeed_ms(5, 8, 0, 0)).toBe(-3);
  });

  it.each([0, 1, 2, 3])("is NaN where input %d is", (missing) => {
    const given = [10, 5, 45, 0].map((value, i) => (i === missing ? Number.NaN : value)) as [
      number,
      number,
      number,
      number,
    ];
    expect(groundSpeed_ms(...given)).toBeNaN();
  });

  const air = fc.double({ min: 1, max: 25, noNaN: true });
  const wind = fc.double({ min: 0, max: 30, noNaN: true });
  const angle = fc.double({ min: 0, max: 360, noNaN: true });

  it("is at most air speed and wind together, and at least their difference against", () => {
    fc.assert(
      fc.property(air, wind, angle, angle, (v, w, from, course) => {
        const ground = groundSpeed_ms(v, w, from, course);
        expect(ground).toBeLessThanOrEqual(v + w + 1e-9);
        expect(ground).toBeGreaterThanOrEqual(-w - 1e-9);
        if (w < v) expect(ground).toBeGreaterThanOrEqual(v - w - 1e-9);
      }),
    );
  });

  it("is never faster for more wind from ahead", () => {
    fc.assert(
      fc.property(air, wind, wind, fc.double({ min: -90, max: 90, noNaN: true }), angle, (v, a, b, off, course) => {
        const less = groundSpeed_ms(v, Math.min(a, b), course + off, course);
        const more = groundSpeed_ms(v, Math.max(a, b), course + off, course);
        // Where the course cannot be held, 0 stands for "no headway", which a negative speed also is.
        if (less > 0) expect(more).toBeLessThanOrEqual(less + 1e-9);
        else expect(more).toBeLessThanOrEqual(0);
      }),
    );
  });

  it("is never faster for a wind turned further ahead", () => {
    fc.assert(
      fc.property(air, wind, angle, angle, (v, w, from, course) => {
        const side = groundSpeed_ms(v, w, from, course);
        const ahead = groundSpeed_ms(v, w, course, course);
        if (side > 0) expect(ahead).toBeLessThanOrEqual(side + 1e-9);
      }),
    );
  });

  it("never gains on a way there and back", () => {
    fc.assert(
      fc.property(air, wind, angle, angle, (v, w, from, course) => {
        const out = groundSpeed_ms(v, w, from, course);
        const home = groundSpeed_ms(v, w, from, course + 180);
        if (out > 0 && home > 0) expect((2 * out * home) / (out + home)).toBeLessThanOrEqual(v + 1e-9);
      }),
    );
  });

  it("does not care about full turns or sides", () => {
    fc.assert(
      fc.property(air, wind, angle, angle, (v, w, from, course) => {
        const ground = groundSpeed_ms(v, w, from, course);
        expect(groundSpeed_ms(v, w, from + 360, course)).toBeCloseTo(ground, 6);
        expect(groundSpeed_ms(v, w, 2 * course - from, course)).toBeCloseTo(ground, 6);
      }),
    );
  });
});
