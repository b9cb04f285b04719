import { describe, expect, it } from "vitest";
import type { MomentRule } from "../../src/rules/rule.js";
import { VERDICT } from "../../src/rules/verdict.js";
import type { Judgement } from "../../src/score/judge.js";
import { emptyMoments } from "../../src/recovery/moments.js";
import { gravestParts, shownCodes, worstCodes } from "../../src/score/strip.js";

const { notAsked, unknown, clear, thinAssumed, thin, fail } = VERDICT;

/** A judgement of one moment of which only the verdicts exist. */
const said = (codes: Readonly<Record<string, number>>): Judgement =>
  ({
    replay: { length: 1 },
    moments: Object.entries(codes).map(([id, code]) => ({ rule: { id } as MomentRule, codes: Uint8Array.of(code) })),
  }) as unknown as Judgement;

const worstOf = (codes: Readonly<Record<string, number>>): number[] => [...worstCodes(said(codes))];
const shownOf = (codes: Readonly<Record<string, number>>, main: readonly string[]): number[] => [
  ...shownCodes(said(codes), main),
];

describe("worstCodes", () => {
  it("is the worst of the rules, and unknown where none had an answer", () => {
    expect(worstOf({ a: clear, b: fail, c: thin })).toEqual([fail]);
    expect(worstOf({ a: clear, b: unknown })).toEqual([clear]);
    expect(worstOf({ a: notAsked })).toEqual([unknown]);
    expect(worstOf({})).toEqual([unknown]);
  });

  it("takes every moment by itself", () => {
    const moments = [Uint8Array.of(clear, thin, notAsked), Uint8Array.of(fail, clear, unknown)].map((codes, r) => ({
      rule: { id: `rule-${r}` } as MomentRule,
      codes,
    }));
    const judgement = { moments, replay: { length: 3 } } as unknown as Judgement;
    expect([...worstCodes(judgement)]).toEqual([fail, thin, unknown]);
    expect([...shownCodes(judgement, ["rule-1"])]).toEqual([fail, thin, unknown]);
  });
});

describe("shownCodes", () => {
  it("is clear only where no main rule is unknown", () => {
    expect(shownOf({ a: clear, b: unknown }, ["b"])).toEqual([unknown]);
    expect(shownOf({ a: clear, b: unknown }, ["a"])).toEqual([clear]);
    expect(shownOf({ a: clear, b: notAsked }, ["a", "b"])).toEqual([clear]);
    expect(shownOf({ a: clear, b: clear }, ["a", "b"])).toEqual([clear]);
  });

  it("shows what is worse than clear, whatever else is unknown", () => {
    expect(shownOf({ a: thin, b: unknown }, ["b"])).toEqual([thin]);
    expect(shownOf({ a: thinAssumed, b: unknown }, ["b"])).toEqual([thinAssumed]);
    expect(shownOf({ a: notAsked, b: notAsked }, [])).toEqual([unknown]);
  });
});

describe("gravestParts", () => {
  /** Moments given as [at, weight, code]. */
  function parts(count: number, moments: readonly (readonly [number, number, number])[]): number[] {
    const columns = emptyMoments(moments.length);
    columns.at_s.set(moments.map(([at_s]) => at_s));
    columns.weight_s.set(moments.map(([, weight_s]) => weight_s));
    return [
      ...gravestParts(
        { moments: columns },
        Uint8Array.from(moments, ([, , code]) => code),
        count,
      ),
    ];
  }

  it("gives each of as many moments its own part, from the first of them on", () => {
    const moments = [clear, thin, fail, unknown].map((code, k) => [100 + k, 1, code] as const);
    expect(parts(4, moments)).toEqual([clear, thin, fail, unknown]);
    expect(parts(2, moments)).toEqual([thin, fail]);
    expect(parts(1, moments)).toEqual([fail]);
  });

  it("fills every part that a moment lasts over, and no more", () => {
    expect(
      parts(6, [
        [10, 4, thin],
        [14, 2, clear],
      ]),
    ).toEqual([thin, thin, thin, thin, clear, clear]);
    // Half a part into the third.
    expect(
      parts(4, [
        [0, 2.5, fail],
        [2.5, 1.5, clear],
      ]),
    ).toEqual([fail, fail, fail, clear]);
  });

  it("leaves a gap as not asked", () => {
    expect(
      parts(4, [
        [0, 1, clear],
        [3, 1, thin],
      ]),
    ).toEqual([clear, notAsked, notAsked, thin]);
  });

  it("puts a last moment that lasts nothing into the last part", () => {
    expect(
      parts(2, [
        [0, 1, clear],
        [2, 0, fail],
      ]),
    ).toEqual([clear, fail]);
    expect(parts(3, [[5, 0, thin]])).toEqual([thin, notAsked, notAsked]);
  });

  it("takes unknown for graver than clear, and for less grave than all else", () => {
    const both = (a: number, b: number): number[] =>
      parts(1, [
        [0, 1, a],
        [1, 1, b],
      ]);
    expect(both(clear, unknown)).toEqual([unknown]);
    expect(both(unknown, clear)).toEqual([unknown]);
    expect(both(notAsked, clear)).toEqual([clear]);
    expect(both(notAsked, unknown)).toEqual([unknown]);
    expect(both(unknown, thinAssumed)).toEqual([thinAssumed]);
    expect(both(thin, unknown)).toEqual([thin]);
    expect(both(fail, thin)).toEqual([fail]);
    expect(both(clear, clear)).toEqual([clear]);
  });

  it("has no part for no moment", () => {
    expect(parts(3, [])).toEqual([notAsked, notAsked, notAsked]);
  });

  it("keeps what ends on a boundary out of the next part, where doubles end a hair above it", () => {
    const moments = Array.from({ length: 10 }, (_, k) => [k * 0.1, 0.1, k % 2 === 0 ? clear : thin] as const);
    expect(parts(10, moments)).toEqual(moments.map(([, , code]) => code));
  });
});
