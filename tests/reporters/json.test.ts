import { describe, expect, it } from "vitest";
import { jsonText } from "../../src/reporters/escape/json-text.js";
import { jsonPieces, jsonReport, ndjsonReport } from "../../src/reporters/json.js";
import { JSON_SCHEMAS } from "../../src/reporters/schemas/index.js";
import { RUN_SCHEMA, SCHEMA_MATCHES_TYPES } from "../../src/reporters/schemas/result-schema.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { LATE, logOf, runOf } from "../helpers/run.js";
import { notFinite, validator } from "../helpers/validator.js";

const run = runOf([logOf(LATE, ALL_KNOWN)]);

const validate = validator(JSON_SCHEMAS["result.schema.json"]);

describe("the JSON result", () => {
  it("is valid by its own schema, by two validators", () => {
    const parsed: unknown = JSON.parse(jsonReport(run));
    expect(validate(parsed)).toEqual([]);
    expect(notFinite(run)).toEqual([]);
    expect(RUN_SCHEMA.safeParse(parsed).success).toBe(true);
    expect(SCHEMA_MATCHES_TYPES).toBe(true);
  });

  it("is refused with anything missing, added or out of range", () => {
    const broken = (change: (value: Record<string, unknown>) => void): string[] => {
      const value = JSON.parse(jsonReport(run)) as Record<string, unknown>;
      change(value);
      return validate(value);
    };
    expect(broken((value) => delete value["summary"])).not.toEqual([]);
    expect(broken((value) => (value["surplus"] = 1))).not.toEqual([]);
    expect(broken((value) => (value["format_version"] = 2))).not.toEqual([]);
    expect(broken((value) => (value["tool_version"] = null))).not.toEqual([]);
  });

  it("is laid out in pieces as JSON lays it out in one, with no log, one and several", () => {
    for (const logs of [[], ["a.csv"], ["a.csv", "b\n\u202e.csv"]]) {
      const some = runOf(logs.map((path) => logOf(LATE, ALL_KNOWN, path)));
      expect(jsonReport(some)).toBe(`${jsonText(some, 2)}\n`);
      expect([...jsonPieces(some)].length).toBeGreaterThan(logs.length);
    }
  });

  it("has one line a log in ndjson, the same entries, and nothing else", () => {
    const two = runOf([logOf(LATE, ALL_KNOWN, "a.csv"), logOf(LATE, ALL_KNOWN, "b.csv")]);
    const lines = ndjsonReport(two.logs).split("\n");
    expect(lines.pop()).toBe("");
    expect(lines.map((line): unknown => JSON.parse(line))).toEqual(JSON.parse(JSON.stringify(two.logs)));
  });

  it("names every input with a basis", () => {
    const inputs = Object.values(run.logs[0]?.flights[0]?.inputs ?? {});
    expect(inputs.length).toBeGreaterThan(10);
    for (const { basis, from } of inputs) {
      expect(["measured", "declared", "fitted", "inferred", "assumed"]).toContain(basis);
      expect(from).not.toBe("");
    }
  });
});
