import { existsSync, readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { POLICY } from "../../src/config/policy.js";
import { MOMENT_KEYS } from "../../src/recovery/moments.js";
import { RULES } from "../../src/rules/index.js";
import { LACKS } from "../../src/rules/lacks.js";
import { sayIn } from "../../src/rules/say.js";
import { limitsOf } from "../../src/rules/rule.js";
import { ALL_KNOWN, shortReplay } from "../helpers/moments.js";

const REPLAYS = [
  shortReplay(),
  shortReplay(20, {}),
  ...(["return", "land", "hold"] as const).map((lostLinkAction) =>
    shortReplay(20, { ...ALL_KNOWN, settings: { ...ALL_KNOWN.settings, lostLinkAction } }),
  ),
];
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

  it.each(REPLAYS)("rests on known bases, and lacks what has words (%#)", (replay) => {
    for (const basis of rule.bases(replay)) {
      expect(["measured", "declared", "fitted", "inferred", "assumed"]).toContain(basis);
    }
    const ask = { worst: new Uint8Array(replay.length), codesOf: () => undefined };
    const lacks =
      rule.kind === "moment"
        ? rule.lacks(replay)
        : (rule.judge(replay, limitsOf(rule, replay.setting.policy), sayIn("metric"), ask).lacks ?? []);
    for (const lack of lacks) expect(Object.keys(LACKS)).toContain(lack);
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
