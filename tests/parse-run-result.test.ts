import { describe, expect, it } from "vitest";
import { parseRunResult } from "../src/parse-run-result.js";
import { jsonReport } from "../src/reporters/json.js";
import { DEFAULT_GATE, summarize } from "../src/score/gate.js";
import type { RunResult } from "../src/score/result.js";
import { UserError } from "../src/user-error.js";
import { logWith } from "./helpers/results.js";

const logs = [{ ...logWith("a.csv", []), sha256: "0".repeat(64) }];
const run: RunResult = {
  format: "homeleg-result",
  format_version: 1,
  tool_version: "1.2.3",
  config: [],
  logs,
  summary: summarize(logs, DEFAULT_GATE),
};

describe("parseRunResult", () => {
  it("reads what the report wrote, so that it is written to the same bytes again", async () => {
    const text = jsonReport(run);
    expect(jsonReport(await parseRunResult(text, "a.json"))).toBe(text);
  });

  it.each([
    ["half of one", jsonReport(run).slice(0, 200), "a.json  This is no JSON, or not all of it."],
    ["another object", "{}", "a.json  This is no result of an audit."],
    ["a list", "[]", "a.json  This is no result of an audit."],
    ["null", "null", "a.json  This is no result of an audit."],
    [
      "a later version",
      JSON.stringify({ ...run, format_version: 2 }),
      "otherwise than it was written, at format_version",
    ],
    ["a changed one", JSON.stringify({ ...run, logs: [{ ...logs[0], rows: -1 }] }), "at logs.0.rows"],
  ])("says in one line that %s is no result", async (_what, text, line) => {
    const error: unknown = await parseRunResult(text, "a.json").catch((thrown: unknown) => thrown);
    expect(error).toBeInstanceOf(UserError);
    expect((error as UserError).line).toContain(line);
    expect((error as UserError).line).not.toContain("\n");
  });
});
