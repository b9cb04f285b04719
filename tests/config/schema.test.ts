import { readdirSync, readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import { POLICY } from "../../src/config/policy.js";
import { RULE_IDS } from "../../src/config/rule-ids.js";
import { homelegJsonSchema } from "../../src/config/schema.js";
import { SECTIONS } from "../../src/config/sections.js";
import { knownKeys } from "../../src/config/known-keys.js";
import { CHANNEL_IDS } from "../../src/track/channels.js";
import { FULL_EXAMPLE } from "./full-example.js";

describe("the JSON Schema for editors", () => {
  const validate = new Ajv2020({ strict: false }).compile(homelegJsonSchema());

  it("accepts the example of the design, and a path for any section", () => {
    expect(validate(parse(FULL_EXAMPLE))).toBe(true);
    expect(validate(Object.fromEntries(SECTIONS.map((section) => [section, "some.yaml"])))).toBe(true);
  });

  it("refuses an unknown key, and a value of the wrong kind", () => {
    expect(validate({ setings: {} })).toBe(false);
    expect(validate({ settings: { recovry_height: 5 } })).toBe(false);
    expect(validate({ settings: { lost_link_action: "fly" } })).toBe(false);
    expect(validate({ site: { obstacles: "none" } })).toBe(false);
  });
});

describe("the known keys", () => {
  it("are those of the tables that they come from", () => {
    expect(knownKeys([])).toEqual([...SECTIONS]);
    expect(knownKeys(["rules"])).toEqual([...RULE_IDS]);
    expect(knownKeys(["columns"])).toEqual([...CHANNEL_IDS]);
    const limits = Object.keys(POLICY).map((key) => key.split("."));
    for (const path of limits) expect(knownKeys(["policy", ...path.slice(0, -1)])).toContain(path.at(-1));
  });

  it("are found in lists and alternatives, and nowhere else", () => {
    expect(knownKeys(["site", "terrain", 0])).toEqual(["file", "surface", "error", "projection"]);
    expect(knownKeys(["recovery_point"])).toEqual(["latitude", "longitude"]);
    expect(knownKeys(["recovery_point", 3])).toEqual(["at", "latitude", "longitude"]);
    expect(knownKeys(["settings", "recovery_height"])).toEqual([]);
    expect(knownKeys(["constructor"])).toEqual([]);
  });
});

it("loads the schema library in the schema alone, and it and YAML only when they are needed", () => {
  const folder = new URL("../../src/config/", import.meta.url);
  const sources = readdirSync(folder).map((name) => [name, readFileSync(new URL(name, folder), "utf8")] as const);
  const importing = (what: RegExp): string[] => sources.filter(([, text]) => what.test(text)).map(([name]) => name);
  expect(importing(/^import (?!type).*from "zod"/m)).toEqual(["schema-fields.ts", "schema-policy.ts", "schema.ts"]);
  expect(importing(/^import (?!type).*from "\.\/(?:schema|schema-fields|schema-policy)\.js"/m)).toEqual([
    "known-keys.ts",
    "schema-policy.ts",
    "schema.ts",
    "validate.ts",
  ]);
  expect(importing(/^import (?!type).*from "(?:yaml|\.\/(?:assemble|read-yaml|sets)\.js)"/m)).toEqual([
    "assemble.ts",
    "read-yaml.ts",
    "sets.ts",
    "validate.ts",
  ]);
  expect(importing(/^import (?!type).*from "\.\/(?:known-keys|explain|validate)\.js"/m)).toEqual([
    "explain.ts",
    "validate.ts",
  ]);
});
