import { describe, expect, it } from "vitest";
import { geopotential_m, standardAir } from "../../src/air/atmosphere.js";

describe("standard atmosphere against published tables", () => {
  // ICAO Doc 7488/3 and ISO 2533:1975 as tabulated every 100 m, geopotential; to the six digits printed.
  it.each([
    [0, 101_325],
    [100, 100_129],
    [200, 98_945.3],
    [300, 97_772.6],
    [400, 96_611.1],
    [500, 95_460.8],
    [1000, 89_874.6],
    [1500, 84_556],
    [2000, 79_495.2],
    [2500, 74_682.5],
    [3000, 70_108.5],
  ])("ICAO Doc 7488/3: pressure at %d m geopotential is %d Pa", (height_m, published_Pa) => {
    // The last digit printed is 1 Pa at 100 m and 0.1 Pa from 200 m on.
    const tolerance_Pa = published_Pa > 99_999 ? 0.5 : 0.05;
    expect(Math.abs(standardAir(height_m).pressure_Pa - published_Pa)).toBeLessThanOrEqual(tolerance_Pa);
  });

  // EngineeringToolBox, standard atmosphere: geometric heights, pressure in bar and density ratio, four digits.
  it.each([
    [500, 0.9546, 0.9529],
    [1000, 0.8988, 0.9075],
    [1500, 0.8456, 0.8638],
    [2000, 0.795, 0.8217],
    [2500, 0.7469, 0.7812],
    [3000, 0.7012, 0.7423],
  ])("EngineeringToolBox: %d m geometric is %d bar and %d of the density at sea level", (height_m, bar, ratio) => {
    const air = standardAir(geopotential_m(height_m));
    expect(Math.abs(air.pressure_Pa / 1e5 - bar)).toBeLessThanOrEqual(5e-5);
    expect(Math.abs(air.density_kgm3 / 1.225 - ratio)).toBeLessThanOrEqual(6e-5);
  });

  // Computed for this project with the published constants (no output printed to these digits).
  it.each([
    [0, 1.225],
    [1000, 1.11164],
    [2000, 1.00649],
    [3000, 0.90912],
  ])("at %d m geopotential the density is %d kg/m³", (height_m, density) => {
    expect(standardAir(height_m).density_kgm3).toBeCloseTo(density, 5);
  });

  it("tells geopotential from geometric: 13 Pa apart at 3000 m", () => {
    const apart_Pa = standardAir(geopotential_m(3000)).pressure_Pa - standardAir(3000).pressure_Pa;
    expect(apart_Pa).toBeGreaterThan(12);
    expect(apart_Pa).toBeLessThan(13.5);
    expect(geopotential_m(3000)).toBeCloseTo(2998.585, 3);
  });
});
