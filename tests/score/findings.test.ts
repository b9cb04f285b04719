import { describe, expect, it } from "vitest";
import type { Replay } from "../../src/recovery/replay.js";
import { type Conduct, conductRule, momentRule } from "../../src/rules/rule.js";
import { VERDICT } from "../../src/rules/verdict.js";
import { findingsOf, longStretches, TellingFailed } from "../../src/score/findings.js";
import type { ConductVerdict, Judgement, MomentVerdicts } from "../../src/score/judge.js";
import { shortReplay } from "../helpers/moments.js";

const { clear, thinAssumed, thin, fail } = VERDICT;
const LENGTH = 20;

/** Twenty moments, two seconds each at 100, 102, …; findings from 4 s. */
function replayOf(first: number = 0): Replay {
  const replay = shortReplay(LENGTH);
  const { moments, setting, flight } = replay;
  for (let k = 0; k < LENGTH; k += 1) {
    moments.at_s[k] = 100 + 2 * k + 1e-8;
    moments.weight_s[k] = 2;
    moments.latitude_deg[k] = 47 + k * 1e-3 + 1e-12;
    moments.longitude_deg[k] = 8 + k * 1e-3;
    moments.height_m[k] = 10 + k;
    moments.battery_pct[k] = 50 - k;
  }
  const policy = { ...setting.policy, shortest_stretch: 4 };
  return { ...replay, setting: { ...setting, policy }, flight: { ...flight, first } };
}

/** The rule finds the emptiest battery worst when thin, the fullest when it fails. */
const rule = (id: string) =>
  momentRule({
    id,
    question: "Is it enough?",
    unit: "%",
    needs: ["battery_pct"],
    limits: { least: "shortest_stretch" },
    judge: () => "clear",
    badness: ({ battery_pct }, verdict) => (verdict === "fail" ? battery_pct : -battery_pct),
    describe: ({ battery_pct }, { least }, { k, verdict }) => ({
      value: battery_pct + 1e-8,
      limit: least,
      message: `${verdict} at ${k}.`,
      advice: "Land.",
      evidence: { some_pct: 1.00000001, some_deg: 1.12345678912, said: "so", nothing: null, endless: 1 / 0 },
    }),
    bases: () => ["measured", "declared"],
    lacks: () => [],
  });
const verdicts = (id: string, codes: Readonly<Record<number, number>>): MomentVerdicts => ({
  rule: rule(id),
  codes: Uint8Array.from({ length: LENGTH }, (_, k) => codes[k] ?? clear),
});
const conducted = (id: string, conduct: Conduct): ConductVerdict => ({
  rule: conductRule({ id, question: "Was it?", unit: "s", limits: {}, judge: () => conduct, bases: () => ["fitted"] }),
  conduct,
});
const found = (first: number, last: number, at: number) =>
  ({ first, last, at, value: 3, limit: 2, message: "Late.", advice: "Turn.", evidence: {} }) as const;

const findings = (
  moments: readonly MomentVerdicts[],
  conducts: readonly ConductVerdict[] = [],
  lost: Readonly<Record<string, number>> = {},
  first: number = 0,
) => {
  const judgement: Judgement = { replay: replayOf(first), moments, conducts, crashes: new Map() };
  return findingsOf(judgement, new Map(Object.entries(lost)));
};

