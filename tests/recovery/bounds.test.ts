import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { groundSpeed_ms } from "../../src/air/wind-triangle.js";
import { assumedDrain, declaredDrain, type Drain } from "../../src/aircraft/drain.js";
import { fitDrain } from "../../src/aircraft/fit-drain.js";
import type { Speeds } from "../../src/aircraft/speeds.js";
import { standardNormalQuantile } from "../../src/num/standard-normal.js";
import { computeNeed, type Need, type NeedModel, type Plan } from "../../src/recovery/need.js";
import { at } from "../helpers/flights.js";
import { logOf, runOf } from "../helpers/run.js";
import { openPlain } from "../helpers/sites.js";

const between = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });

const speed = (value: number, spread: number, isAssumed: boolean): Speeds["recovery"] => ({
  value,
  basis: isAssumed ? "assumed" : "declared",
  from: "",
  spread: isAssumed ? 0 : spread,
  adverse_ms: isAssumed ? value * 0.7 : undefined,
  best_ms: isAssumed ? value * 1.5 : value,
});

const model: fc.Arbitrary<NeedModel> = fc
  .record({
    recovery: between(3, 20),
    climb: between(0.5, 8),
    spread: between(0, 0.15),
    isAssumed: fc.boolean(),
    rates: fc.tuple(between(0.5, 15), between(0.5, 25), between(0.5, 20), between(0.5, 15)),
    drainIsAssumed: fc.boolean(),
    slowHeight_m: between(0, 10),
    upper: between(0.5, 0.9999),
  })
  .map(({ recovery, climb, spread, isAssumed, rates, drainIsAssumed, slowHeight_m, upper }) => {
    const [hover, up, cruise, descent] = rates;
    const declared: Drain = declaredDrain({ hover, climb: up, cruise, descent }, undefined, "");
    return {
      drain: drainIsAssumed ? assumedDrain() : declared,
      speeds: {
        recovery: speed(recovery, spread, isAssumed),
        climb: speed(climb, spread, isAssumed),
        descent: speed(climb, spread, false),
        landing: speed(0.8, spread, isAssumed),
      },
      slowHeight_m,
      z: standardNormalQuantile(upper),
    };
  });

const plan: fc.Arbitrary<Plan> = fc
  .record({
    delay_s: between(0, 20),
    height_m: between(0, 200),
    rise_m: between(0, 150),
    distance_m: fc.oneof(fc.constant(0), between(1, 8000)),
    course_deg: between(0, 360),
    wind_ms: between(0, 25),
    windFrom_deg: between(0, 360),
    windOff_ms: between(0, 10),
    windBound_ms: fc.constantFrom(0, 5),
  })
  .map(({ rise_m, ...rest }) => ({
    ...rest,
    top_m: rest.height_m + rise_m,
    bestTop_m: rest.height_m + rise_m,
  }));

function needOf(given: NeedModel, how: Plan): Need {
  const need = {} as Need;
  computeNeed(given, how, need);
  return need;
}

