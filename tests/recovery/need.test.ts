import { describe, expect, it } from "vitest";
import { declaredDrain, type Drain } from "../../src/aircraft/drain.js";
import type { Speed } from "../../src/aircraft/speeds.js";
import { computeNeed, emptyNeed, hasBounds, type Need, type NeedModel, type Plan } from "../../src/recovery/need.js";

const known = (value: number, spread: number): Speed => ({
  value,
  basis: "declared",
  from: "",
  spread,
  adverse_ms: undefined,
  best_ms: value,
});

const assumed = (value: number, adverse_ms: number, best_ms: number): Speed => ({
  value,
  basis: "assumed",
  from: "",
  spread: 0,
  adverse_ms,
  best_ms,
});

function needOf(given: NeedModel, how: Plan): Need {
  const need = emptyNeed();
  computeNeed(given, how, need);
  return need;
}

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
    recovery: known(10, 0.1),
    climb: known(2, 0.05),
    descent: known(4, 0.1),
    landing: known(1, 0.2),
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

  it("is bound by no lull where the wind is known and blows home", () => {
    const need = needOf(KNOWN, { ...PLAN, windFrom_deg: 220, height_m: 50 });
    const home_min = 600 / 13 / 60;
    const doubt_pct = Z * deviation_pct(need.middle_pct, [6 / 60, 0, home_min, usual[3] ?? 0]);
    const wind_pct = 9 * (600 / 11 / 60 - home_min);
    const slowLeg_pct = 9 * (600 / 11.5 / 60 - home_min);
    const descent_pct = (3 * (45 / 3.4 + 5 / 0.7 - (45 / 4 + 5))) / 60;
    const spread_pct = Math.hypot(doubt_pct, wind_pct, slowLeg_pct, descent_pct);
    expect(need.upper_pct - need.middle_pct).toBeCloseTo(spread_pct, 9);
  });

  it("keeps a tenth of a speed at a level of all but certainty", () => {
    const calm = { ...PLAN, wind_ms: 0, windOff_ms: 0, distance_m: 0, height_m: 50 };
    const speeds = { ...KNOWN.speeds, descent: known(4, 0), landing: known(1, 0.8) };
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
      expect(hasBounds({ ...KNOWN, speeds: { ...KNOWN.speeds, [name]: assumed(5, 4, 6) } }, 0)).toBe(true);
    }
  });
});
