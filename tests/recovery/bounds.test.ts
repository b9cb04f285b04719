import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { groundSpeed_ms } from "../../src/air/wind-triangle.js";
import { assumedDrain, declaredDrain, type Drain } from "../../src/aircraft/drain.js";
import { fitDrain } from "../../src/aircraft/fit-drain.js";
import type { Speeds } from "../../src/aircraft/speeds.js";
import { standardNormalQuantile } from "../../src/num/standard-normal.js";
import { computeNeed, hasBounds, type Need, type NeedModel, type Plan } from "../../src/recovery/need.js";
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

/** Of the doubts a need has: drain, wind, slow leg, slow climb and descents. */
const Z = 1.5;
const COVARIANCE = [
  [0.4, 0.1, -0.1, 0.05],
  [0.1, 0.9, 0.2, -0.02],
  [-0.1, 0.2, 0.6, 0.03],
  [0.05, -0.02, 0.03, 0.3],
];
const RATES = { hover: 6, climb: 12, cruise: 9, descent: 3 };
const DRAIN: Drain = { ...declaredDrain(RATES, 10, ""), covariance: COVARIANCE };
const KNOWN: NeedModel = {
  drain: DRAIN,
  speeds: {
    recovery: speed(10, 0.1, false),
    climb: speed(2, 0.05, false),
    descent: speed(4, 0.1, false),
    landing: speed(1, 0.2, false),
  },
  slowHeight_m: 5,
  z: Z,
};
/** 20 m up and 600 m straight into 3 m/s. */
const PLAN: Plan = {
  delay_s: 6,
  height_m: 30,
  top_m: 50,
  bestTop_m: 50,
  distance_m: 600,
  course_deg: 40,
  wind_ms: 3,
  windFrom_deg: 40,
  windOff_ms: 2,
  windBound_ms: 0,
};

/** One standard deviation, by the definition: share² + tᵀCt. */
function deviation_pct(need_pct: number, times_min: readonly number[]): number {
  const spread = COVARIANCE.flatMap((row, i) => row.map((c, j) => c * (times_min[i] ?? 0) * (times_min[j] ?? 0)));
  return Math.sqrt((0.1 * need_pct) ** 2 + spread.reduce((sum, part) => sum + part, 0));
}

