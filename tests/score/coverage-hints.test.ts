import { describe, expect, it } from "vitest";
import { LACKS } from "../../src/rules/lacks.js";
import type { Lack, MomentRule } from "../../src/rules/rule.js";
import { coverageHints } from "../../src/score/coverage-hints.js";
import type { Judgement } from "../../src/score/judge.js";
import { shortReplay } from "../helpers/moments.js";

/** A flight with battery, position, height and fix, of which nothing was declared. */
const REPLAY = shortReplay(20, {});

/** The hints for rules that lack so much and have such a share of coverage. */
function hints(rules: Readonly<Record<string, readonly [readonly Lack[], number | undefined]>>): string[] {
  const moments = Object.entries(rules).map(([id, [lacks]]) => ({
    rule: { id, lacks: () => lacks } as unknown as MomentRule,
    codes: new Uint8Array(REPLAY.length),
  }));
  const judgement: Judgement = { replay: REPLAY, moments, conducts: [], crashes: new Map() };
  const shares = new Map(Object.entries(rules).map(([id, [, share]]) => [id, share]));
  return coverageHints(judgement, { share: 0, rules: shares });
}
const yaml = (...lacks: readonly Lack[]): (string | undefined)[] => lacks.map((lack) => LACKS[lack].yaml);

describe("coverageHints", () => {
  it("gives the line of what a rule of the coverage lacks", () => {
    expect(hints({ "reserve-short": [["wind"], 0.5] })).toEqual(yaml("wind"));
    expect(hints({ "reserve-short": [["wind"], 0] })).toEqual(yaml("wind"));
  });

  it("gives none for a rule that was assessed in full, never arose, or is not counted", () => {
    expect(hints({ "reserve-short": [["wind"], 1] })).toEqual([]);
    expect(hints({ "reserve-short": [["wind"], undefined] })).toEqual([]);
    expect(hints({ "some-other": [["wind"], 0.5] })).toEqual([]);
    expect(hints({ "reserve-short": [[], 0.5] })).toEqual([]);
  });

  it("leaves out what is not lacking, and a rule that wants what only a log can hold", () => {
    expect(hints({ "reserve-short": [["battery", "wind"], 0.5] })).toEqual(yaml("wind"));
    expect(hints({ "reserve-short": [["link", "wind"], 0.5] })).toEqual([]);
    expect(hints({ "reserve-short": [["link"], 0.5] })).toEqual([]);
  });

  it("takes the line of terrain for that of obstacles too, where both lack", () => {
    expect(hints({ "ceiling-low": [["terrain", "obstacles"], 0.5] })).toEqual(yaml("terrain"));
    expect(hints({ "ceiling-low": [["obstacles"], 0.5] })).toEqual(yaml("obstacles"));
  });

  it("begins with the rules that want the fewest lines, then with the least assessed", () => {
    expect(
      hints({
        "reserve-short": [["wind", "recovery-height"], 0.9],
        "ceiling-low": [["zones"], 0.5],
        "fix-weak": [["terrain"], 0.4],
      }),
    ).toEqual(yaml("terrain", "zones"));
    expect(hints({ "reserve-short": [["wind", "recovery-height"], 0.1], "fix-weak": [["terrain"], 0.9] })).toEqual(
      yaml("terrain", "wind", "recovery-height"),
    );
  });

  it("gives three lines at most, and skips a rule whose lines do not all fit", () => {
    expect(
      hints({
        "reserve-short": [["wind", "recovery-height"], 0.9],
        "ceiling-low": [["zones", "lost-link-action"], 0.1],
        "fix-weak": [["terrain"], 0.9],
      }),
    ).toEqual(yaml("terrain", "zones", "lost-link-action"));
  });

  it("counts a line that two rules want once", () => {
    expect(
      hints({
        "reserve-short": [["wind"], 0.5],
        "ceiling-low": [["wind", "zones"], 0.5],
        "fix-weak": [["wind", "zones", "terrain"], 0.5],
        "headwind-stall": [["wind", "zones", "recovery-height"], 0.9],
      }),
    ).toEqual(yaml("wind", "zones", "terrain"));
  });
});
