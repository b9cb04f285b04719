import { describe, expect, it } from "vitest";
import { isAssessed, VERDICT, verdictOf } from "../../src/rules/verdict.js";

describe("verdicts as numbers", () => {
  it.each([
    [VERDICT.notAsked, "n/a", false],
    [VERDICT.unknown, "unknown", false],
    [VERDICT.clear, "clear", true],
    [VERDICT.thinAssumed, "thin", true],
    [VERDICT.thin, "thin", true],
    [VERDICT.fail, "fail", true],
  ] as const)("%i is %s, and assessed: %s", (code, verdict, assessed) => {
    expect([verdictOf(code), isAssessed(code)]).toEqual([verdict, assessed]);
  });

  it("are the greater the worse", () => {
    const { notAsked, unknown, clear, thinAssumed, thin, fail } = VERDICT;
    const codes = [notAsked, unknown, clear, thinAssumed, thin, fail];
    expect(codes.toSorted((a, b) => a - b)).toEqual(codes);
    expect(new Set(codes).size).toBe(6);
  });
});
