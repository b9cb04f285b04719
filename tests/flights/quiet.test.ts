import { readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { describe, expect, it } from "vitest";
import { auditLog, loadSetting } from "../../src/index.js";

/** Invented flights that a pilot would call ordinary; see fixtures/README.md. */
function logsUnder(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return logsUnder(path);
    return /\.(csv|gpx)$/.test(entry.name) ? [path] : [];
  });
}

const logs = [...logsUnder("fixtures/quiet"), ...logsUnder("fixtures/recovery")];

describe("ordinary good flights", () => {
  it("are there", () => {
    expect(logs.length).toBeGreaterThanOrEqual(13);
  });

  it.each(logs)("%s: no fail, and no thin that the log itself decides", async (path) => {
    const setting = await loadSetting({ startFolder: dirname(path) });
    const { result } = await auditLog(readFileSync(path), setting, { path });
    expect(result.problems.filter(({ severity }) => severity !== "note")).toEqual([]);
    expect(result.flights.length).toBeGreaterThan(0);
    const told = result.flights.flatMap(({ findings }) =>
      findings.filter(({ by_assumption_alone }) => !by_assumption_alone),
    );
    expect(told.map(({ rule, verdict, message }) => `${verdict} ${rule}: ${message}`)).toEqual([]);
  });
});
