import { expect, test } from "vitest";
import { distance_m } from "../../src/num/geodesic.js";
import { metresPerDegreeEast, metresPerDegreeNorth } from "../../src/num/metres-per-degree.js";

// Against the geodesic over a thousandth of a degree, to 1e-7 of itself.
test.each([-80, -45, -0.001, 0, 30, 60, 89])("metres per degree at %d are those of the geodesic", (latitude) => {
  const north = distance_m(latitude - 0.0005, 10, latitude + 0.0005, 10) * 1000;
  const east = distance_m(latitude, 10, latitude, 10.001) * 1000;
  expect(metresPerDegreeNorth(latitude) / north).toBeCloseTo(1, 7);
  expect(metresPerDegreeEast(latitude) / east).toBeCloseTo(1, 7);
});

test("a degree of longitude at the equator is 1/360 of its length, at the pole nothing", () => {
  expect(metresPerDegreeEast(0)).toBeCloseTo((2 * Math.PI * 6_378_137) / 360, 9);
  expect(metresPerDegreeEast(90)).toBeCloseTo(0, 9);
});
