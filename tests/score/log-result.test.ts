import { describe, expect, it } from "vitest";
import { logResult, resultProblems, unreadableResult } from "../../src/score/log-result.js";
import type { ParsedLog, Problem } from "../../src/track/track.js";
import { UserError } from "../../src/user-error.js";
import { settingOf } from "../helpers/declared.js";
import { flightOf } from "../helpers/results.js";
import { makeTrack, times } from "../track/make-track.js";

const STORED = { path: "logs/a.csv", sha256: "ab", bytes: 12 };
const PROBLEM: Problem = { severity: "warning", code: "odd", message: "Odd.", line: 7 };

describe("logResult", () => {
  const parsed: ParsedLog = {
    parser: "gpx",
    track: makeTrack(times(3)),
    rows: 4,
    rowsRejected: 1,
    channels: {
      height_m: { source: "alt", unit: "ft", filledShare: 0.123456789 },
      battery_pct: { source: "bat", unit: "%", filledShare: 1 },
    },
    unusedColumns: [],
    problems: [],
  };
  const result = flightOf();
  const resultOf = (crashes: ReadonlyMap<string, unknown> = new Map(), problems: readonly Problem[] = []) =>
    logResult({
      ...STORED,
      parsed,
      problems,
      flights: [result],
      crashes,
      setting: settingOf(),
    });

  it("says what was read, where each channel is from, and what was found", () => {
    expect(resultOf()).toEqual({
      path: "logs/a.csv",
      sha256: "ab",
      bytes: 12,
      parser: "gpx",
      rows: 4,
      rows_rejected: 1,
      channels: {
        height_m: { source: "alt", unit: "ft", filled_share: 0.123457 },
        battery_pct: { source: "bat", unit: "%", filled_share: 1 },
      },
      problems: [],
      declared_not_used: [],
      flights: [result],
    });
  });

  it("names rules that crashed before all other problems, by what they threw", () => {
    const crashes = new Map<string, unknown>([
      ["fix-weak", new Error("no fix")],
      ["cell-sag", "a text"],
    ]);
    expect(resultOf(crashes, [PROBLEM]).problems).toEqual([
      {
        severity: "error",
        code: "rule-crashed",
        message: "The rule fix-weak crashed (no fix) and counts as unknown; please report it.",
        line: null,
      },
      {
        severity: "error",
        code: "rule-crashed",
        message: "The rule cell-sag crashed (a text) and counts as unknown; please report it.",
        line: null,
      },
      { severity: "warning", code: "odd", message: "Odd.", line: 7 },
    ]);
  });
});

describe("resultProblems", () => {
  it("has null for no line", () => {
    expect(resultProblems([PROBLEM, { ...PROBLEM, line: undefined }])).toEqual([PROBLEM, { ...PROBLEM, line: null }]);
  });
});

describe("unreadableResult", () => {
  it("holds nothing but the one line that says why", () => {
    const error = new UserError("csv-empty", "It is empty.", { hint: "Log again.", where: { file: "a.csv", line: 3 } });
    expect(unreadableResult({ ...STORED, error })).toEqual({
      path: "logs/a.csv",
      sha256: "ab",
      bytes: 12,
      parser: null,
      rows: 0,
      rows_rejected: 0,
      channels: {},
      problems: [{ severity: "error", code: "csv-empty", message: "It is empty. Log again.", line: 3 }],
      declared_not_used: [],
      flights: [],
    });
    expect(unreadableResult({ ...STORED, error: new UserError("x", "It is empty.") }).problems).toEqual([
      { severity: "error", code: "x", message: "It is empty.", line: null },
    ]);
  });
});
