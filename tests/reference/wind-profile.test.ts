import { describe, expect, it } from "vitest";
import { SHEAR_DEFAULT, windAtHeight_ms } from "../../src/air/wind-profile.js";

const FOOT_M = 0.3048;
const MPH_MS = 0.44704;

describe("power law against published values", () => {
  it("EngineeringToolBox, Wind Shear: 5 m/s at 10 m, exponent 0.25, is 7.1 m/s at 40 m", () => {
    expect(Math.abs(windAtHeight_ms(5, 10, 40, 0.25) - 7.1)).toBeLessThan(0.05);
  });

  it.each([
    [20, 50, 0.14],
    [32.8, 15, -0.11],
  ])("forensic engineering handbook, 1/7th power rule: %d ft to %d ft changes by %d", (from_ft, to_ft, change) => {
    const ratio = windAtHeight_ms(1, from_ft * FOOT_M, to_ft * FOOT_M, SHEAR_DEFAULT);
    expect(Math.abs(ratio - 1 - change)).toBeLessThan(0.005);
  });

  it("forensic engineering handbook, 1/7th power rule: 81 mph at 10 m is 68 mph at 10 ft", () => {
    const at10ft_ms = windAtHeight_ms(81 * MPH_MS, 10, 10 * FOOT_M, SHEAR_DEFAULT);
    expect(Math.abs(at10ft_ms / MPH_MS - 68)).toBeLessThan(0.5);
  });

  it("wind-profile power law article: the neutral exponent is about 1/7, 0.143", () => {
    expect(SHEAR_DEFAULT).toBeCloseTo(0.143, 3);
  });
});
