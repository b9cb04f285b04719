import { describe, expect, it } from "vitest";
import type { Conduct, ConductRule, Lack, MomentRule } from "../../src/rules/rule.js";
import type { Verdict } from "../../src/rules/verdict.js";
import { auditFlight } from "../../src/score/flight-result.js";
import type { FlightResult } from "../../src/score/result.js";
import type { Given } from "../helpers/declared.js";
import { ALL_KNOWN, shortReplay } from "../helpers/moments.js";
import { failed, found, judged, said } from "../helpers/rules.js";

/** The result of twenty seconds, a row each, under rules of a test. */
function under(moment: readonly MomentRule[], conduct: readonly ConductRule[] = [], given: Given = {}): FlightResult {
  return auditFlight(shortReplay(20, { ...ALL_KNOWN, ...given }), { moment, conduct }).result;
}

describe("the verdicts of a flight over time", () => {
  it("are times by the worst of each moment, and the share of those judged that do not fail", () => {
    const verdicts = (s: number): Verdict | "thin?" =>
      s < 4 ? "fail" : s < 7 ? "thin" : s < 9 ? "thin?" : s < 15 ? "clear" : s < 17 ? "n/a" : "unknown";
    const other = said("other", (s) => (s === 8 ? "thin" : s === 14 ? "fail" : s === 19 ? "clear" : "n/a"));
    // Judged: 15 s and the last; five of them fail.
    expect(under([said("reserve-short", verdicts), other])).toMatchObject({
      fail_s: 5,
      thin_s: 5,
      recoverable_share: 0.6875,
    });
  });

  it("have no share where nothing was judged", () => {
    expect(under([said("reserve-short", () => "unknown")])).toMatchObject({
      fail_s: 0,
      thin_s: 0,
      recoverable_share: null,
    });
  });

  it("are drawn in a hundred parts, clear only where no main question is open", () => {
    const main = said("reserve-short", (s) =>
      s < 4 ? "fail" : s < 8 ? "thin" : s < 10 ? "thin?" : s < 16 ? "clear" : s < 18 ? "unknown" : "n/a",
    );
    const { strip } = under([main, said("other", (s) => (s < 18 ? "clear" : "n/a"))]);
    const parts = (verdict: string, seconds: number): string[] => Array<string>(5 * seconds).fill(verdict);
    expect(strip).toEqual([...parts("fail", 4), ...parts("thin", 6), ...parts("clear", 6), ...parts("unknown", 4)]);
  });
});

describe("the score of a flight", () => {
  const known =
    (s: number) =>
    (verdict: number): Verdict =>
      verdict < s ? "clear" : "unknown";

  it("is given from the coverage floor on, and below it there are hints", () => {
    const covered = under([said("reserve-short", known(10), ["lost-link-action"])]);
    expect(covered).toMatchObject({
      score: 100,
      share_part: 100,
      conduct_part: 0,
      points_lost: {},
      coverage: { share: 0.5, rules: { "reserve-short": 0.5 } },
      coverage_hints: [],
    });
    const open = under([said("reserve-short", known(9), ["lost-link-action"])]);
    expect(open).toMatchObject({ score: null, share_part: null, conduct_part: null, points_lost: {} });
    expect(open.coverage.share).toBe(0.45);
    expect(open.coverage_hints).toHaveLength(1);
    expect(under([said("reserve-short", known(9))], [], { policy: { coverage_floor: 0.45 } }).score).toBe(100);
  });

  it("says of each rule how much it was asked, null where it never arose", () => {
    const conducts = [judged("open", { verdict: "unknown" }), judged("never", { verdict: "n/a" })];
    expect(under([said("a", known(3)), said("b", () => "n/a")], conducts).coverage.rules).toEqual({
      a: 0.15,
      b: null,
      open: 0,
      never: null,
    });
  });

  it("loses the policy's points for conduct, half of thin by an assumption alone", () => {
    const conducts = [
      judged("late", failed),
      judged("near", { verdict: "thin", finding: found }),
      judged("perhaps", { verdict: "thin", byAssumptionAlone: true, finding: found }),
    ];
    const policy = { "conduct_points.thin": 3, "conduct_points.fail": 7 };
    expect(under([said("reserve-short", () => "clear")], conducts, { policy })).toMatchObject({
      score: 88,
      share_part: 100,
      conduct_part: 11.5,
      points_lost: { late: 7, near: 3, perhaps: 1.5, rounding: 0.5 },
    });
  });

  it("is capped by a fail that is long enough, and by an unsafe recovery point that fails", () => {
    const clear = said("reserve-short", () => "clear");
    const failing = (seconds: number, shortest_stretch = 2): number | null =>
      under([clear, said("other", (s) => (s < seconds ? "fail" : "clear"))], [], { policy: { shortest_stretch } })
        .score;
    expect([failing(1), failing(2), failing(2, 3)]).toEqual([95, 59, 90]);
    const thin = said("other", (s) => (s < 2 ? "thin" : "clear"));
    expect(under([clear, thin]).score).toBe(95);
    const unsafe = (id: string, conduct: Conduct): number | null =>
      under([clear], [judged("fine", { verdict: "clear" }), judged(id, conduct)]).score;
    expect(unsafe("point-unsafe", failed)).toBe(59);
    expect(unsafe("point-unsafe", { verdict: "thin", finding: found })).toBe(98);
    expect(unsafe("other", failed)).toBe(94);
  });

  it("is that of the rule that took the points, which carries the others of its cause", () => {
    const reserve = said("reserve-short", (s) => (s < 10 ? "thin" : "clear"));
    const findings = under([reserve], [judged("turnback-late", failed)]).findings;
    expect(findings.map(({ rule, related }) => [rule, related])).toEqual([
      ["reserve-short", ["turnback-late"]],
      ["turnback-late", []],
    ]);
    const late = said("reserve-short", (s) => (s === 0 ? "thin" : "clear"));
    expect(under([late], [judged("turnback-late", failed)]).findings.map(({ related }) => related)).toEqual([
      [],
      ["reserve-short"],
    ]);
  });
});

describe("what was not assessed", () => {
  const open = (id: string, lacks: readonly Lack[] = []): MomentRule =>
    said(id, (s) => (s < 15 ? "clear" : "unknown"), lacks);

  it("is each rule that was not asked throughout, with what it wants", () => {
    const moments = [
      open("wants", ["lost-link-action"]),
      open("blank"),
      said("whole", () => "clear"),
      said("never", () => "n/a"),
    ];
    const conducts = [
      judged("late", { verdict: "unknown", lacks: ["lost-link-action"] }),
      judged("early", { verdict: "unknown" }),
      judged("good", { verdict: "clear" }),
    ];
    const blank = ["readings that the log lacks at these moments"];
    expect(under(moments, conducts).not_assessed).toEqual([
      { rule: "wants", missing: ["lost-link action"], share: 0.25 },
      { rule: "blank", missing: blank, share: 0.25 },
      { rule: "late", missing: ["lost-link action"], share: 1 },
      { rule: "early", missing: blank, share: 1 },
    ]);
  });

  it("is what was switched off, with the reason", () => {
    expect(under([open("off", ["wind"])], [], { rulesOff: { off: "it rains" } }).not_assessed).toEqual([
      { rule: "off", missing: ["switched off: it rains"], share: 1 },
    ]);
  });
});
