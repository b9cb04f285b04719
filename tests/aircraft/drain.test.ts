import { describe, expect, it } from "vitest";
import { ASSUMED_DRAIN, assumedDrain, DECLARED_SPREAD_PCT, declaredDrain } from "../../src/aircraft/drain.js";
import { REGIMES } from "../../src/aircraft/regimes.js";
import { repeat } from "../track/make-track.js";

describe("declaredDrain", () => {
  const rates = { hover: 4, climb: 6, cruise: 5, descent: 3.5 };

  it("is what was declared, in the order of the regimes, without a range", () => {
    const drain = declaredDrain(rates, 12, "homeleg.yaml:5");
    expect(drain).toMatchObject({ basis: "declared", from: "homeleg.yaml:5", isAssumed: false, spread_pct: 12 });
    expect(drain.middle).toEqual(REGIMES.map((regime) => rates[regime]));
    expect(drain.low).toEqual(drain.middle);
    expect(drain.high).toEqual(drain.middle);
    expect(drain.covariance.flat()).toEqual(repeat(0, 16));
  });

  it("has a spread where none was declared, and none where 0 was", () => {
    expect(declaredDrain(rates, undefined, "").spread_pct).toBe(DECLARED_SPREAD_PCT);
    expect(declaredDrain(rates, 0, "").spread_pct).toBe(0);
  });
});

describe("assumedDrain", () => {
  it("is wide on both sides in every regime", () => {
    const drain = assumedDrain();
    expect(drain).toMatchObject({ basis: "assumed", isAssumed: true, spread_pct: 0 });
    REGIMES.forEach((_, i) => {
      expect(drain.low[i]).toBeLessThan(drain.middle[i] ?? Number.NaN);
      expect(drain.high[i]).toBeGreaterThan(drain.middle[i] ?? Number.NaN);
    });
    expect(drain.middle).toEqual(ASSUMED_DRAIN.middle);
  });
});