describe("a need is bounded by physics", () => {
  it("is never NaN nor negative; low ≤ middle ≤ upper; without headway it is infinite, and only then", () => {
    fc.assert(
      fc.property(model, plan, (given, how) => {
        const need = needOf(given, how);
        for (const value of Object.values(need)) expect(value).not.toBeNaN();
        expect(need.low_pct).toBeGreaterThanOrEqual(0);
        expect(need.low_pct).toBeLessThanOrEqual(need.middle_pct * (1 + 1e-12));
        expect(need.upper_pct).toBeGreaterThanOrEqual(need.middle_pct);
        expect(need.upperKnown_pct).toBeGreaterThanOrEqual(need.low_pct);
        const hasHeadway = need.groundSpeed_ms > 0.001 || how.distance_m === 0;
        expect(Number.isFinite(need.middle_pct)).toBe(hasHeadway);
        if (how.distance_m === 0) expect(Number.isFinite(need.upper_pct)).toBe(true);
      }),
      { numRuns: 500 },
    );
  });

  it("is thin, not fail, where the adverse wind alone leaves no headway: the upper is infinite and the middle is not", () => {
    fc.assert(
      fc.property(model, plan, (given, how) => {
        const need = needOf(given, how);
        fc.pre(how.distance_m > 0 && need.groundSpeed_ms > 0.001 && need.groundSpeedAdverse_ms <= 0.001);
        expect(need.middle_pct).toBeLessThan(Number.POSITIVE_INFINITY);
        expect(need.upper_pct).toBe(Number.POSITIVE_INFINITY);
      }),
      { numRuns: 100 },
    );
  });

  it("stays finite at a level of all but certainty", () => {
    fc.assert(
      fc.property(model, plan, (given, how) => {
        const need = needOf({ ...given, z: 8 }, { ...how, wind_ms: 0, windOff_ms: 0, windBound_ms: 0 });
        expect(Number.isFinite(need.upper_pct)).toBe(true);
        expect(need.upper_pct).toBeGreaterThanOrEqual(need.middle_pct);
      }),
      { numRuns: 100 },
    );
  });

  it("makes no more over the ground than air speed and wind together", () => {
    fc.assert(
      fc.property(between(0.1, 30), between(0, 40), between(0, 360), between(0, 360), (air, wind, from, course) => {
        const ground = groundSpeed_ms(air, wind, from, course);
        expect(ground).toBeLessThanOrEqual(air + wind + 1e-9);
        expect(ground).toBeGreaterThanOrEqual(-wind - 1e-9);
      }),
    );
  });

  it("has no negative rate, whatever the steps of a reading look like", () => {
    const step = fc.record({
      drop_pct: between(0.5, 6),
      times_min: fc.tuple(between(0, 1), between(0, 1), between(0, 1), between(0.01, 1)).map((times) => [...times]),
      isNext: fc.boolean(),
    });
    fc.assert(
      fc.property(fc.array(step, { minLength: 0, maxLength: 40 }), (steps) => {
        const drain = fitDrain(steps, "");
        for (const rate of [...(drain?.middle ?? []), ...(drain?.low ?? [])]) expect(rate).toBeGreaterThan(0);
        for (const [i, row] of (drain?.covariance ?? []).entries()) expect(row[i]).toBeGreaterThanOrEqual(0);
      }),
      { numRuns: 200 },
    );
  });
});

/** Every number in a value, wherever it stands. */
function numbersIn(value: unknown): number[] {
  if (typeof value === "number") return [value];
  if (typeof value !== "object" || value === null) return [];
  return Object.values(value).flatMap(numbersIn);
}

describe("the result of a flight", () => {
  it.each([
    ["in a calm", 0],
    ["in a wind that leaves no headway in the gusts", 9],
    ["in a wind that is faster than the aircraft", 14],
    ["in a storm", 60],
  ])("holds no Infinity and no NaN %s", (_name, against_ms) => {
    const rows = Array.from({ length: 60 }, (_, time_s) => ({
      time_s,
      ...at(time_s * 8, 0),
      height_m: time_s === 0 ? 0 : 40,
      battery_pct: 60 - time_s / 10,
      airborne: 1,
    }));
    const log = logOf(rows, {
      drain: { hover: 5, climb: 7, cruise: 6, descent: 4 },
      speeds: { recovery: 10, climb: 3, descent: 3, landing: 0.8 },
      settings: { recoveryHeight_m: 50 },
      operator: { kind: "at-takeoff" },
      wind: { speed_ms: against_ms, from_deg: 180, gust_ms: undefined, height_m: 10, shear: 0.143 },
      site: openPlain(),
    });
    const run = runOf([log]);
    for (const number of numbersIn(run)) expect(Number.isFinite(number)).toBe(true);
    // JSON itself would make null of them in silence, so it is the object that is asked.
    expect(JSON.stringify(run)).not.toMatch(/Infinity|NaN/);
    if (against_ms >= 14) {
      const finding = log.flights[0]?.findings.find(({ rule }) => rule === "reserve-short");
      expect(finding?.verdict).toBe("fail");
      expect(finding?.evidence).toMatchObject({ need_middle_pct: null, reason: "no_headway" });
    }
  });
});
