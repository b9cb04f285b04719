import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { READING, sizeText } from "../../src/config/reading.js";

it("docs/settings.md lists every key under reading:, with its default", () => {
  const [, section = ""] = /## reading\n([^]*?)\n## /.exec(readFileSync("docs/settings.md", "utf8")) ?? [];
  const rows = [...section.matchAll(/^\| `(\w+)` +\| (\w*) +\| (.*?) +\|/gm)].map(([, ...cells]) => cells);
  const wanted = Object.entries(READING).map(([key, { value, unit }]) =>
    unit === "bytes" ? [key, "bytes", sizeText(value)] : [key, "", String(value)],
  );
  expect(rows).toEqual(wanted);
});
