import * as fc from "fast-check";
import geodesic from "geographiclib-geodesic";
import { describe, expect, it } from "vitest";
import { distance_m, line } from "../../src/num/geodesic.js";
import { writeNearLine } from "../../src/num/near-line.js";

const WGS84 = geodesic.Geodesic.WGS84;
/** The library promises 15 nm, and a degree in a double is known to 3 nm. */
const EQUAL_M = 4e-8;

const UNTOLD = { north_m: Number.NaN, east_m: Number.NaN, turn_rad: Number.NaN };

function nearLine(lat1_deg: number, lon1_deg: number, lat2_deg: number, lon2_deg: number) {
  const out = { ...UNTOLD };
  return writeNearLine(lat1_deg, lon1_deg, lat2_deg, lon2_deg, out) ? out : undefined;
}

/** Points some way from each other: latitude, longitude, course and distance. */
function pairs(furthest_m: number, latitude_deg = 90) {
  return fc.record({
    latitude: fc.double({ min: -latitude_deg, max: latitude_deg, noNaN: true }),
    longitude: fc.double({ min: -180, max: 180, noNaN: true }),
    course_deg: fc.double({ min: 0, max: 360, noNaN: true }),
    along_m: fc.double({ min: 0, max: furthest_m, noNaN: true }),
  });
}

describe("a near line", () => {
  it("is the library's geodesic: as long, and no further off at its end", () => {
    fc.assert(
      fc.property(pairs(6000), ({ latitude, longitude, course_deg, along_m }) => {
        const { lat2 = Number.NaN, lon2 = Number.NaN } = WGS84.Direct(latitude, longitude, course_deg, along_m);
        const { s12 = Number.NaN, azi1 = Number.NaN } = WGS84.Inverse(latitude, longitude, lat2, lon2);
        const found = line(latitude, longitude, lat2, lon2);
        expect(Math.abs(found.distance_m - s12)).toBeLessThan(EQUAL_M);
        expect(Math.abs(Math.sin(((found.course_deg - azi1) * Math.PI) / 180)) * s12).toBeLessThan(EQUAL_M);
        expect(distance_m(latitude, longitude, lat2, lon2)).toBe(found.distance_m);
      }),
      { numRuns: 5000 },
    );
  });

  it.each([0, 30, 46, 60, 70, 79, -46, -79])(
    "keeps its terms of third order at %d°, where lines are long",
    (latitude) => {
      for (let course_deg = 0; course_deg < 360; course_deg += 15) {
        const { lat2: lat1 = Number.NaN, lon2: lon1 = Number.NaN } = WGS84.Direct(latitude, 8, course_deg, -1950);
        const { lat2 = Number.NaN, lon2 = Number.NaN } = WGS84.Direct(latitude, 8, course_deg, 1950);
        const { s12 = Number.NaN, azi1 = Number.NaN } = WGS84.Inverse(lat1, lon1, lat2, lon2);
        const { north_m, east_m, turn_rad } = nearLine(lat1, lon1, lat2, lon2) ?? UNTOLD;
        const off_rad = Math.atan2(east_m, north_m) - turn_rad - (azi1 * Math.PI) / 180;
        expect(Math.abs(Math.hypot(north_m, east_m) - s12)).toBeLessThan(1.5e-8);
        expect(Math.abs(Math.sin(off_rad)) * s12).toBeLessThan(5e-9);
      }
    },
  );

  it("decides by itself up to 3.9 km and 79° of latitude", () => {
    fc.assert(
      fc.property(pairs(3900, 79), ({ latitude, longitude, course_deg, along_m }) => {
        const { lat2 = Number.NaN, lon2 = Number.NaN } = WGS84.Direct(latitude, longitude, course_deg, along_m);
        fc.pre(Math.abs(lon2 - longitude) < 1);
        expect(nearLine(latitude, longitude, lat2, lon2)).toBeDefined();
      }),
    );
  });

  it.each([
    ["too far north", 46, 8, 46.1, 8],
    ["too far east", 46, 8, 46, 8.1],
    ["across the antimeridian", 46, 179.999, 46, -179.999],
    ["at a pole", 89.999, 8, 89.999, 9],
    ["beyond 80°", 80.1, 8, 80.1, 8.001],
    ["without a latitude", Number.NaN, 8, 46, 8],
    ["without a longitude", 46, 8, 46, Number.NaN],
  ])("leaves what is %s to the library", (_, lat1, lon1, lat2, lon2) => {
    expect(nearLine(lat1, lon1, lat2, lon2)).toBeUndefined();
  });

  it("has no length, and no turn, between equal points", () => {
    expect(nearLine(46, 8, 46, 8)).toEqual({ north_m: 0, east_m: 0, turn_rad: 0 });
  });

  it("turns by half the meridians' convergence on its way to the middle", () => {
    const { turn_rad = Number.NaN } = nearLine(46, 8, 46, 8.02) ?? {};
    expect((turn_rad * 180) / Math.PI).toBeCloseTo(0.01 * Math.sin((46 * Math.PI) / 180), 7);
  });

  it("crosses the antimeridian as short as anywhere", () => {
    expect(distance_m(46, 179.999, 46, -179.999)).toBeCloseTo(distance_m(46, 8, 46, 8.002), 6);
  });
});
