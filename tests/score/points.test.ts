import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { VERDICT } from "../../src/rules/verdict.js";
import { type Bill, scoreOf } from "../../src/score/points.js";
import { repeat } from "../track/make-track.js";

const { notAsked, unknown, clear, thinAssumed, thin, fail } = VERDICT;
const POINTS = { thin: 2, fail: 6 };

function bill(
  moments: Readonly<Record<string, readonly number[]>>,
  conducts: Readonly<Record<string, number>> = {},
  more: Partial<Bill> = {},
): Bill {
  const length = Object.values(moments)[0]?.length ?? 0;
  return {
    weight_s: repeat(1, length),
    moments: Object.entries(moments).map(([id, codes]) => ({ id, codes })),
    conducts: Object.entries(conducts).map(([id, code]) => ({ id, code })),
    isCapped: false,
    points: POINTS,
    ...more,
  };
}

const lostOf = (given: Bill): Record<string, number> => Object.fromEntries(scoreOf(given)?.lost ?? []);

/** So many moments of each verdict. */
const codes = (...parts: readonly (readonly [number, number])[]): number[] =>
  parts.flatMap(([code, count]) => repeat(code, count));

describe("share part, by hand", () => {
  it.each([
    ["all clear", codes([clear, 10]), 100],
    ["a tenth thin", codes([clear, 9], [thin, 1]), 95],
    ["a tenth thin by assumption", codes([clear, 9], [thinAssumed, 1]), 97.5],
    ["a tenth fail", codes([clear, 9], [fail, 1]), 90],
    ["all thin", codes([thin, 4]), 50],
    ["all fail", codes([fail, 4]), 0],
    ["of each one", codes([clear, 1], [thinAssumed, 1], [thin, 1], [fail, 1]), 56.25],
    ["unknown and n/a count nowhere", codes([clear, 1], [thin, 1], [unknown, 6], [notAsked, 6]), 75],
  ])("%s", (_name, verdicts, share) => {
    const score = scoreOf(bill({ "ceiling-low": verdicts }));
    expect(score?.sharePart).toBeCloseTo(share, 9);
    expect(score?.score).toBe(Math.floor(share));
    expect(score?.conductPart).toBe(0);
  });

  it("weights by time", () => {
    const given = bill({ "fix-weak": [clear, fail] }, {}, { weight_s: [3, 1] });
    expect(scoreOf(given)?.sharePart).toBeCloseTo(75, 9);
  });

  it("takes the worst of a moment's rules", () => {
    expect(scoreOf(bill({ a: [clear, thin], b: [thin, fail], c: [unknown, clear] }))?.sharePart).toBeCloseTo(25, 9);
  });

  it("judges a moment that one rule could judge", () => {
    expect(scoreOf(bill({ a: [unknown, unknown], b: [clear, notAsked] }))?.sharePart).toBe(100);
  });

  it("is undefined where nothing was judged, whatever the conduct", () => {
    expect(scoreOf(bill({ a: [unknown, notAsked] }, { "record-gap": fail }))).toBeUndefined();
    expect(scoreOf(bill({ a: [] }))).toBeUndefined();
    expect(scoreOf(bill({}))).toBeUndefined();
    expect(scoreOf(bill({ a: [clear] }, {}, { weight_s: [0] }))).toBeUndefined();
  });
});

describe("who lost the points, by hand", () => {
  it("shares a moment's loss equally among the rules of its worst verdict", () => {
    const lost = lostOf(bill({ a: [fail, clear], b: [fail, clear], c: [thin, clear] }));
    expect(lost).toEqual({ a: 25, b: 25 });
  });

  it("leaves out who lost nothing", () => {
    expect(lostOf(bill({ a: [clear], b: [clear] }, { "point-late": clear, "record-gap": unknown }))).toEqual({});
  });

  it("adds cap and rounding", () => {
    const lost = lostOf(bill({ a: codes([fail, 1], [clear, 7]) }, { "record-gap": thin }, { isCapped: true }));
    expect(lost).toEqual({ a: 12.5, "record-gap": 2, cap: 26.5 });
    expect(lostOf(bill({ a: codes([fail, 1], [clear, 7]) }))).toEqual({ a: 12.5, rounding: 0.5 });
  });
});

