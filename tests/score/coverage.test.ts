import { describe, expect, it } from "vitest";
import { emptyMoments } from "../../src/recovery/moments.js";
import type { Replay } from "../../src/recovery/replay.js";
import type { ConductRule, MomentRule } from "../../src/rules/rule.js";
import { VERDICT, type Verdict } from "../../src/rules/verdict.js";
import { type Coverage, COVERAGE_RULES, coverageOf } from "../../src/score/coverage.js";
import type { Judgement } from "../../src/score/judge.js";
import { repeat } from "../track/make-track.js";

const { notAsked, unknown, clear, thinAssumed, thin, fail } = VERDICT;

/** Coverage of verdicts that need no flight: a judgement of which only what is counted exists. */
function coverage(
  moments: Readonly<Record<string, readonly number[]>>,
  conducts: Readonly<Record<string, Verdict>> = {},
  weight_s?: readonly number[],
  { hasZones = false, hasAction = false } = {},
): Coverage {
  const length = Object.values(moments)[0]?.length ?? 0;
  const columns = emptyMoments(length);
  columns.weight_s.set(weight_s ?? repeat(1, length));
  const judgement: Judgement = {
    replay: {
      moments: columns,
      length,
      setting: { site: { hasZones } },
      inputs: { lostLinkAction: hasAction ? { value: "hold" } : undefined },
    } as unknown as Replay,
    moments: Object.entries(moments).map(([id, codes]) => ({
      rule: { id } as MomentRule,
      codes: Uint8Array.from(codes),
    })),
    conducts: Object.entries(conducts).map(([id, verdict]) => ({ rule: { id } as ConductRule, conduct: { verdict } })),
    crashes: new Map(),
  };
  return coverageOf(judgement);
}

describe("coverageOf", () => {
  it("counts the rules of the design", () => {
    expect([...COVERAGE_RULES].toSorted()).toEqual([
      "ceiling-low",
      "fix-weak",
      "headwind-stall",
      "point-adrift",
      "reserve-short",
    ]);
  });

  it("counts the rules of zones and of the action only where those are declared", () => {
    const said = {
      "reserve-short": [clear],
      "keepout-crossed": [unknown],
      "overhead-cover": [unknown],
      "action-unsuited": [unknown],
    };
    const share = (declared: { hasZones?: boolean; hasAction?: boolean }): number =>
      coverage(said, {}, undefined, declared).share;
    expect(share({})).toBe(1);
    expect(share({ hasZones: true })).toBeCloseTo(1 / 3, 12);
    expect(share({ hasAction: true })).toBe(1 / 2);
    expect(share({ hasZones: true, hasAction: true })).toBe(1 / 4);
  });

  it("is assessed over assessed and unknown time; n/a counts nowhere", () => {
    const { share, rules } = coverage({ "ceiling-low": [notAsked, notAsked, unknown, clear, fail, thin, thinAssumed] });
    expect(share).toBeCloseTo(4 / 5, 12);
    expect(rules.get("ceiling-low")).toBeCloseTo(4 / 5, 12);
  });

  it("weights by time", () => {
    expect(coverage({ "fix-weak": [clear, unknown] }, {}, [9, 1]).share).toBeCloseTo(0.9, 12);
  });

  it("adds up the time of the rules, not their shares", () => {
    const { share } = coverage({
      "reserve-short": [clear, clear, clear, clear],
      "ceiling-low": [notAsked, notAsked, notAsked, unknown],
    });
    expect(share).toBeCloseTo(4 / 5, 12);
  });

  it("leaves other moment rules out of the sum, but not out of the list", () => {
    const { share, rules } = coverage({ "reserve-short": [clear, clear], "some-other": [unknown, clear] });
    expect(share).toBe(1);
    expect(rules.get("some-other")).toBe(0.5);
  });

  it("lists conduct rules as assessed, unknown, or never asked, and leaves them out of the sum", () => {
    const { share, rules } = coverage(
      { "reserve-short": [clear] },
      {
        "point-late": "unknown",
        "record-gap": "clear",
        "turnback-late": "n/a",
        "reserve-floor": "fail",
        "cell-sag": "thin",
      },
    );
    expect(share).toBe(1);
    expect([...rules]).toEqual([
      ["reserve-short", 1],
      ["point-late", 0],
      ["record-gap", 1],
      ["turnback-late", undefined],
      ["reserve-floor", 1],
      ["cell-sag", 1],
    ]);
  });

  it("is 0 where nothing was asked or known", () => {
    expect(coverage({ "reserve-short": [unknown] }).share).toBe(0);
    const never = coverage({ "reserve-short": [notAsked, notAsked] });
    expect(never.share).toBe(0);
    expect(never.rules.get("reserve-short")).toBeUndefined();
    expect(coverage({}).share).toBe(0);
  });
});
