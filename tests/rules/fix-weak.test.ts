import { describe, expect, it } from "vitest";
import { fixWeak } from "../../src/rules/fix-weak.js";
import { auditFlight } from "../../src/score/flight-result.js";
import type { Finding } from "../../src/score/result.js";
import type { Given } from "../helpers/declared.js";
import { ALL_KNOWN, ask, badnessOf, shortReplay, tell, withMoment } from "../helpers/moments.js";

const fix = (satellites: number, hdop: number, fixType: number, jump = 0, missing = 0): Record<string, number> => ({
  satellites,
  hdop,
  fixType,
  jump_ms: jump,
  fixMissing: missing,
});
const NOT_THERE = Number.NaN;

describe("fix-weak", () => {
  it.each([
    ["good", fix(15, 0.8, 3), "clear"],
    ["satellites just at the limit", fix(8, 1, 3), "clear"],
    ["one satellite under the limit", fix(7, 1, 3), "thin"],
    ["HDOP just at the limit", fix(15, 4, 3), "clear"],
    ["HDOP a hair over the limit", fix(15, 4.01, 3), "thin"],
    ["two-dimensional", fix(15, 1, 2), "thin"],
    ["no fix", fix(15, 1, 0), "fail"],
    ["four satellites", fix(4, 1, 3), "thin"],
    ["three satellites", fix(3, 1, 3), "fail"],
    ["no satellites", fix(0, 1, 3), "fail"],
    ["a jump just at 50 m/s", fix(15, 1, 3, 50), "clear"],
    ["a jump over 50 m/s", fix(15, 1, 3, 50.1), "fail"],
    ["only satellites are logged, and good", fix(15, NOT_THERE, NOT_THERE), "clear"],
    ["a channel is missing here, the others good", fix(15, 1, NOT_THERE, 0, 1), "unknown"],
    ["a channel is missing here, another thin", fix(7, 1, NOT_THERE, 0, 1), "unknown"],
    ["a channel is missing here, another fails", fix(3, 1, NOT_THERE, 0, 1), "fail"],
    ["nothing is logged", fix(NOT_THERE, NOT_THERE, NOT_THERE, 0, 1), "unknown"],
    ["nothing is logged, but the position jumps", fix(NOT_THERE, NOT_THERE, NOT_THERE, 80, 1), "fail"],
  ] as const)("%s", (_, values, said) => {
    expect(ask(fixWeak, values)).toBe(said);
  });

  it.each([
    [fix(3, 1, 3), "3 satellites: too few to trust a position (limit 4)."],
    [fix(15, 1, 0), "There was no position fix."],
    [fix(15, 1, 3, 80), "The position jumped as if at 80 m/s: the fix could not be trusted."],
    [fix(6, 1, 3), "6 satellites (limit 8)."],
    [fix(15, 5.5, 3), "HDOP 5.5 (limit 4)."],
    [fix(15, 1, 2), "The fix was two-dimensional only."],
  ] as const)("names the gravest weakness (%#)", (values, message) => {
    const replay = shortReplay();
    for (let k = 5; k < 12; k += 1) withMoment(replay, k, values);
    const found = auditFlight(replay).result.findings.find(({ rule }) => rule === "fix-weak");
    expect(found?.message).toBe(message);
    expect(found).toMatchObject({ start_s: 5, end_s: 11, duration_s: 7 });
  });

  it.each([
    [{ "fix.least_satellites": 6 }, fix(6, 1, 3), "thin"],
    [{ "fix.least_satellites": 6 }, fix(5, 1, 3), "fail"],
    [{ "fix.least_satellites": 0 }, fix(0, 1, 3), "thin"],
    [{ "fix.jump": 80 }, fix(15, 1, 3, 80), "clear"],
    [{ "fix.jump": 80 }, fix(15, 1, 3, 80.1), "fail"],
    [{ "fix.jump": 20 }, fix(15, 1, 3, 20.1), "fail"],
    [{ "fix.satellites": 10 }, fix(10, 1, 3), "clear"],
    [{ "fix.satellites": 10 }, fix(9, 1, 3), "thin"],
    [{ "fix.hdop": 2 }, fix(15, 2, 3), "clear"],
    [{ "fix.hdop": 2 }, fix(15, 2.1, 3), "thin"],
  ] as const)("takes its limits from the policy: %j (%#)", (policy, values, said) => {
    expect(ask(fixWeak, values, { ...ALL_KNOWN, policy })).toBe(said);
  });

  it("prints the limits of the policy, and compares by them", () => {
    const worstOf = (policy: Given["policy"], ...values: readonly Record<string, number>[]): Finding["worst"] => {
      const replay = shortReplay(20, { ...ALL_KNOWN, policy: policy ?? {} });
      for (let k = 4; k < 16; k += 1) withMoment(replay, k, values[k < 10 ? 0 : 1] ?? {});
      const found = auditFlight(replay).result.findings.find(({ rule }) => rule === "fix-weak");
      if (found === undefined) throw new Error("no finding");
      return found.worst;
    };
    expect(worstOf({ "fix.least_satellites": 6 }, fix(5, 1, 3), fix(4, 1, 3))).toMatchObject({ value: 4, limit: 6 });
    expect(worstOf({ "fix.jump": 20 }, fix(15, 1, 3, 30), fix(15, 1, 3, 40))).toMatchObject({ value: 40, limit: 20 });
    // 6 of 12 satellites are half; an HDOP of 4.2 is not even twice the limit of 4, but over four times that of 1.
    const both = [fix(6, 0.5, 3), fix(20, 4.2, 3)] as const;
    expect(worstOf({ "fix.satellites": 12 }, ...both)).toMatchObject({ value: 6, limit: 12 });
    expect(worstOf({ "fix.satellites": 12, "fix.hdop": 1 }, ...both)).toMatchObject({ value: 4.2, limit: 1 });
  });

  it("spells each case out in words and numbers", () => {
    const advice =
      "Wait for 8 satellites and an HDOP of 4 or less before going far, and keep clear of what masks the sky.";
    expect(tell(fixWeak, fix(6, 1.2, 3), "thin")).toEqual({
      value: 6,
      limit: 8,
      message: "6 satellites (limit 8).",
      advice,
      evidence: { satellites: 6, hdop: 1.2, fix_type: 3, jump_ms: 0 },
    });
    expect(tell(fixWeak, fix(NOT_THERE, 5, NOT_THERE), "thin")).toEqual({
      value: 5,
      limit: 4,
      message: "HDOP 5 (limit 4).",
      advice,
      evidence: { satellites: null, hdop: 5, fix_type: null, jump_ms: 0 },
    });
    expect(tell(fixWeak, fix(15, NOT_THERE, 2), "thin")).toMatchObject({
      value: 2,
      limit: 3,
      evidence: { hdop: null },
    });
    expect(tell(fixWeak, fix(15, 1, 0), "fail")).toMatchObject({
      value: 0,
      limit: 3,
      advice:
        "Land by hand when the fix goes: without it a recovery has nowhere to fly to. Look for masking or interference here.",
    });
    // A jump just at its limit is none, and a two-dimensional fix is one: the satellites decided.
    expect(tell(fixWeak, fix(3, 1, 2, 50), "fail")).toMatchObject({ value: 3, limit: 4 });
  });

  it("names the one of satellites and HDOP that is further past its limit", () => {
    const named = (satellites: number, hdop: number): number => tell(fixWeak, fix(satellites, hdop, 3), "thin").value;
    expect(named(4, 7.9)).toBe(4);
    expect(named(4, 8)).toBe(4);
    expect(named(4, 8.1)).toBe(8.1);
    // Both are past by the same share of their limits: four of eight, and twice four.
    expect(named(8, 4.1)).toBe(4.1);
    expect(named(9, 4.1)).toBe(4.1);
  });

  it("ranks a jump over no fix over few satellites, and a flat fix over them", () => {
    const bad = (verdict: "thin" | "fail", ...values: Parameters<typeof fix>): number =>
      badnessOf(fixWeak, fix(...values), verdict);
    expect(bad("fail", 15, 1, 3, 51)).toBeGreaterThan(bad("fail", 15, 1, 0, 50));
    expect(bad("fail", 15, 1, 0)).toBeGreaterThan(bad("fail", 0, 1, 3));
    expect(bad("fail", 0, 1, 3)).toBeGreaterThan(bad("fail", 3, 1, 3));
    // A two-dimensional fix is a fix: the satellites count.
    expect(bad("fail", 3, 1, 2)).toBe(bad("fail", 3, 1, 3));
    expect(bad("thin", 15, 1, 2)).toBeGreaterThan(bad("thin", 4, 99, 3));
    expect(bad("thin", 15, 1, NOT_THERE)).toBeLessThan(bad("thin", 7, 1, 3));
  });

  it("lacks a fix, and then a position", () => {
    expect(fixWeak.lacks(shortReplay())).toEqual(["fix", "position"]);
    expect(fixWeak.bases(shortReplay())).toEqual(["measured"]);
  });

  it("points at the true worst: the higher HDOP, the wilder jump", () => {
    const hdop = shortReplay();
    for (let k = 4; k < 16; k += 1) withMoment(hdop, k, fix(k < 10 ? 10 : 14, k < 10 ? 4.2 : 9.6, 3));
    expect(auditFlight(hdop).result.findings.find(({ rule }) => rule === "fix-weak")?.worst.value).toBe(9.6);
    const jumps = shortReplay();
    for (let k = 4; k < 16; k += 1) withMoment(jumps, k, fix(15, 1, 3, k < 10 ? 60 : 2000));
    const worst = auditFlight(jumps).result.findings.find(({ rule }) => rule === "fix-weak")?.worst;
    expect(worst).toMatchObject({ value: 2000, limit: 50, unit: "m/s" });
  });
});