describe("conduct part, by hand", () => {
  it("takes the points of each rule once", () => {
    const score = scoreOf(bill({ a: [clear] }, { "point-late": thin, "record-gap": fail, "point-unsafe": clear }));
    expect(score).toMatchObject({ score: 92, conductPart: 8, sharePart: 100 });
    expect(Object.fromEntries(score?.lost ?? [])).toEqual({ "point-late": 2, "record-gap": 6 });
  });

  it("takes half the points of thin for what is thin by an assumption alone", () => {
    const score = scoreOf(bill({ a: [clear] }, { "point-late": thinAssumed, "record-gap": unknown }));
    expect(score).toMatchObject({ score: 99, conductPart: 1 });
    expect(Object.fromEntries(score?.lost ?? [])).toEqual({ "point-late": 1 });
  });

  it("is scaled down to what is left", () => {
    const score = scoreOf(bill({ a: codes([fail, 24], [clear, 1]) }, { "point-late": thin, "record-gap": fail }));
    expect(score?.score).toBe(0);
    expect(score?.sharePart).toBeCloseTo(4, 9);
    expect(score?.conductPart).toBeCloseTo(4, 9);
    expect(score?.lost.get("point-late")).toBeCloseTo(1, 9);
    expect(score?.lost.get("record-gap")).toBeCloseTo(3, 9);
  });

  it("leaves no entry of nothing where nothing is left to take", () => {
    expect(lostOf(bill({ a: [fail] }, { "record-gap": fail }))).toEqual({ a: 100 });
  });

  it("follows the policy's points", () => {
    expect(scoreOf(bill({ a: [clear] }, { "record-gap": fail }, { points: { thin: 0, fail: 20 } }))?.score).toBe(80);
    expect(scoreOf(bill({ a: [clear] }, { "record-gap": thin }, { points: { thin: 0, fail: 20 } }))?.score).toBe(100);
  });
});

describe("cap and rounding, by hand", () => {
  it.each([
    [codes([fail, 1], [clear, 99]), 59],
    [codes([fail, 41], [clear, 59]), 59],
    [codes([fail, 42], [clear, 58]), 58],
  ])("a failing stretch lets no more than 59 stand", (verdicts, score) => {
    expect(scoreOf(bill({ a: verdicts }, {}, { isCapped: true }))?.score).toBe(score);
  });

  it("rounds down, and not off a whole number that it is", () => {
    expect(scoreOf(bill({ a: codes([clear, 999], [thin, 1]) }))?.score).toBe(99);
    // Ten tenths of a second, the last four failing: in doubles the share ends a hair under 60.
    const given = bill({ a: codes([clear, 6], [fail, 4]) }, {}, { weight_s: repeat(0.1, 10) });
    expect(scoreOf(given)?.sharePart).toBeLessThan(60);
    expect(scoreOf(given)?.score).toBe(60);
    expect(lostOf(given).rounding).toBeUndefined();
  });
});

describe("one cause, one bill, by hand", () => {
  it("bills the dearest alone", () => {
    const given = bill(
      { "reserve-short": codes([thin, 2], [clear, 98]) },
      { "turnback-late": fail, "reserve-floor": thin },
    );
    // 1 point by the time, 6 and 2 by conduct: the 6 stand.
    expect(scoreOf(given)?.score).toBe(94);
    expect(lostOf(given)).toEqual({ "turnback-late": 6 });
  });

  it("bills the time where that is dearer", () => {
    const given = bill(
      { "reserve-short": codes([fail, 20], [clear, 80]) },
      { "turnback-late": fail, "reserve-floor": fail },
    );
    expect(lostOf(given)).toEqual({ "reserve-short": 20 });
  });

  it("bills other causes beside it, and passes a shared moment on to them", () => {
    const given = bill(
      { "reserve-short": codes([thin, 2], [clear, 98]), "ceiling-low": codes([thin, 1], [clear, 99]) },
      { "turnback-late": fail, "record-gap": thin },
    );
    expect(lostOf(given)).toEqual({ "turnback-late": 6, "record-gap": 2, "ceiling-low": 0.5, rounding: 0.5 });
  });

  it("judges moments that only the unbilled rule judged", () => {
    const given = bill(
      { "reserve-short": codes([thin, 1], [clear, 99]), "ceiling-low": codes([unknown, 100]) },
      { "turnback-late": fail },
    );
    expect(scoreOf(given)).toMatchObject({ sharePart: 100, score: 94 });
  });

  it("charges no rule for a moment that was never asked of it", () => {
    const given = bill(
      { "reserve-short": [thin, clear], "ceiling-low": [notAsked, clear] },
      { "turnback-late": fail },
      {
        points: { thin: 2, fail: 50 },
      },
    );
    expect(scoreOf(given)).toMatchObject({ sharePart: 100, conductPart: 50, score: 50 });
    expect(lostOf(given)).toEqual({ "turnback-late": 50 });
  });
});

const MOMENT_IDS = ["reserve-short", "ceiling-low", "fix-weak"];
const CONDUCT_IDS = ["turnback-late", "reserve-floor", "record-gap", "point-late"];
const code = fc.constantFrom(notAsked, unknown, clear, clear, clear, thinAssumed, thin, fail);
const anyBill: fc.Arbitrary<Bill> = fc.integer({ min: 1, max: 25 }).chain((length) =>
  fc.record({
    weight_s: fc.array(fc.double({ min: 0.01, max: 5, noNaN: true }), { minLength: length, maxLength: length }),
    moments: fc.tuple(
      ...MOMENT_IDS.map((id) =>
        fc.array(code, { minLength: length, maxLength: length }).map((each) => ({ id, codes: each })),
      ),
    ),
    conducts: fc.tuple(...CONDUCT_IDS.map((id) => code.map((one) => ({ id, code: one })))),
    isCapped: fc.boolean(),
    points: fc.record({
      thin: fc.double({ min: 0, max: 5, noNaN: true }),
      fail: fc.double({ min: 5, max: 30, noNaN: true }),
    }),
  }),
);
const isAssessed = (one: number): boolean => one >= clear;
const RUNS = { numRuns: 400 };

