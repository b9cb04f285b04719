import { describe, expect, it } from "vitest";
import { standardNormalQuantile } from "../../src/num/standard-normal.js";

describe("standardNormalQuantile", () => {
  // Printed in every table of the normal distribution, to four decimals.
  it.each([
    [0.5, 0],
    [0.75, 0.6745],
    [0.9, 1.2816],
    [0.95, 1.6449],
    [0.975, 1.96],
    [0.99, 2.3263],
    [0.1, -1.2816],
  ])("at %d is %d", (share, z) => {
    expect(Math.abs(standardNormalQuantile(share) - z)).toBeLessThanOrEqual(0.0022 * Math.abs(z) + 1e-9);
  });
});
