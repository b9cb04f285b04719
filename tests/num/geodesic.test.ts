import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { distance_m, line, pointAlong } from "../../src/num/geodesic.js";

// Published values are in tests/reference/geodesics.test.ts.
describe("line", () => {
  it("has length 0 and course 0 between equal points", () => {
    expect(line(47, 8, 47, 8)).toEqual({ distance_m: 0, course_deg: 0 });
    // So too where the library is asked, which calls it south.
    expect(line(85, 8, 85, 8)).toEqual({ distance_m: 0, course_deg: 0 });
  });

  it.each([
    [1, 0, 0],
    [0, 1, 90],
    [-1, 0, 180],
    [0, -1, 270],
  ])("%d north, %d east is course %d", (north, east, course_deg) => {
    expect(line(0, 0, north, east).course_deg).toBeCloseTo(course_deg, 9);
    expect(distance_m(0, 0, north, east)).toBe(line(0, 0, north, east).distance_m);
  });

  it.each([0, 1, 2, 3])("is NaN, not a throw, where coordinate %d is NaN", (missing) => {
    const at = [47, 8, 47.1, 8.1].map((value, i) => (i === missing ? Number.NaN : value)) as [
      number,
      number,
      number,
      number,
    ];
    expect(line(...at)).toEqual({ distance_m: Number.NaN, course_deg: Number.NaN });
    expect(distance_m(...at)).toBeNaN();
  });

  it("keeps the course under 360 however near north it is", () => {
    fc.assert(
      fc.property(fc.double({ min: -1e-12, max: 0, noNaN: true }), (east_deg) => {
        const { course_deg } = line(0, 0, 60, east_deg);
        expect(course_deg).toBeGreaterThanOrEqual(0);
        expect(course_deg).toBeLessThan(360);
      }),
    );
    expect(line(0, 0, 60, -1e-16).course_deg).toBeLessThan(360);
  });

  it("comes back from where pointAlong leads", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -80, max: 80, noNaN: true }),
        fc.double({ min: -180, max: 180, noNaN: true }),
        fc.double({ min: 0, max: 359.9, noNaN: true }),
        fc.double({ min: 1, max: 20_000, noNaN: true }),
        (latitude, longitude, course_deg, along_m) => {
          const there = pointAlong(latitude, longitude, course_deg, along_m);
          const found = line(latitude, longitude, there.latitude_deg, there.longitude_deg);
          expect(found.distance_m).toBeCloseTo(along_m, 6);
          expect(Math.sin(((found.course_deg - course_deg) * Math.PI) / 180)).toBeCloseTo(0, 6);
        },
      ),
    );
  });
});

it("pointAlong hands NaN on", () => {
  expect(pointAlong(47, 8, Number.NaN, 100).latitude_deg).toBeNaN();
  expect(pointAlong(47, 8, 90, Number.NaN).longitude_deg).toBeNaN();
});