describe("whatever the bill", () => {
  it("a score is a whole number from 0 to 100, at most 59 when capped, or undefined when nothing was judged", () => {
    fc.assert(
      fc.property(anyBill, (given) => {
        const score = scoreOf(given);
        const isJudged = given.moments.some(({ codes: each }) => Array.from(each).some(isAssessed));
        expect(score !== undefined).toBe(isJudged);
        if (score === undefined) return;
        expect(Number.isInteger(score.score)).toBe(true);
        expect(score.score).toBeGreaterThanOrEqual(0);
        expect(score.score).toBeLessThanOrEqual(given.isCapped ? 59 : 100);
        expect(score.score).toBeLessThanOrEqual(score.sharePart - score.conductPart + 1e-6);
        if (!given.isCapped) expect(score.score).toBeGreaterThan(score.sharePart - score.conductPart - 1);
        expect(score.conductPart).toBeLessThanOrEqual(score.sharePart + 1e-9);
      }),
      RUNS,
    );
  });

  it("what was lost sums to 100 − score, each entry positive", () => {
    fc.assert(
      fc.property(anyBill, (given) => {
        const score = scoreOf(given);
        if (score === undefined) return;
        const total = [...score.lost.values()].reduce((sum, points) => sum + points, 0);
        expect(Math.abs(total - (100 - score.score))).toBeLessThan(1e-6);
        for (const points of score.lost.values()) expect(points).toBeGreaterThan(0);
      }),
      RUNS,
    );
  });

  it("at most one rule of one cause takes points", () => {
    fc.assert(
      fc.property(anyBill, (given) => {
        const lost = scoreOf(given)?.lost ?? new Map<string, number>();
        const billed = ["reserve-short", "turnback-late", "reserve-floor"].filter((id) => lost.has(id));
        expect(billed.length).toBeLessThanOrEqual(1);
      }),
      RUNS,
    );
  });

  it("points go only to rules that are thin or fail", () => {
    fc.assert(
      fc.property(anyBill, (given) => {
        for (const id of scoreOf(given)?.lost.keys() ?? []) {
          if (id === "cap" || id === "rounding") continue;
          const moment = given.moments.find((one) => one.id === id);
          const conduct = given.conducts.find((one) => one.id === id);
          const worst = moment === undefined ? (conduct?.code ?? 0) : Math.max(...Array.from(moment.codes));
          expect(worst).toBeGreaterThanOrEqual(thinAssumed);
        }
      }),
      RUNS,
    );
  });

  it("a worse verdict of a moment never raises it", () => {
    fc.assert(
      fc.property(
        anyBill,
        fc.nat(),
        fc.nat(),
        fc.constantFrom(thinAssumed, thin, fail),
        (given, which, where, worse) => {
          const rule = which % given.moments.length;
          const row = where % given.weight_s.length;
          const before = given.moments[rule]?.codes[row] ?? 0;
          fc.pre(isAssessed(before) && worse > before);
          const moments = given.moments.map((one, r) => ({
            ...one,
            codes: Array.from(one.codes, (each, k) => (r === rule && k === row ? worse : each)),
          }));
          const [was, is] = [scoreOf(given), scoreOf({ ...given, moments })];
          expect(is?.score).toBeLessThanOrEqual(was?.score ?? Number.NaN);
        },
      ),
      { numRuns: 800 },
    );
  });

  it("a worse verdict of conduct never raises it, nor does a cap", () => {
    fc.assert(
      fc.property(anyBill, fc.nat(), fc.constantFrom(thinAssumed, thin, fail), (given, which, worse) => {
        fc.pre(scoreOf(given) !== undefined);
        const rule = which % given.conducts.length;
        fc.pre(worse > (given.conducts[rule]?.code ?? 0));
        const conducts = given.conducts.map((one, r) => (r === rule ? { ...one, code: worse } : one));
        expect(scoreOf({ ...given, conducts })?.score).toBeLessThanOrEqual(scoreOf(given)?.score ?? Number.NaN);
        expect(scoreOf({ ...given, isCapped: true })?.score).toBeLessThanOrEqual(scoreOf(given)?.score ?? Number.NaN);
      }),
      RUNS,
    );
  });

  it("does not change when every weight is doubled", () => {
    fc.assert(
      fc.property(anyBill, (given) => {
        const doubled = scoreOf({ ...given, weight_s: Array.from(given.weight_s, (weight) => 2 * weight) });
        expect(doubled?.score).toBe(scoreOf(given)?.score);
      }),
    );
  });
});
