import { describe, expect, it } from "vitest";
import { completePolicy } from "../../src/config/policy.js";
import { conductRule, limitsOf, momentRule } from "../../src/rules/rule.js";
import { shortReplay } from "../helpers/moments.js";

const HEAD = { id: "odd-one", question: "Is it odd?", unit: "m" };

describe("momentRule", () => {
  const given = {
    ...HEAD,
    needs: ["distance_m"],
    limits: { near_m: "at_hand" },
    judge: () => "clear" as const,
    badness: () => 0,
    describe: () => ({ value: 0, limit: 0, message: "", advice: "", evidence: {} }),
    bases: () => [],
    lacks: () => [],
  } as const;

  it("reads nothing more, assumes nothing and asks always, unless told otherwise", () => {
    const rule = momentRule(given);
    expect(rule).toMatchObject({ kind: "moment", id: "odd-one", accepts: [], withoutAssumptions: {} });
    expect(rule.always(shortReplay())).toBeUndefined();
    expect(momentRule({ ...given, accepts: ["height_m"], always: () => "n/a" }).accepts).toEqual(["height_m"]);
    expect(momentRule({ ...given, always: () => "n/a" }).always(shortReplay())).toBe("n/a");
  });

  it("reads its limits from the policy by its own names", () => {
    expect(limitsOf(momentRule(given), completePolicy({ at_hand: 21 }))).toEqual({ near_m: 21 });
  });
});

describe("conductRule", () => {
  it("is what was given, marked as such", () => {
    const judge = () => ({ verdict: "n/a" }) as const;
    const rule = conductRule({ ...HEAD, limits: {}, judge, bases: () => ["measured"] });
    expect(rule).toMatchObject({ kind: "conduct", ...HEAD, limits: {}, judge });
  });
});
