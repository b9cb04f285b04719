import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { wholeFrom } from "../../src/cli/options.js";
import { partOf, shardOf } from "../../src/cli/shard.js";

const logs = (paths: readonly string[]) => paths.map((path) => ({ path }));
const paths = fc.uniqueArray(fc.string({ minLength: 1 }), { maxLength: 30 });

describe("a part of a run", () => {
  it("is every log in one part and no other, with its place among all", () => {
    fc.assert(
      fc.property(paths, fc.integer({ min: 1, max: 9 }), (names, count) => {
        const parts = Array.from({ length: count }, (_, i) => partOf(logs(names), { index: i + 1, count })).flat();
        parts.sort((a, b) => a.position - b.position);
        expect(parts).toEqual(names.map((path, position) => ({ path, position })));
      }),
    );
  });

  it("keeps a log when others come and go", () => {
    fc.assert(
      fc.property(paths, fc.func(fc.boolean()), fc.integer({ min: 1, max: 4 }), (names, stays, index) => {
        const shard = { index, count: 4 };
        const before = partOf(logs(names), shard).map(({ path }) => path);
        const after = partOf(logs(names.filter((path) => stays(path))), shard).map(({ path }) => path);
        expect(after).toEqual(before.filter((path) => stays(path)));
      }),
    );
  });

  it("is about as large as the others", () => {
    const names = Array.from({ length: 4000 }, (_, i) => `logs/2026/${i}.csv`);
    for (const index of [1, 2, 3, 4]) {
      const { length } = partOf(logs(names), { index, count: 4 });
      // Binomial, 1000 of 4000: four standard deviations are 110.
      expect(Math.abs(length - 1000)).toBeLessThan(110);
    }
  });

  it("is all of it where none is asked for", () => {
    expect(partOf(logs(["a", "b"]), undefined).map(({ path }) => path)).toEqual(["a", "b"]);
  });

  it("is written 2/8", () => {
    expect(shardOf("2/8")).toEqual({ index: 2, count: 8 });
    expect(shardOf("100000/100000")).toEqual({ index: 100_000, count: 100_000 });
  });

  it.each(["0/2", "3/2", "2", "a/b", "1/100001", "-1/2", "1/2/3", "1.5/2", ""])("is not %s", (text) => {
    expect(() => shardOf(text)).toThrow(/such as 2\/8/);
  });
});

describe("a whole number of an option", () => {
  it("is one of its range", () => {
    expect([wholeFrom(1, 9)("1"), wholeFrom(1, 9)("9")]).toEqual([1, 9]);
  });

  it.each(["0", "10", "two", "1.5", "-1", "", " 1"])("is not %j", (text) => {
    expect(() => wholeFrom(1, 9)(text)).toThrow(/whole number from 1 to 9/);
  });
});
