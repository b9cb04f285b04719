import { existsSync, readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { POLICY } from "../../src/config/policy.js";
import { MOMENT_KEYS } from "../../src/recovery/moments.js";
import { RULES } from "../../src/rules/index.js";

const SHARED = ["find-rule", "index", "rule", "say", "shared", "lacks", "verdict"];
const files = readdirSync("src/rules")
  .map((name) => name.replace(/\.ts$/, ""))
  .filter((name) => !SHARED.includes(name));

describe("the register of rules", () => {
  it("holds every rule file once, in word ids", () => {
    expect(RULES.map(({ id }) => id).sort()).toEqual(files.sort());
    for (const { id } of RULES) expect(id).toMatch(/^[a-z]+(-[a-z]+)+$/);
  });
});

describe.each(RULES.map((rule) => [rule.id, rule] as const))("%s", (id, rule) => {
  it("asks a question and says its unit", () => {
    expect(rule.question).toMatch(/^[A-Z].*\?$/);
    expect(["%", "m", "m/s", "s", "1", "share", "V"]).toContain(rule.unit);
  });

  it("has needs that are columns, and limits with a source", () => {
    if (rule.kind === "moment") {
      expect(rule.needs.length).toBeGreaterThan(0);
      for (const key of [...rule.needs, ...rule.accepts]) expect(MOMENT_KEYS).toContain(key);
    }
    for (const key of Object.values(rule.limits)) expect(POLICY[key].source, key).not.toBe("");
  });

  it("has a page in docs, with its id and question, and a test file", () => {
    const page = `docs/rules/${id}.md`;
    expect(existsSync(page), page).toBe(true);
    const text = readFileSync(page, "utf8");
    expect(text).toContain(`# ${id}`);
    expect(text).toContain(rule.question);
    expect(existsSync(`tests/rules/${id}.test.ts`)).toBe(true);
  });
});
