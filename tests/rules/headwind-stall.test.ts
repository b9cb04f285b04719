import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { headwindStall } from "../../src/rules/headwind-stall.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { at } from "../helpers/flights.js";
import { ALL_KNOWN, ask, badnessOf, shortReplay, tell, withMoment } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";

const home = (middle: number, adverse: number, best = middle, adverseBest = adverse): Record<string, number> => ({
  groundSpeed_ms: middle,
  groundSpeedAdverse_ms: adverse,
  groundSpeedBest_ms: best,
  groundSpeedAdverseBest_ms: adverseBest,
});

describe("headwind-stall", () => {
  it.each([
    ["fast enough", home(8, 5), "clear"],
    ["just at the limit", home(1, 1), "clear"],
    ["the gusts a hair under the limit", home(1, 0.999999), "thin"],
    ["the middle a hair under the limit", home(0.999999, 0), "fail"],
    ["blown backwards", home(-2, -4), "fail"],
    ["standing still", home(0, 0), "fail"],
    ["stalls only by an assumed speed", home(-1, -3, 3, 1), "thin?"],
    ["stalls in the gusts at the fast end too", home(-1, -3, 3, 0.9), "thin"],
    ["stalls even at the fast end of an assumed speed", home(-4, -6, 0.9, -1), "fail"],
    ["wind missing at this moment", home(Number.NaN, Number.NaN), "unknown"],
  ] as const)("%s", (_, values, said) => {
    expect(ask(headwindStall, values)).toBe(said);
  });

  it("is unknown where the wind is only assumed", () => {
    const { wind: _, ...given } = ALL_KNOWN;
    expect(ask(headwindStall, home(-3, -3), given)).toBe("unknown");
  });

  it("asks at hand whether the aircraft can hold station", () => {
    const rows = Array.from({ length: 20 }, (_, i) => ({
      time_s: i,
      ...at(2, 90),
      height_m: i === 0 ? 0 : 10,
      battery_pct: 80,
      airborne: 1,
    }));
    const wind = { speed_ms: 9.5, from_deg: 0, gust_ms: 9.5, height_m: 10, shear: 0 };
    const replay = replayRows(rows, { ...ALL_KNOWN, speeds: { recovery: 10 }, wind });
    expect(replay.moments.atHand[10]).toBe(1);
    expect(replay.moments.groundSpeed_ms[10]).toBeCloseTo(0.5, 12);
    const found = auditFlight(replay).result.findings.find(({ rule }) => rule === "headwind-stall");
    expect(found).toMatchObject({ verdict: "fail" });
    expect(found?.message).toBe("Holding station into the wind leaves 0.5 m/s in hand (least 1.0 m/s).");
  });

  it("more wind against never makes a verdict better", () => {
    const said = (speed_ms: number): number => {
      const wind = { speed_ms, from_deg: 270, gust_ms: undefined, height_m: 10, shear: 0.143 };
      const rows = Array.from({ length: 12 }, (_, i) => ({
        time_s: i,
        ...at(300, 90),
        height_m: i === 0 ? 0 : 40,
        battery_pct: 80,
        airborne: 1,
      }));
      const replay = replayRows(rows, { ...ALL_KNOWN, speeds: { recovery: 10 }, wind });
      const code =
        auditFlight(replay).judgement.moments.find(({ rule }) => rule.id === "headwind-stall")?.codes[6] ?? 0;
      return 6 - code;
    };
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 14, noNaN: true }),
        fc.double({ min: 0, max: 5, noNaN: true }),
        (speed_ms, more_ms) => {
          expect(said(speed_ms + more_ms)).toBeLessThanOrEqual(said(speed_ms));
        },
      ),
      { numRuns: 60 },
    );
  });

  it("finds the slowest worst: the best guess where it fails, the gusts where it is thin", () => {
    const both = home(2, -3, 0.5);
    expect([badnessOf(headwindStall, both, "fail"), badnessOf(headwindStall, both, "thin")]).toEqual([-0.5, 3]);
  });

  it("spells out each case", () => {
    const out = { distance_m: 240, top_m: 60, atHand: 0 };
    expect(tell(headwindStall, { ...home(0.4, -3), ...out }, "fail")).toEqual({
      value: 0.4,
      limit: 1,
      message: "240 m out: the way home at 60 m over the point makes 0.4 m/s (least 1.0 m/s).",
      advice: "Stay upwind in such a wind, set a lower recovery height where the ground allows it, or do not fly.",
      evidence: {
        ground_speed_ms: 0.4,
        ground_speed_adverse_ms: -3,
        recovery_speed_ms: shortReplay().inputs.speeds.recovery.value,
        leg_height_m: 60,
      },
    });
    const said = (values: Record<string, number>, verdict: "thin" | "fail"): readonly [number, string, string] => {
      const { value, message, advice } = tell(headwindStall, { ...out, ...values }, verdict);
      return [value, message, advice];
    };
    expect(said(home(3, 0.5), "thin").slice(0, 2)).toEqual([
      0.5,
      "240 m out: the way home at 60 m over the point makes 0.5 m/s in the gusts (least 1.0 m/s).",
    ]);
    expect(said(home(3, 0), "thin")[1]).toBe(
      "240 m out: no headway home in the gusts at 60 m over the point (least 1 m/s).",
    );
    expect(said({ ...home(3, 0.5), atHand: 1 }, "thin").slice(1)).toEqual([
      "Holding station into the wind leaves 0.5 m/s in hand in the gusts (least 1.0 m/s).",
      "Fly lower in such a wind: it grows with height.",
    ]);
  });

  it("lacks the wind first, and rests on wind, speed and point", () => {
    expect(headwindStall.lacks(shortReplay())).toEqual(["wind", "recovery-point", "height"]);
    const fast = shortReplay(20, { ...ALL_KNOWN, speeds: { recovery: 10 } });
    expect(headwindStall.bases(fast)).toEqual(["declared", "declared", "declared"]);
    expect(headwindStall.bases(shortReplay())).toEqual(["declared", "assumed", "declared"]);
  });

  it("says by how much and what to do", () => {
    const replay = shortReplay();
    for (let k = 0; k < replay.length; k += 1)
      withMoment(replay, k, { ...home(-1.5, -3), atHand: 0, distance_m: 240, top_m: 60 });
    const found = auditFlight(replay).result.findings.find(({ rule }) => rule === "headwind-stall");
    expect(found?.message).toBe("240 m out: no headway home at 60 m over the point (least 1 m/s).");
    expect(found?.worst).toMatchObject({ value: -1.5, limit: 1, unit: "m/s" });
  });
});
