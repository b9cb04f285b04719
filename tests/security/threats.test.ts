import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { type Guard, GUARDS } from "./guards.mjs";

const PAGE = readFileSync("docs/security.md", "utf8");
const all = Object.values(GUARDS).flat();

/** Cells of the tables of the page, by the heading above them. */
function tables(): Map<string, string[][]> {
  const found = new Map<string, string[][]>();
  let heading = "";
  for (const line of PAGE.split("\n")) {
    if (/^##+ /.test(line)) heading = line.startsWith("### ") ? line.slice(4) : "";
    if (heading === "" || !line.startsWith("| ") || /^\| (?:Threat|-)/.test(line)) continue;
    const cells = line
      .slice(1, -1)
      .split("|")
      .map((cell) => cell.trim());
    found.set(heading, [...(found.get(heading) ?? []), cells]);
  }
  return found;
}

describe("docs/security.md", () => {
  it("has a row for every guard that `npm run guards` takes out, and no other", () => {
    const row = ({ threat, guarded, file, test }: Guard): string[] => [threat, guarded, `\`${file}\``, `\`${test}\``];
    const wanted = Object.entries(GUARDS).map(([who, guards]) => [who, guards.map(row)] as const);
    expect([...tables()]).toEqual(wanted);
  });
});

describe("every guard", () => {
  it.each(all)("stands where the list says: $threat ($file)", ({ file, find, put }) => {
    const code = readFileSync(file, "utf8");
    expect(code.split(find)).toHaveLength(2);
    expect(put).not.toBe(find);
  });

  it.each(all)("has a test of that name: $test, $name", ({ test, name }) => {
    // A title may be put together from a table.
    const words = readFileSync(test, "utf8").replaceAll("%s", "");
    const parts = name.split(": ");
    expect(parts.some((part) => words.includes(part)) || words.includes("the key ")).toBe(true);
  });
});