describe("a need, term by term", () => {
  const leg_min = 600 / 7 / 60;
  const usual = [6 / 60, 10 / 60, leg_min, (45 / 4 + 5) / 60];
  const middle_pct = 6 * 0.1 + (12 * 10) / 60 + 9 * leg_min + (3 * (45 / 4 + 5)) / 60;
  const windOff_pct = 9 * (600 / 5 / 60 - leg_min);

  it("adds what is known in squares: drain, wind, and speeds at their slow end", () => {
    const need = needOf(KNOWN, PLAN);
    const slowLeg_pct = 9 * (600 / 5.5 / 60 - leg_min);
    const vertical_pct = (12 * (20 / 1.85 - 10) + 3 * (45 / 3.4 + 5 / 0.7 - (45 / 4 + 5))) / 60;
    const upper_pct =
      middle_pct + Math.hypot(Z * deviation_pct(middle_pct, usual), windOff_pct, slowLeg_pct, vertical_pct);
    expect(need.middle_pct).toBeCloseTo(middle_pct, 9);
    expect(need.low_pct).toBeCloseTo(middle_pct, 9);
    expect(need.upper_pct).toBeCloseTo(upper_pct, 9);
    expect(need.upperKnown_pct).toBeCloseTo(upper_pct, 9);
    expect(need.groundSpeed_ms).toBeCloseTo(7, 9);
    expect(need.groundSpeedAdverse_ms).toBeCloseTo(5, 9);
    expect(need.groundSpeedBest_ms).toBeCloseTo(7, 9);
    expect(need.groundSpeedAdverseBest_ms).toBeCloseTo(5, 9);
  });

  it("adds what is assumed one upon the other, and nothing of it to the favourable end", () => {
    const assumed = (value: number, adverse_ms: number, best_ms: number): Speeds["recovery"] => ({
      ...speed(value, 0, true),
      adverse_ms,
      best_ms,
    });
    const given: NeedModel = {
      ...KNOWN,
      drain: { ...DRAIN, isAssumed: true, low: [4, 8, 6, 2], high: [10, 20, 14, 7] },
      speeds: {
        recovery: assumed(10, 7, 13),
        climb: assumed(2, 1.6, 3),
        descent: assumed(4, 3.2, 5),
        landing: assumed(1, 0.8, 1.25),
      },
    };
    const need = needOf(given, { ...PLAN, bestTop_m: 30, windBound_ms: 4 });
    const best = [6 / 60, 0, 1, (25 / 5 + 5 / 1.25) / 60];
    const low_pct = 4 * 0.1 + 6 + 2 * (best[3] ?? 0);
    const rates_pct = 4 * 0.1 + (8 * 10) / 60 + 5 * leg_min + 4 * (usual[3] ?? 0);
    const legs_pct = 9 * (600 / 6 / 60 - leg_min) + 9 * (600 / 4 / 60 - leg_min);
    const vertical_pct = (12 * (20 / 1.6 - 10) + 3 * (45 / 3.2 + 5 / 0.8 - (45 / 4 + 5))) / 60;
    expect(need.middle_pct).toBeCloseTo(middle_pct, 9);
    expect(need.low_pct).toBeCloseTo(low_pct, 9);
    expect(need.upper_pct).toBeCloseTo(
      middle_pct + Math.hypot(Z * deviation_pct(middle_pct, usual), windOff_pct) + rates_pct + legs_pct + vertical_pct,
      9,
    );
    expect(need.upperKnown_pct).toBeCloseTo(
      low_pct + Math.hypot(Z * deviation_pct(low_pct, best), 9 * (600 / 8 / 60 - 1)),
      9,
    );
    expect(need.groundSpeedBest_ms).toBeCloseTo(10, 9);
    expect(need.groundSpeedAdverseBest_ms).toBeCloseTo(8, 9);
  });

  it("takes the low ends of rates only where all four are assumed", () => {
    const given = { ...KNOWN, drain: { ...DRAIN, low: [1, 1, 1, 1] } };
    expect(needOf(given, PLAN).low_pct).toBeCloseTo(middle_pct, 9);
  });

  it("is slowed by more wind against, and by less from behind", () => {
    const behind = { ...PLAN, windFrom_deg: 220 };
    expect(needOf(KNOWN, { ...behind, windOff_ms: 5 }).groundSpeedAdverse_ms).toBeCloseTo(8, 9);
    // Across, both ways slow it: the least of all is that of the most wind.
    const across = needOf(KNOWN, { ...PLAN, windFrom_deg: 130, windOff_ms: 5 });
    expect(across.groundSpeed_ms).toBeCloseTo(Math.sqrt(91), 9);
    expect(across.groundSpeedAdverse_ms).toBeCloseTo(6, 9);
  });

  it("keeps a tenth of a speed at a level of all but certainty", () => {
    const calm = { ...PLAN, wind_ms: 0, windOff_ms: 0, distance_m: 0, height_m: 50 };
    const speeds = { ...KNOWN.speeds, descent: speed(4, 0, false), landing: speed(1, 0.8, false) };
    const need = needOf({ ...KNOWN, speeds }, calm);
    const landed = [6 / 60, 0, 0, usual[3] ?? 0];
    const doubt_pct = Z * deviation_pct(need.middle_pct, landed);
    expect(need.upper_pct - need.middle_pct).toBeCloseTo(Math.hypot(doubt_pct, (3 * (50 - 5)) / 60), 9);
  });

  it("asks nothing more of a leg whose slow speed has no headway either", () => {
    const need = needOf(KNOWN, { ...PLAN, wind_ms: 12 });
    expect(need).toMatchObject({
      middle_pct: Infinity,
      upper_pct: Infinity,
      low_pct: Infinity,
      upperKnown_pct: Infinity,
    });
  });

  it("has a bound where a wind, a rate or any one speed is assumed, and else none", () => {
    expect(hasBounds(KNOWN, 0)).toBe(false);
    expect(hasBounds(KNOWN, 5)).toBe(true);
    expect(hasBounds({ ...KNOWN, drain: { ...DRAIN, high: [6, 12, 9, 4] } }, 0)).toBe(true);
    for (const name of ["recovery", "climb", "descent", "landing"] as const) {
      expect(hasBounds({ ...KNOWN, speeds: { ...KNOWN.speeds, [name]: speed(5, 0, true) } }, 0)).toBe(true);
    }
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
