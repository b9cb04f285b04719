import { parse } from "csv-parse/sync";
import { describe, expect, it } from "vitest";
import { unreadLog, UserError } from "../../src/index.js";
import { findingsCsv, flightsCsv } from "../../src/reporters/csv.js";
import { FORMULA, hostileLog, UNSAFE } from "../helpers/hostile.js";
import { LATE, LATE_FIXED, logOf, runOf, THIRSTY } from "../helpers/run.js";

const late = logOf(LATE_FIXED, THIRSTY);
const flight = late.flights[0];
const read = (text: string): Record<string, string>[] => parse(text, { columns: true });
const cell = (value: number | string | boolean | null | undefined): string => String(value ?? "");

describe("flightsCsv", () => {
  it("has one row a flight, with the numbers of the result", () => {
    const [row, ...others] = read(flightsCsv(runOf([late])));
    expect(others).toEqual([]);
    expect(row).toMatchObject({
      log: "invented.csv",
      flight: "1",
      verdict: "fail",
      score: cell(flight?.score),
      coverage_share: cell(flight?.coverage.share),
      fail_s: cell(flight?.fail_s),
      thin_s: cell(flight?.thin_s),
      airborne_s: cell(flight?.airborne_s),
      farthest_m: cell(flight?.farthest_m),
      battery_end_pct: cell(flight?.battery_end_pct),
      turnback_passed: "true",
      turnback_outbound_after_s: cell(flight?.turnback?.outbound_after_s),
      recovery_point_basis: "declared",
      note: "",
    });
    expect(row?.["fail_rules"]).toMatch(/^reserve-short turnback-late/);
  });

  it("leaves empty what is not known, never 0", () => {
    const bare = logOf(
      LATE.map(({ battery_pct: _, ...row }) => row),
      {},
    );
    const [row] = read(flightsCsv(runOf([bare])));
    expect(row).toMatchObject({ battery_start_pct: "", turnback_passed: "", start_utc: "" });
  });

  it("has a row for a log that was not read, or that holds no flight", () => {
    const unread = unreadLog("gone.csv", new UserError("path-unusable", "There is no file gone.csv."));
    const empty = { ...late, path: "still.csv", flights: [] };
    const rows = read(flightsCsv(runOf([unread, empty])));
    expect(rows.map(({ log, flight: index, verdict, note }) => [log, index, verdict, note])).toEqual([
      ["gone.csv", "", "not-read", "There is no file gone.csv."],
      ["still.csv", "", "no-flight", ""],
    ]);
  });
});

describe("findingsCsv", () => {
  it("has one row a finding, with the numbers of the result", () => {
    const rows = read(findingsCsv(runOf([late])));
    expect(rows).toHaveLength(flight?.findings.length ?? -1);
    flight?.findings.forEach((finding, i) => {
      expect(rows[i]).toMatchObject({
        flight: "1",
        rule: finding.rule,
        verdict: finding.verdict,
        duration_s: cell(finding.duration_s),
        worst_at_s: cell(finding.worst.at_s),
        worst_latitude_deg: cell(finding.worst.latitude_deg),
        value: cell(finding.worst.value),
        limit: cell(finding.worst.limit),
        message: finding.message,
      });
    });
  });
});

it("keeps hostile text harmless in both tables", () => {
  const run = runOf([hostileLog(late)]);
  for (const text of [flightsCsv(run), findingsCsv(run)]) {
    expect(text).not.toMatch(UNSAFE);
    for (const row of read(text))
      for (const value of Object.values(row)) expect(value).not.toMatch(/^\s*[=@+]|^\s*-\D/);
    expect(read(text)[0]?.["log"]).toMatch(/^'=HYPERLINK/);
  }
  expect(FORMULA).toMatch(/^=/);
});
