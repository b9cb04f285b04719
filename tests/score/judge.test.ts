import { describe, expect, it } from "vitest";
import type { Replay } from "../../src/recovery/replay.js";
import { type Asked, conductRule, type MomentRule, momentRule } from "../../src/rules/rule.js";
import { VERDICT, type Verdict } from "../../src/rules/verdict.js";
import { askedOf, codeOf, judgeFlight, judgeMoments, lookAt, viewOf } from "../../src/score/judge.js";
import { shortReplay } from "../helpers/moments.js";

const { notAsked, unknown, clear, thinAssumed, thin, fail } = VERDICT;
const LENGTH = 20;

/** Moments of which the battery is 20, 19, … 1 %, and 100 % by the column without assumptions. */
function replayOf(rulesOff: Readonly<Record<string, string>> = {}): Replay {
  const replay = shortReplay(LENGTH);
  for (let k = 0; k < LENGTH; k += 1) {
    replay.moments.battery_pct[k] = LENGTH - k;
    replay.moments.needUpper_pct[k] = 100;
    replay.moments.height_m[k] = 30;
  }
  const { setting } = replay;
  const declared = { ...setting.config.declared, rulesOff };
  return { ...replay, setting: { ...setting, config: { ...setting.config, declared } } };
}

/** Fails below 5 %, is thin below 10 %. */
const rule = (given: Partial<MomentRule> = {}): MomentRule => ({
  ...momentRule({
    id: "low",
    question: "Is it enough?",
    unit: "%",
    needs: ["battery_pct"],
    limits: {},
    judge: ({ battery_pct }) => (battery_pct < 5 ? "fail" : battery_pct < 10 ? "thin" : "clear"),
    badness: () => 0,
    describe: () => ({ value: 0, limit: 0, message: "", advice: "", evidence: {} }),
    bases: () => [],
    lacks: () => [],
  }),
  ...given,
});
const expected = (ofThin: number): number[] =>
  Array.from({ length: LENGTH }, (_, k) => (LENGTH - k < 5 ? fail : LENGTH - k < 10 ? ofThin : clear));

describe("judgeMoments", () => {
  it("asks once a moment, and is unknown where a need is", () => {
    const replay = replayOf();
    expect([...judgeMoments(rule(), replay)]).toEqual(expected(thin));
    replay.moments.battery_pct[17] = Number.NaN;
    replay.moments.height_m[18] = Number.NaN;
    expect([...judgeMoments(rule(), replay)].slice(16)).toEqual([fail, unknown, fail, fail]);
    const both = rule({ needs: ["battery_pct", "height_m"] });
    expect([...judgeMoments(both, replay)].slice(16)).toEqual([fail, unknown, unknown, fail]);
  });

  it("asks where only what is accepted is not known", () => {
    const replay = replayOf();
    replay.moments.height_m[3] = Number.NaN;
    const judge: MomentRule["judge"] = ({ height_m }) => (Number.isNaN(height_m) ? "n/a" : "clear");
    const codes = judgeMoments(rule({ accepts: ["height_m"], judge }), replay);
    expect([codes[2], codes[3], codes[4]]).toEqual([clear, notAsked, clear]);
  });

  it("does not ask where the whole flight has one answer", () => {
    const never = (): never => {
      throw new Error("asked");
    };
    const always = (verdict: "unknown" | "n/a") =>
      judgeMoments(rule({ always: () => verdict, judge: never }), replayOf());
    expect([...always("n/a")]).toEqual(Array<number>(LENGTH).fill(notAsked));
    expect([...always("unknown")]).toEqual(Array<number>(LENGTH).fill(unknown));
  });

  it("tells thin by an assumption alone, whatever else it would be; a fail stays one", () => {
    const without = { battery_pct: "needUpper_pct" } as const;
    expect([...judgeMoments(rule({ withoutAssumptions: without }), replayOf())]).toEqual(expected(thinAssumed));
    const otherwise = (said: Verdict): number | undefined =>
      judgeMoments(
        rule({
          withoutAssumptions: without,
          judge: ({ battery_pct }) => (battery_pct === 100 ? said : "thin"),
        }),
        replayOf(),
      )[0];
    const all = (["clear", "unknown", "n/a", "thin", "fail"] as const).map(otherwise);
    expect(all).toEqual([thinAssumed, thinAssumed, thinAssumed, thin, thin]);
  });
});

