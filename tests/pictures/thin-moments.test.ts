import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { thinMoments } from "../../src/pictures/thin-moments.js";

describe("thinMoments", () => {
  it("keeps all of a short flight", () => {
    expect(thinMoments([Float64Array.of(3, 1, 2)], 4, [])).toEqual([0, 1, 2]);
    expect(thinMoments([new Float64Array(0)], 4, [])).toEqual([]);
  });

  it("keeps the first, the last, what is forced, and one moment that is not known", () => {
    const column = Float64Array.from({ length: 1000 }, () => 5);
    column[777] = Number.NaN;
    const kept = thinMoments([column], 5, [333, -1, 1000]);
    expect(kept).toEqual(expect.arrayContaining([0, 333, 777, 999]));
    expect(kept.every((k) => k >= 0 && k < 1000)).toBe(true);
    expect(kept.length).toBeLessThanOrEqual(5 * 4 + 2);
  });

  it("loses no extreme of any run, keeps the order, and stays small", () => {
    const value = fc.oneof(fc.integer({ min: -50, max: 150 }), fc.constant(Number.NaN), fc.constant(-Infinity));
    fc.assert(
      fc.property(fc.array(value, { minLength: 200, maxLength: 600 }), (values) => {
        const column = Float64Array.from(values);
        const runs = 7;
        const kept = thinMoments([column], runs, []);
        expect(kept.length).toBeLessThanOrEqual(runs * 4 + 2);
        expect([...kept].sort((a, b) => a - b)).toEqual(kept);
        expect(new Set(kept).size).toBe(kept.length);
        for (let run = 0; run < runs; run += 1) {
          const from = Math.floor((run * values.length) / runs);
          const to = Math.floor(((run + 1) * values.length) / runs);
          const known = values.slice(from, to).filter((x) => !Number.isNaN(x));
          const shown = kept.filter((k) => k >= from && k < to).map((k) => values[k] ?? 0);
          const shownKnown = shown.filter((x) => !Number.isNaN(x));
          expect(Math.min(...shownKnown)).toBe(Math.min(...known));
          expect(Math.max(...shownKnown)).toBe(Math.max(...known));
          expect(shown.some(Number.isNaN)).toBe(known.length < to - from);
        }
      }),
    );
  });
});
