import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";

/** Same bytes in, same bytes out: nothing between parser and report may ask the clock, the place or chance. */
const FORBIDDEN = [
  [/\bDate\.now\b|\bnew Date\(\)|\bperformance\.now\b/, "the clock"],
  [/\bMath\.random\b|\bcrypto\b/, "chance"],
  [/\btoLocale|\bIntl\.|\blocaleCompare\b/, "the locale"],
  [/\bprocess\./, "the process"],
  [/\bconsole\./, "the terminal"],
] as const;

const FOLDERS = [
  "num",
  "track",
  "air",
  "aircraft",
  "site",
  "recovery",
  "rules",
  "score",
  "inspect",
  "advise",
  "reporters",
  "parsers",
];

function sourcesIn(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    return entry.isDirectory() ? sourcesIn(path) : [path];
  });
}

describe.each(FOLDERS)("src/%s", (folder) => {
  const sources = sourcesIn(join("src", folder));

  it("has sources", () => {
    expect(sources.length).toBeGreaterThan(0);
  });

  it.each(FORBIDDEN)("asks nothing of %s (%s)", (pattern) => {
    const code = (text: string): string => text.replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, "");
    expect(sources.filter((path) => pattern.test(code(readFileSync(path, "utf8"))))).toEqual([]);
  });
});

describe("the whole of src", () => {
  it("never ends the process, which would cut what is still being written", () => {
    expect(sourcesIn("src").filter((path) => /process\.exit\(/.test(readFileSync(path, "utf8")))).toEqual([]);
  });
});
