import { describe, expect, it } from "vitest";
import { pageText } from "../../src/cli/page-text.js";
import { RULES } from "../../src/rules/index.js";
import { POLICY } from "../../src/config/policy.js";
import { homeleg } from "../helpers/cli.js";

describe("homeleg rules ID", () => {
  it("prints the page of a rule: question, limits with sources, verdicts, example, what to do", () => {
    const { status, stdout, stderr } = homeleg(["rules", "ceiling-high"]);
    expect([status, stderr]).toEqual([0, ""]);
    for (const words of [
      "judges the flight once",
      "Was the recovery height no higher than the law and the battery allow?",
      `policy.legal_height = 120 m\n    (${POLICY.legal_height.source})`,
      "- thin, by the law:",
      "14 CFR 107.51",
      "THIN  ceiling-high",
      "What to do about it",
    ]) {
      expect(stdout).toContain(words);
    }
    expect(stdout).not.toMatch(/<!--|!\[|```|\*\*/);
  });

  it("fits 80 columns, but for examples", () => {
    const { stdout } = homeleg(["rules", "link-fading"]);
    const prose = stdout.split("\n").filter((line) => !line.startsWith("    ") || line.startsWith("    -"));
    expect(Math.max(...prose.map(({ length }) => length))).toBeLessThanOrEqual(80);
  });

  it("has something to print for every rule", () => {
    for (const { id } of RULES) {
      const { status, stdout } = homeleg(["rules", id]);
      expect([id, status]).toEqual([id, 0]);
      expect(stdout).toMatch(/What to do about it\n\n {2}\S/);
    }
  });
});

describe("a page as text", () => {
  it("keeps headings, paragraphs, lists and code, and drops pictures, comments and tables", () => {
    const page =
      "## Why\n\n![a](a.svg)\n\nOne **two**\n[three](x.md) `four`.\n\n- item _em_\n  goes on\n- b\n\n| a | b |\n\n```yaml\nk: v\n```\n<!-- x -->\n";
    expect(pageText(page, 80)).toBe("Why\n\n  One two three four.\n\n  - item em goes on\n  - b\n\n    k: v\n");
  });

  it("wraps at the width", () => {
    expect(pageText("aa bb cc", 7)).toBe("aa bb\n  cc\n");
  });
});
