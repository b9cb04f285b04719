import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { auditLog, jsonReport, loadSetting, summarize, textReport } from "../../src/index.js";
import { RUN_SCHEMA } from "../../src/reporters/schemas/result-schema.js";

const FOLDER = "fixtures/parsers";
const files = readdirSync(FOLDER).filter((name) => /\.(csv|gpx|gz|tsv|txt)$/.test(name));

describe("every quirk that a log can have goes through an audit", () => {
  it("there are at least forty", () => {
    expect(files.length).toBeGreaterThanOrEqual(40);
  });

  it.each(files)("%s", async (name) => {
    const path = join(FOLDER, name);
    const setting = await loadSetting();
    const { result, crashes } = await auditLog(readFileSync(path), setting, { path });
    expect([...crashes.keys()]).toEqual([]);
    const errors = result.problems.filter(({ severity }) => severity === "error");
    if (result.parser === null) expect(errors).toHaveLength(1);
    const run = {
      format: "homeleg-result",
      format_version: 1,
      tool_version: "0",
      config: [],
      logs: [result],
      summary: summarize([result]),
    } as const;
    expect(RUN_SCHEMA.safeParse(JSON.parse(jsonReport(run))).error).toBeUndefined();
    const look = { color: 0, ascii: true, width: 80, units: "metric", quiet: false, explainScore: true } as const;
    expect(textReport(run, look)).toMatch(/^[\n\u0020-\u007e]*$/);
  });
});
