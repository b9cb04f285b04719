import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { RULES } from "../../src/rules/index.js";

const OPEN = "<!-- generated: example -->";

/** `docs/make.mjs --check` compares each example with a fresh run; this holds what that cannot see. */
describe.each(RULES.map(({ id }) => id))("the page of %s", (id) => {
  const page = readFileSync(`docs/rules/${id}.md`, "utf8");

  it("has a generated example of that very rule", () => {
    const from = page.indexOf(OPEN);
    expect(from).toBeGreaterThan(0);
    const example = page.slice(from, page.indexOf("<!-- /generated -->", from));
    expect(example).toMatch(new RegExp(`^(FAIL|THIN) {2}${id} {2}\\d`, "m"));
    expect(example).toMatch(/Next time: /);
  });

  it("has a picture that names its verdicts in words, and is readable in the dark", () => {
    expect(page).toContain(`](${id}.svg)`);
    const picture = readFileSync(`docs/rules/${id}.svg`, "utf8");
    expect(picture).toMatch(/prefers-color-scheme: dark/);
    const verdicts = id === "ceiling-high" ? ["clear", "thin"] : ["clear", "thin", "fail"];
    for (const verdict of verdicts) {
      expect(picture).toMatch(new RegExp(`class="ink word"[^>]*>${verdict}`));
      expect(picture).toMatch(new RegExp(`class="${verdict}"`));
    }
    expect(picture).toMatch(/<title>[A-Z].{40,}<\/title>/);
  });

  it("says when it is thin, when it fails, and what to do", () => {
    for (const heading of ["## Why it matters", "## The answer", "## What it needs", "## Example", "## What to do"]) {
      expect(page).toContain(heading);
    }
    expect(page).toMatch(/- \*\*thin\*\*/);
  });
});
