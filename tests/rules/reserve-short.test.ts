import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { reserveShort } from "../../src/rules/reserve-short.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { VERDICT } from "../../src/rules/verdict.js";
import { judgeMoments } from "../../src/score/judge.js";
import { outAndBack } from "../helpers/flights.js";
import { ALL_KNOWN, ask, badnessOf, shortReplay, tell, withMoment } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";

const left = (low: number, middle: number, upper: number, known = upper): Record<string, number> => ({
  touchdownLow_pct: low,
  touchdownMiddle_pct: middle,
  touchdownUpper_pct: upper,
  touchdownUpperKnown_pct: known,
});

describe("reserve-short", () => {
  it.each([
    ["plenty", left(60, 60, 50), "clear"],
    ["the upper need just at the reserve", left(30, 30, 25), "clear"],
    ["the upper need a hair under the reserve", left(30, 30, 24.999999), "thin"],
    ["the middle just at the floor", left(10, 10, 0), "thin"],
    ["the middle a hair under the floor", left(9.999999, 9.999999, 0), "fail"],
    ["nothing left", left(0, 0, -5), "fail"],
    ["no headway", left(-Infinity, -Infinity, -Infinity), "fail"],
    ["no headway in the gusts only", left(60, 60, -Infinity), "thin"],
    ["under the reserve by an assumption alone", left(40, 40, 20, 30), "thin?"],
    ["under the reserve without the assumption too", left(40, 40, 20, 24), "thin"],
    ["assumed rates: the low end decides fail", left(12, 5, -20, 5), "thin"],
    ["no battery reading", left(Number.NaN, Number.NaN, Number.NaN), "unknown"],
    ["no upper need", left(60, 60, Number.NaN), "unknown"],
  ] as const)("%s", (_, values, said) => {
    expect(ask(reserveShort, values)).toBe(said);
  });

  it("follows the limits of the policy", () => {
    const policy = { touchdown_floor: 15, touchdown_reserve: 40 };
    expect(ask(reserveShort, left(14, 14, 14), { ...ALL_KNOWN, policy })).toBe("fail");
    expect(ask(reserveShort, left(50, 50, 39), { ...ALL_KNOWN, policy })).toBe("thin");
  });

  it("more battery never makes a verdict worse", () => {
    const rank = { "n/a": 0, unknown: 0, clear: 3, "thin?": 2, thin: 2, fail: 1 };
    fc.assert(
      fc.property(
        fc.double({ min: -50, max: 100, noNaN: true }),
        fc.double({ min: 0, max: 40, noNaN: true }),
        fc.double({ min: 0, max: 30, noNaN: true }),
        (middle, apart, more) => {
          const before = ask(reserveShort, left(middle, middle, middle - apart));
          const after = ask(reserveShort, left(middle + more, middle + more, middle + more - apart));
          expect(rank[after]).toBeGreaterThanOrEqual(rank[before]);
        },
      ),
      { numRuns: 100 },
    );
  });

  it("describes its worst moment, with numbers that differ where they do", () => {
    const rows = outAndBack({
      course_deg: 0,
      out_ms: 10,
      outFor_s: 60,
      back_ms: 10,
      height_m: 50,
      battery_pct: 30,
      rate_pctPerMin: 5,
      step_s: 1,
    });
    const { findings } = auditFlight(
      replayRows(rows, { ...ALL_KNOWN, speeds: { recovery: 10, climb: 3, descent: 3, landing: 0.8 } }),
    ).result;
    const found = findings.filter(({ rule }) => rule === "reserve-short");
    expect(found[0]?.verdict).toBe("thin");
    expect(found[0]?.message).toMatch(
      /^\d+ m out with \d+ %: a recovery from here needs up to [\d.]+ % and lands with [\d.]+ % \(reserve 25 %\)\.$/,
    );
    expect(found[0]?.advice).toMatch(/^From here turn back with \d+ % or more\.$/);
    expect(found[0]?.decided_by).toBe("declared");
    const replay = replayRows(rows, { ...ALL_KNOWN, settings: { recoveryHeight_m: 50, lostLinkAction: "hold" } });
    const held = auditFlight(replay).result.findings.find(({ rule }) => rule === "reserve-short");
    expect(held?.message).toMatch(/\(Low battery or the pilot's command: a lost link would hold\.\)$/);
  });

  it("finds the least left worst: at the low end where it fails, by the upper need where it is thin", () => {
    const both = left(5, 8, -2);
    expect([badnessOf(reserveShort, both, "fail"), badnessOf(reserveShort, both, "thin")]).toEqual([-5, 2]);
  });

  it("spells out each case in words and numbers", () => {
    const values = {
      ...left(8, 12, -2),
      battery_pct: 30,
      needMiddle_pct: 18,
      needUpper_pct: 32,
      distance_m: 900,
      groundSpeed_ms: 7,
    };
    expect(tell(reserveShort, values, "fail")).toEqual({
      value: 8,
      limit: 10,
      message: "900 m out with 30 %: a recovery from here needs about 22 % and lands with 8 % (floor 10 %).",
      advice: "From here turn back with 47 % or more.",
      evidence: {
        battery_pct: 30,
        need_middle_pct: 18,
        need_upper_pct: 32,
        touchdown_middle_pct: 12,
        touchdown_upper_pct: -2,
        distance_m: 900,
        ground_speed_ms: 7,
      },
    });
    const said = (more: object, verdict: "thin" | "fail", given = ALL_KNOWN): string =>
      tell(reserveShort, { ...values, ...more }, verdict, given).message;
    expect(said({}, "thin")).toBe("900 m out with 30 %: a recovery from here needs up to 32 %, more than there is.");
    expect(said({ touchdownUpper_pct: 0, needUpper_pct: 30 }, "thin")).toBe(
      "900 m out with 30 %: a recovery from here needs up to 30 % and lands with 0 % (reserve 25 %).",
    );
    // Two numbers that differ never print alike.
    expect(said({ battery_pct: 30, needUpper_pct: 30.004, touchdownUpper_pct: -0.004 }, "thin")).toBe(
      "900 m out with 30.000 %: a recovery from here needs up to 30.004 %, more than there is.",
    );
    const { drain: _, ...undeclared } = ALL_KNOWN;
    expect(said({}, "fail", undeclared)).toMatch(/ needs at the very least 22 % and /);
    expect(said({}, "thin", undeclared)).toMatch(/ needs up to 32 %/);
  });

  it("says where there is no headway", () => {
    const stalls = { battery_pct: 60, distance_m: 900, needUpper_pct: Infinity, touchdownUpper_pct: -Infinity };
    const thin = tell(reserveShort, stalls, "thin");
    expect(thin.message).toBe("900 m out with 60 %: no headway home in the gusts.");
    expect(thin.evidence["reason"]).toBe("no_headway");
    const fail = tell(reserveShort, { ...stalls, touchdownLow_pct: -Infinity }, "fail");
    expect(fail.message).toBe("900 m out with 60 %: no headway home at the recovery speed.");
  });

  it("lacks the battery first", () => {
    expect(reserveShort.lacks(shortReplay())).toEqual(["battery", "recovery-point", "height", "wind"]);
    // Rates, and what was declared; nothing that was only assumed and so did not decide.
    expect(reserveShort.bases(shortReplay())).toEqual(["measured", "declared", "declared", "declared", "declared"]);
  });

  it("says so where no battery would be enough, and where there is no headway", () => {
    const advice = (need: number): string | undefined => {
      const values = {
        ...left(80 - need, 80 - need, 80 - need),
        battery_pct: 80,
        needUpper_pct: need,
        distance_m: 3000,
      };
      const replay = shortReplay();
      for (let k = 0; k < replay.length; k += 1) withMoment(replay, k, values);
      return auditFlight(replay).result.findings.find(({ rule }) => rule === "reserve-short")?.advice;
    };
    expect(advice(74)).toBe("From here turn back with 99 % or more.");
    expect(advice(75)).toBe("From here turn back with 100 % or more.");
    expect(advice(76)).toMatch(/^No battery is enough/);
    expect(advice(Number.POSITIVE_INFINITY)).toMatch(/^Stay upwind/);
  });

  it("is unknown all through where it is switched off", () => {
    const replay = replayRows(
      outAndBack({
        course_deg: 0,
        out_ms: 5,
        outFor_s: 20,
        back_ms: 5,
        height_m: 20,
        battery_pct: 90,
        rate_pctPerMin: 5,
        step_s: 1,
      }),
      { ...ALL_KNOWN, rulesOff: { "reserve-short": "tethered" } },
    );
    const { result, judgement } = auditFlight(replay);
    expect(judgement.moments[0]?.codes.every((code) => code === VERDICT.unknown)).toBe(true);
    expect(result.not_assessed.find(({ rule }) => rule === "reserve-short")?.missing).toEqual([
      "switched off: tethered",
    ]);
    expect(judgeMoments(reserveShort, replay)[5]).toBe(VERDICT.clear);
  });
});
