import { describe, expect, it } from "vitest";
import { distance_m, line, pointAlong } from "../../src/num/geodesic.js";

const dms = (degrees: number, minutes: number, seconds: number): number => degrees + minutes / 60 + seconds / 3600;

// Source: ICSM Geocentric Datum of Australia Technical Manual, worked example for Vincenty's formulae, as quoted in the
// datum authority's own open library (GeodePy, test_geodesy.py). The example is on GRS80; on WGS84 it differs by 0.1 mm.
describe("Flinders Peak to Buninyong (ICSM GDA Technical Manual)", () => {
  const flinders = [-dms(37, 57, 3.7203), dms(144, 25, 29.5244)] as const;
  const buninyong = [-dms(37, 39, 10.1561), dms(143, 55, 35.3839)] as const;

  it("has the published ellipsoidal distance", () => {
    expect(Math.abs(distance_m(...flinders, ...buninyong) - 54_972.271)).toBeLessThan(0.0005);
    expect(line(...flinders, ...buninyong).distance_m).toBe(distance_m(...flinders, ...buninyong));
  });

  it("has the published forward and reverse azimuths", () => {
    expect(Math.abs(line(...flinders, ...buninyong).course_deg - dms(306, 52, 5.37))).toBeLessThan(0.005 / 3600);
    expect(Math.abs(line(...buninyong, ...flinders).course_deg - dms(127, 10, 25.07))).toBeLessThan(0.005 / 3600);
  });

  it("leads there by the direct problem", () => {
    const there = pointAlong(...flinders, dms(306, 52, 5.37), 54_972.271);
    expect(distance_m(there.latitude_deg, there.longitude_deg, ...buninyong)).toBeLessThan(0.002);
  });
});

// Source: C. F. F. Karney, Test set for geodesics (2010), Zenodo record 32156, CC0. As published, with more digits than a
// double holds: lat1 lon1 azi1 lat2 lon2 azi2 s12.
const GEODTEST = `
47.900780879363   0 148.758779524609 47.899309788344023215 .001327005894209747 148.759764131627358008  191.3088022
36.800966049655   0  43.389649034063 36.802889529289609993 .002261122427425817  43.391003560674015305  293.7372273
60.077425015363   0  81.639916890942 60.078197903525388982 .010531670881733178  81.649044728416379082  592.5766309
18.725775553796   0  98.927919777265 18.724785210853172866 .006615636046166963  98.930043600815390181  706.2676803
56.310719132311   0 155.158323803365 56.304258387808388716 .005380024608319352 155.162800127144988655  792.7231052
2.514600234503    0 166.362139719401  2.506446532968658234 .00196695535966103  166.362225877709852834  927.7647972
8.849455388939    0 129.673344478389  8.843107684651578467 .007694428892432052 129.674527758774555025 1099.6867173
`
  .trim()
  .split("\n")
  .map((each) => each.split(/ +/).map(Number) as [number, number, number, number, number, number, number]);

describe("short lines of GeodTest (Karney 2010, Zenodo 32156)", () => {
  it.each(GEODTEST)("from %d°, %d° along %d°", (lat1, lon1, azi1, lat2, lon2, azi2, s12) => {
    const there = line(lat1, lon1, lat2, lon2);
    expect(Math.abs(there.distance_m - s12)).toBeLessThan(2e-8);
    // An end point kept to 1e-15° turns a line of 200 m by 1e-10°; doubles keep 7e-15° here.
    expect(Math.abs(there.course_deg - azi1)).toBeLessThan(5e-9);
    const back = line(lat2, lon2, lat1, lon1);
    expect(Math.abs(back.course_deg - (azi2 + 180))).toBeLessThan(5e-9);
    const found = pointAlong(lat1, lon1, azi1, s12);
    expect(Math.abs(found.latitude_deg - lat2)).toBeLessThan(1e-13);
    expect(Math.abs(found.longitude_deg - lon2)).toBeLessThan(1e-13);
  });

  it("would show a sphere up", () => {
    // Computed for this project: a sphere of 6371008.8 m is off by 0.01 to 0.53 % on these lines.
    const [lat1 = 0, , , lat2 = 0, lon2 = 0, , s12 = 0] = GEODTEST[0] ?? [];
    const radians = Math.PI / 180;
    const north = (lat2 - lat1) * radians * 6_371_008.8;
    const east = lon2 * radians * 6_371_008.8 * Math.cos(lat1 * radians);
    expect(Math.abs(Math.hypot(north, east) - s12)).toBeGreaterThan(0.01);
  });
});

// Source: test file of geographiclib-geodesic 2.2.0 (names of its cases beside the values) and its README.
describe("lines of the GeographicLib test file", () => {
  it.each([
    ["GeodSolve0", 40.6, -73.8, 49.01666667, 2.55, 5_853_226, 53.47022, 0.5, 0.5e-5],
    ["GeodSolve74", 54.1589, 15.3872, 54.1591, 15.3877, 39.527686385, 55.723110355, 5e-9, 5e-9],
    [
      "GeodSolve76",
      -(41 + 19 / 60),
      174 + 49 / 60,
      40 + 58 / 60,
      -(5 + 30 / 60),
      19_960_543.857179,
      160.39137649664,
      0.5e-6,
      0.5e-11,
    ],
    ["GeodSolve78", 27.2, 0, -27.1, 179.5, 19_974_354.765767, 45.82468716758, 0.5e-6, 0.5e-11],
    ["GeodSolve92", 37.757540000000006, -122.47018, 37.75754, -122.470177, 0.264, 89.99999923, 0.5e-3, 1e-7],
    ["README, Wellington to Salamanca", -41.32, 174.81, 40.96, -5.5, 19_959_679.267, undefined, 0.0005, 0],
    ["GeodSolve4", 36.493349428792, 0, 36.49334942879201, 0.0000008, 0.072, undefined, 0.5e-3, 0],
  ] as const)("%s", (_name, lat1, lon1, lat2, lon2, s12, azi1, tolerance_m, tolerance_deg) => {
    const there = line(lat1, lon1, lat2, lon2);
    expect(Math.abs(there.distance_m - s12)).toBeLessThanOrEqual(tolerance_m);
    if (azi1 !== undefined) expect(Math.abs(there.course_deg - azi1)).toBeLessThanOrEqual(tolerance_deg);
  });

  it("GeodSolve1, direct", () => {
    const there = pointAlong(40.63972222, -73.77888889, 53.5, 5_850_000);
    expect(Math.abs(there.latitude_deg - 49.01467)).toBeLessThanOrEqual(0.5e-5);
    expect(Math.abs(there.longitude_deg - 2.56106)).toBeLessThanOrEqual(0.5e-5);
  });

  it("crosses the antimeridian the short way", () => {
    expect(Math.abs(distance_m(0, 179, 0, -179) - 222_639)).toBeLessThan(0.5);
    expect(line(0, 179, 0, -179).course_deg).toBeCloseTo(90, 9);
  });
});
