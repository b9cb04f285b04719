import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { VERDICT } from "../../src/rules/verdict.js";
import { MERGE_WITHIN_S, type Stretch, stretchesOf } from "../../src/score/stretches.js";

const LETTERS: Record<string, number> = {
  "-": VERDICT.notAsked,
  "?": VERDICT.unknown,
  c: VERDICT.clear,
  a: VERDICT.thinAssumed,
  t: VERDICT.thin,
  F: VERDICT.fail,
};

/** Stretches of verdicts written as letters, one a row. */
function stretches(letters: string, at_s?: readonly number[], weight_s?: readonly number[]): Stretch[] {
  const codes = Uint8Array.from(letters, (letter) => LETTERS[letter] ?? Number.NaN);
  return stretchesOf(
    codes,
    Float64Array.from(at_s ?? Array.from(letters, (_, i) => i)),
    Float64Array.from(weight_s ?? Array.from(letters, () => 1)),
  );
}

describe("stretchesOf", () => {
  it("finds none where all is clear, unknown or n/a, and in no rows", () => {
    expect(stretches("cc??--cc")).toEqual([]);
    expect(stretches("")).toEqual([]);
  });

  it("is the first and the last row of a verdict, with the sum of weights", () => {
    expect(stretches("ccFFFcc")).toEqual([{ code: VERDICT.fail, first: 2, last: 4, duration_s: 3, runs: [[2, 4]] }]);
    expect(stretches("Fcccc")).toEqual([{ code: VERDICT.fail, first: 0, last: 0, duration_s: 1, runs: [[0, 0]] }]);
    expect(stretches("ccccF")).toEqual([{ code: VERDICT.fail, first: 4, last: 4, duration_s: 1, runs: [[4, 4]] }]);
    expect(stretches("tt", [0, 1], [0.4, 0.7])[0]?.duration_s).toBeCloseTo(1.1, 12);
  });

  it("merges equal verdicts under 3 s apart, without counting what lies between", () => {
    expect(MERGE_WITHIN_S).toBe(3);
    expect(stretches("FFcFF")).toEqual([
      {
        code: VERDICT.fail,
        first: 0,
        last: 4,
        duration_s: 4,
        runs: [
          [0, 1],
          [3, 4],
        ],
      },
    ]);
  });

  it.each([
    [2.9, 1],
    [3, 2],
    [3.1, 2],
  ])("parts %d s apart are %d", (apart_s, count) => {
    expect(stretches("FcF", [0, 1, apart_s])).toHaveLength(count);
  });

  it("measures from the last row before to the first after, so that a chain merges as a whole", () => {
    const found = stretches("FccFccFccF", [0, 1, 2, 2.9, 3.5, 4, 5.8, 6, 7, 8.7]);
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ first: 0, last: 9, duration_s: 4 });
    expect(found[0]?.runs).toHaveLength(4);
  });

  it("merges across unknown rows, and across another verdict, which keeps its own stretch", () => {
    expect(stretches("F?F")).toHaveLength(1);
    expect(stretches("FtF").map(({ code, first, last }) => [code, first, last])).toEqual([
      [VERDICT.fail, 0, 2],
      [VERDICT.thin, 1, 1],
    ]);
  });

  it("tells thin by assumption from thin", () => {
    expect(stretches("aatt").map(({ code, first, last }) => [code, first, last])).toEqual([
      [VERDICT.thinAssumed, 0, 1],
      [VERDICT.thin, 2, 3],
    ]);
  });

  it("is in order of the start", () => {
    const found = stretches("tccccFccccaccccF");
    expect(found.map(({ first }) => first)).toEqual([0, 5, 10, 15]);
  });

  it("holds every thin and failing row once, whatever the rows", () => {
    const letter = fc.constantFrom("c", "?", "-", "a", "t", "F");
    const row = fc.tuple(
      letter,
      fc.double({ min: 0.1, max: 6, noNaN: true }),
      fc.double({ min: 0.1, max: 2, noNaN: true }),
    );
    fc.assert(
      fc.property(fc.array(row, { maxLength: 40 }), (rows) => {
        let now = 0;
        const at_s = rows.map(([, step]) => (now += step));
        const weight_s = rows.map(([, , weight]) => weight);
        const letters = rows.map(([one]) => one).join("");
        const found = stretches(letters, at_s, weight_s);
        const seen = found.flatMap(({ code, runs }) =>
          runs.flatMap(([from, to]) => Array.from({ length: to - from + 1 }, (_, i) => [from + i, code] as const)),
        );
        const wanted = Array.from(letters, (one, i) => [i, LETTERS[one] ?? 0] as const).filter(
          ([, one]) => one >= VERDICT.thinAssumed,
        );
        expect(seen.toSorted((a, b) => a[0] - b[0])).toEqual(wanted);
        for (const { runs, duration_s, first, last, code } of found) {
          expect([runs[0]?.[0], runs[runs.length - 1]?.[1]]).toEqual([first, last]);
          const total = weight_s
            .filter((_, k) => runs.some(([from, to]) => k >= from && k <= to))
            .reduce((sum, w) => sum + w, 0);
          expect(duration_s).toBeCloseTo(total, 9);
          // No two of one verdict that should have merged.
          for (const other of found) {
            if (
              other === found.find((one) => one.first === first && one.code === code) ||
              other.code !== code ||
              other.first <= last
            )
              continue;
            expect((at_s[other.first] ?? 0) - (at_s[last] ?? 0)).toBeGreaterThanOrEqual(MERGE_WITHIN_S);
          }
        }
      }),
      { numRuns: 300 },
    );
  });
});
