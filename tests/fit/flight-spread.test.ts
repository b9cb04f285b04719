import { describe, expect, it } from "vitest";
import { disagreementOf } from "../../src/fit/agreement.js";
import { flightSpread } from "../../src/fit/flight-spread.js";
import { type Ratio, ratiosOf, stepNoise } from "../../src/fit/ratios.js";
import { declaredDrain } from "../../src/aircraft/drain.js";

const DRAIN = declaredDrain({ hover: 4, climb: 6, cruise: 5, descent: 3 }, undefined, "");

function of(ratio: number, error = 0.02): Ratio {
  return { flown_pct: ratio * 50, predicted_pct: 50, ratio, error, rateError: 0 };
}

describe("the spread from flight to flight", () => {
  it("is the variance of the ratios less that of their errors, where these are equal", () => {
    const ratios = [0.9, 1, 1.1].map((ratio) => of(ratio));
    // Sample variance 0.01, error 0.0004.
    expect(flightSpread(ratios).seen).toBeCloseTo(Math.sqrt(0.01 - 0.0004), 12);
    expect(flightSpread(ratios).believed).toBeCloseTo(Math.sqrt((2 * 0.0096 + 0.01) / 3), 12);
  });

  it("is nothing where the errors explain all", () => {
    expect(flightSpread([of(0.99), of(1.01)]).seen).toBe(0);
    expect(flightSpread([of(0.99), of(1.01)]).believed).toBeCloseTo(0.1 / Math.SQRT2, 12);
  });

  it("is the usual one for fewer than two flights", () => {
    expect(flightSpread([])).toEqual({ seen: undefined, believed: 0.1 });
    expect(flightSpread([of(1.3), of(Number.NaN)])).toEqual({ seen: undefined, believed: 0.1 });
  });
});

describe("flown against predicted", () => {
  it("counts times by regime, with an error that is never under 0.3 % of charge", () => {
    const steps = [
      { drop_pct: 1, times_min: [0.25, 0, 0, 0] },
      { drop_pct: 2, times_min: [0, 0, 0.2, 0.5] },
    ];
    const [ratio] = ratiosOf([steps], DRAIN, 0);
    expect(ratio).toMatchObject({ flown_pct: 3, predicted_pct: 3.5 });
    expect(ratio?.ratio).toBeCloseTo(3 / 3.5, 12);
    expect(ratio?.error).toBeCloseTo(0.3 / 3.5, 12);
    expect(ratiosOf([steps], DRAIN, 4)[0]?.error).toBeCloseTo(Math.sqrt(4 * 0.95) / 3.5, 12);
  });

  it("has no ratio where nothing was flown", () => {
    expect(ratiosOf([[]], DRAIN, 0)[0]?.ratio).toBeNaN();
  });

  it("scales each flight to its own level before it looks at the scatter of its steps", () => {
    const even = [1, 1, 1].map((drop_pct) => ({ drop_pct: drop_pct * 1.5, times_min: [0.25, 0, 0, 0] }));
    expect(stepNoise([even], DRAIN)).toBeCloseTo(0, 12);
    const odd = [1.2, 0.8].map((drop_pct) => ({ drop_pct, times_min: [0.25, 0, 0, 0] }));
    // Residuals ±0.2 over a quarter of a minute each, one degree of freedom.
    expect(stepNoise([odd], DRAIN)).toBeCloseTo((2 * 0.04) / 0.25, 12);
    expect(stepNoise([[{ drop_pct: 1, times_min: [0.25, 0, 0, 0] }]], DRAIN)).toBe(0);
  });
});

describe("agreement", () => {
  it.each([
    ["none", [], undefined],
    ["one", [1.9], undefined],
    ["alike", [0.95, 1, 1.05, 1.02], undefined],
    ["a stranger", [0.98, 1, 1.01, 1.02, 1.6], { kind: "log-apart", logs: [4] }],
    ["a frugal stranger", [0.98, 0.5, 1.01, 1.02, 1], { kind: "log-apart", logs: [1] }],
    ["two kinds", [1, 1.01, 1.3, 0.99, 1.31], { kind: "two-groups", logs: [2, 4] }],
    ["two kinds less than 15 % apart", [1, 1.01, 1.12, 0.99, 1.13], undefined],
    ["a wide lot", [0.8, 0.92, 1.05, 1.2], { kind: "too-wide", logs: [0, 1, 2, 3] }],
    ["one of which nothing is known", [Number.NaN, 1, 1.01], undefined],
  ] as const)("%s", (_, ratios, expected) => {
    expect(disagreementOf(ratios.map((ratio) => of(ratio)))).toEqual(expected);
  });

  it("forgives a log what its own reading cannot tell", () => {
    const short = [...[0.98, 1, 1.01, 1.02].map((ratio) => of(ratio)), of(1.6, 0.3)];
    expect(disagreementOf(short)).toBeUndefined();
  });
});
