import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { reserveShort } from "../../src/rules/reserve-short.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { VERDICT } from "../../src/rules/verdict.js";
import { judgeMoments } from "../../src/score/judge.js";
import { outAndBack } from "../helpers/flights.js";
import { ALL_KNOWN, ask, shortReplay, withMoment } from "../helpers/moments.js";
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