describe("a finding of a stretch", () => {
  it("has its times, its worst moment and the rule's words", () => {
    expect(findings([verdicts("low", { 3: thin, 4: thin, 5: thin })])).toEqual([
      {
        rule: "low",
        verdict: "thin",
        episode: 1,
        start_s: 106,
        end_s: 110,
        duration_s: 6,
        decided_by: "declared",
        by_assumption_alone: false,
        related: [],
        worst: {
          at_s: 110,
          latitude_deg: 47.005,
          longitude_deg: 8.005,
          height_m: 15,
          value: 45,
          limit: 4,
          unit: "%",
        },
        message: "thin at 5.",
        advice: "Land.",
        evidence: { some_pct: 1, some_deg: 1.123456789, said: "so", nothing: null, endless: null },
      },
    ]);
  });

  it("asks for the badness by the verdict, and takes the first of equals", () => {
    expect(findings([verdicts("low", { 3: fail, 4: fail, 5: fail })])[0]).toMatchObject({
      verdict: "fail",
      worst: { at_s: 106, value: 47 },
    });
    const even = { ...rule("even"), badness: () => 1 };
    const codes = Uint8Array.from({ length: LENGTH }, (_, k) => (k > 6 && k < 12 ? thin : clear));
    expect(findings([{ rule: even, codes }])[0]?.worst.at_s).toBe(114);
  });

  it("looks for the worst in the stretch's own moments, not in those between", () => {
    const replay = replayOf();
    for (let k = 0; k < LENGTH; k += 1) replay.moments.at_s[k] = k;
    replay.moments.battery_pct[5] = 1;
    const moments = [verdicts("low", { 3: thin, 4: thin, 6: thin, 7: thin })];
    const [first, ...more] = findingsOf({ replay, moments, conducts: [], crashes: new Map() }, new Map());
    expect(first).toMatchObject({ start_s: 3, end_s: 7, duration_s: 8, worst: { at_s: 7, value: 43 } });
    expect(more).toEqual([]);
  });

  it("says where an assumption alone decides", () => {
    expect(findings([verdicts("low", { 3: thinAssumed, 4: thinAssumed })])[0]).toMatchObject({
      verdict: "thin",
      decided_by: "assumed",
      by_assumption_alone: true,
    });
  });

  it("takes the account's unit before the rule's", () => {
    const other = { ...rule("other"), describe: () => ({ ...found(0, 0, 0), unit: "min" }) };
    expect(findings([{ ...verdicts("other", { 3: fail, 4: fail }), rule: other }])[0]?.worst.unit).toBe("min");
  });

  it("is none where it is too short, to a millionth of a second", () => {
    const stretches = (shortest_stretch: number) => {
      const replay = replayOf();
      const policy = { ...replay.setting.policy, shortest_stretch };
      return longStretches(verdicts("low", { 3: thin, 4: thin, 9: fail }), {
        ...replay,
        setting: { ...replay.setting, policy },
      }).map(({ first, last }) => [first, last]);
    };
    expect(stretches(2)).toEqual([
      [3, 4],
      [9, 9],
    ]);
    expect(stretches(4)).toEqual([[3, 4]]);
    expect(stretches(4.0000005)).toEqual([[3, 4]]);
    expect(stretches(4.000002)).toEqual([]);
  });

  it("names the rule that cannot put it into words, with what it threw", () => {
    const boom = new Error("boom");
    const mute = {
      ...rule("mute"),
      describe: () => {
        throw boom;
      },
    };
    let thrown: unknown;
    try {
      findings([{ ...verdicts("mute", { 3: fail, 4: fail }), rule: mute }]);
    } catch (error) {
      thrown = error;
    }
    expect(thrown).toBeInstanceOf(TellingFailed);
    expect(thrown).toMatchObject({ ruleId: "mute", cause: boom });
  });
});

