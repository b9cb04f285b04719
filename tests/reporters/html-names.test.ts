import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { pageNamer } from "../../src/index.js";
import { HOSTILE } from "../helpers/pages.js";

const named = (paths: readonly string[]): string[] => {
  const nameOf = pageNamer();
  return paths.map(nameOf);
};

describe("pageNamer", () => {
  it.each([
    ["logs/a.csv", "logs_a.csv.html"],
    ["./logs/../a.csv", "logs_._a.csv.html"],
    ["/var/logs/a.csv", "var_logs_a.csv.html"],
    ["..\\..\\a.csv", "a.csv.html"],
    ["C:\\logs\\a.csv", "C__logs_a.csv.html"],
    ["Flüge/März 3.csv", "Fluge_Marz_3.csv.html"],
    ["空/空.csv", "csv.html"],
    ["", "log.html"],
    ["..", "log.html"],
    ["index", "index-2.html"],
  ])("%j becomes %j", (path, name) => {
    expect(named([path])).toEqual([name]);
  });

  it("tells apart what only a separator, a sign or a capital tells apart", () => {
    expect(named(["a/b.csv", "a_b.csv", "A_B.csv", "a/b.csv"])).toEqual([
      "a_b.csv.html",
      "a_b.csv-2.html",
      "A_B.csv-3.html",
      "a_b.csv-4.html",
    ]);
  });

  it("gives safe names, no two alike, whatever the paths", () => {
    const path = fc.oneof(
      fc.string({ unit: "binary", maxLength: 200 }),
      fc.constantFrom(...HOSTILE, "index", "a", "A"),
    );
    fc.assert(
      fc.property(fc.array(path, { maxLength: 12 }), (paths) => {
        const names = named(paths);
        for (const name of names) {
          expect(name).toMatch(/^[A-Za-z0-9][A-Za-z0-9._-]*\.html$/);
          expect(name.length).toBeLessThanOrEqual(110);
        }
        expect(new Set(["index.html", ...names.map((name) => name.toLowerCase())]).size).toBe(names.length + 1);
        expect(named(paths)).toEqual(names);
      }),
    );
  });
});