describe("viewOf and lookAt", () => {
  it("hold the columns that a rule reads, and no other", () => {
    const view = viewOf(rule({ accepts: ["height_m"] }));
    expect(view).toEqual({ battery_pct: Number.NaN, height_m: Number.NaN });
    lookAt(view, replayOf(), 4);
    expect(view).toEqual({ battery_pct: 16, height_m: 30 });
    lookAt(view, replayOf(), LENGTH);
    expect(view.battery_pct).toBeNaN();
  });
});

describe("codeOf", () => {
  it("is the code of the verdict, and that of an assumption for thin alone", () => {
    const codes = (["n/a", "unknown", "clear", "thin", "fail"] as const).map((verdict) => [
      codeOf({ verdict }),
      codeOf({ verdict, byAssumptionAlone: false }),
      codeOf({ verdict, byAssumptionAlone: true }),
    ]);
    expect(codes).toEqual([
      [notAsked, notAsked, notAsked],
      [unknown, unknown, unknown],
      [clear, clear, clear],
      [thin, thin, thinAssumed],
      [fail, fail, fail],
    ]);
  });
});

describe("judgeFlight", () => {
  const boom = new Error("boom");
  const throwing = (): never => {
    throw boom;
  };
  const conduct = (id: string, judge: () => { readonly verdict: Verdict }) =>
    conductRule({ id, question: "Was it?", unit: "s", limits: {}, judge, bases: () => [] });

  it("goes on after a crash, and keeps what was thrown", () => {
    const { moments, conducts, crashes } = judgeFlight(replayOf(), {
      moment: [rule({ id: "a", judge: throwing }), rule({ id: "b" })],
      conduct: [conduct("c", throwing), conduct("d", () => ({ verdict: "thin" }))],
    });
    expect([...(moments[0]?.codes ?? [])]).toEqual(Array<number>(LENGTH).fill(unknown));
    expect([...(moments[1]?.codes ?? [])]).toEqual(expected(thin));
    expect(conducts.map((one) => one.conduct)).toEqual([{ verdict: "unknown" }, { verdict: "thin" }]);
    expect([...crashes]).toEqual([
      ["a", boom],
      ["c", boom],
    ]);
  });

  it("does not ask a rule that is off", () => {
    const { moments, conducts, crashes } = judgeFlight(replayOf({ a: "why", c: "why" }), {
      moment: [rule({ id: "a", judge: throwing })],
      conduct: [conduct("c", throwing)],
    });
    expect([...(moments[0]?.codes ?? [])]).toEqual(Array<number>(LENGTH).fill(unknown));
    expect(conducts.map((one) => one.conduct)).toEqual([{ verdict: "unknown" }]);
    expect(crashes.size).toBe(0);
  });

  it("lets conduct ask of the moments", () => {
    let asked: Asked | undefined;
    const curious = conductRule({
      id: "c",
      question: "Was it?",
      unit: "s",
      limits: {},
      judge: (_replay, _limits, _say, all) => {
        asked = all;
        return { verdict: "clear" };
      },
      bases: () => [],
    });
    judgeFlight(replayOf(), { moment: [rule({ id: "a" })], conduct: [curious] });
    expect([...(asked?.worst ?? [])]).toEqual(expected(thin));
  });
});

describe("askedOf", () => {
  const codesOf = (...codes: readonly number[]): Uint8Array =>
    Uint8Array.from({ length: LENGTH }, (_, k) => codes[k] ?? 0);

  it("has the gravest of all rules, row by row", () => {
    const moments = [
      { rule: rule({ id: "a" }), codes: codesOf(clear, thin, unknown) },
      { rule: rule({ id: "b" }), codes: codesOf(fail, clear, notAsked) },
    ];
    const { worst } = askedOf(replayOf(), moments);
    expect([...worst]).toEqual([...codesOf(fail, thin, unknown)]);
  });

  it("gives a rule's codes of this replay, and judges another one", () => {
    const replay = replayOf();
    const codes = codesOf(clear);
    const asked = askedOf(replay, [
      { rule: rule({ id: "x" }), codes: codesOf(fail) },
      { rule: rule({ id: "a" }), codes },
    ]);
    expect(asked.codesOf("a", replay)).toBe(codes);
    expect([...(asked.codesOf("a", replayOf()) ?? [])]).toEqual(expected(thin));
  });

  it("gives nothing of a rule that is not there, off, or crashed", () => {
    const replay = replayOf({ off: "why" });
    const moments = ["off", "crashed", "fine"].map((id) => ({ rule: rule({ id }), codes: codesOf(clear) }));
    const asked = askedOf(replay, moments, new Map([["crashed", new Error("boom")]]));
    const there = ["none", "off", "crashed", "fine"].map((id) => asked.codesOf(id, replay) !== undefined);
    expect(there).toEqual([false, false, false, true]);
  });
});