describe("episodes", () => {
  const episodes = (codes: Readonly<Record<number, number>>): number[] =>
    findings([verdicts("low", codes)]).map(({ episode }) => episode);

  it("go on through stretches that adjoin or lie less than 3 s apart", () => {
    expect(episodes({ 3: thin, 4: thin, 5: fail, 6: fail, 7: thin, 8: thin })).toEqual([1, 1, 1]);
    // From 108 to 112 s.
    expect(episodes({ 3: thin, 4: thin, 6: fail, 7: fail })).toEqual([1, 2]);
    expect(episodes({ 3: thin, 4: thin, 10: thin, 11: thin })).toEqual([1, 2]);
  });

  it("go on over a moment between, where the log is fast enough", () => {
    const apart = (step_s: number): number[] => {
      const replay = replayOf();
      for (let k = 0; k < LENGTH; k += 1) replay.moments.at_s[k] = step_s * k;
      const moments = [verdicts("low", { 3: thin, 4: thin, 6: fail, 7: fail })];
      return findingsOf({ replay, moments, conducts: [], crashes: new Map() }, new Map()).map(({ episode }) => episode);
    };
    expect(apart(1.49)).toEqual([1, 1]);
    expect(apart(1.5)).toEqual([1, 2]);
  });

  it("go on from a row to the next one however slow the log is", () => {
    const replay = replayOf();
    for (let k = 0; k < LENGTH; k += 1) replay.moments.at_s[k] = 60 * k;
    const moments = [verdicts("low", { 3: thin, 4: thin, 5: fail, 6: fail, 8: thin, 9: thin })];
    const all = findingsOf({ replay, moments, conducts: [], crashes: new Map() }, new Map());
    expect(all.map(({ episode }) => episode)).toEqual([1, 1, 2]);
  });

  it("begin anew with the next rule, moments before conduct", () => {
    const all = findings(
      [verdicts("a", { 3: thin, 4: thin }), verdicts("b", { 3: thin, 4: thin }), verdicts("c", {})],
      [
        conducted("d", { verdict: "fail", finding: found(1, 2, 1) }),
        conducted("e", { verdict: "clear" }),
        conducted("f", { verdict: "thin", finding: found(1, 2, 1) }),
      ],
    );
    expect(all.map((one) => [one.rule, one.episode])).toEqual([
      ["a", 1],
      ["b", 2],
      ["d", 3],
      ["f", 4],
    ]);
  });
});

describe("a finding of conduct", () => {
  it("counts its rows from the flight's first", () => {
    expect(findings([], [conducted("late", { verdict: "fail", finding: found(12, 15, 14) })], {}, 10)).toEqual([
      {
        rule: "late",
        verdict: "fail",
        episode: 1,
        start_s: 104,
        end_s: 110,
        duration_s: 8,
        decided_by: "fitted",
        by_assumption_alone: false,
        related: [],
        worst: {
          at_s: 108,
          latitude_deg: 47.004,
          longitude_deg: 8.004,
          height_m: 14,
          value: 3,
          limit: 2,
          unit: "s",
        },
        message: "Late.",
        advice: "Turn.",
        evidence: {},
      },
    ]);
  });

  it("says where an assumption alone decides", () => {
    const conduct: Conduct = { verdict: "thin", byAssumptionAlone: true, finding: found(1, 2, 1) };
    expect(findings([], [conducted("late", conduct)])[0]).toMatchObject({
      verdict: "thin",
      decided_by: "assumed",
      by_assumption_alone: true,
    });
  });

  it("is a fault of the rule under any verdict but thin and fail", () => {
    for (const verdict of ["clear", "unknown", "n/a"] as const) {
      expect(() => findings([], [conducted("late", { verdict, finding: found(1, 2, 1) })])).toThrow(
        "late gives a finding without a thin or fail verdict",
      );
    }
  });
});

describe("rules of one cause", () => {
  const reserve = verdicts("reserve-short", { 3: thin, 4: thin });
  const late = conducted("turnback-late", { verdict: "fail", finding: found(1, 2, 1) });
  const floor = conducted("reserve-floor", { verdict: "fail", finding: found(1, 2, 1) });
  const related = (lost: Readonly<Record<string, number>>, ...conducts: readonly ConductVerdict[]) =>
    findings([reserve, verdicts("low", { 3: thin, 4: thin })], conducts, lost).map((one) => [one.rule, one.related]);

  it("are linked from the one that took the points", () => {
    expect(related({ "turnback-late": 6, low: 3 }, late, floor)).toEqual([
      ["reserve-short", []],
      ["low", []],
      ["turnback-late", ["reserve-short", "reserve-floor"]],
      ["reserve-floor", []],
    ]);
    expect(related({ "reserve-floor": 6, "turnback-late": 0 }, floor)).toEqual([
      ["reserve-short", []],
      ["low", []],
      ["reserve-floor", ["reserve-short"]],
    ]);
  });

  it("are linked from the first where none took points, and not at all where one is alone", () => {
    expect(related({}, late)).toEqual([
      ["reserve-short", ["turnback-late"]],
      ["low", []],
      ["turnback-late", []],
    ]);
    expect(related({ "reserve-short": 1 })).toEqual([
      ["reserve-short", []],
      ["low", []],
    ]);
  });
});
