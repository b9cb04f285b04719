import { describe, expect, it } from "vitest";
import { ASSUMED_AGAINST_MS } from "../../src/air/flight-wind.js";

/** Upper limits of the Beaufort numbers, wind at 10 m, m/s. Source: three public tables, one citing a weather bureau. */
const BEAUFORT_ENDS_MS = [0.2, 1.5, 3.3, 5.4, 7.9, 10.7, 13.8, 17.1, 20.7, 24.4, 28.4, 32.6];

describe("the allowance for an unknown wind", () => {
  it("is a gentle breeze, Beaufort 3, which ends at 5.4 m/s: limits are rounded to 0.1 first, so that no gap is left", () => {
    const number = BEAUFORT_ENDS_MS.findIndex((end_ms) => Math.round(ASSUMED_AGAINST_MS * 10) / 10 <= end_ms);
    expect(number).toBe(3);
  });
});
