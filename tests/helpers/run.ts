import type { LogResult, RunResult } from "../../src/index.js";
import { logResult } from "../../src/score/log-result.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { summarize } from "../../src/score/gate.js";
import type { Given } from "./declared.js";
import { ALL_KNOWN } from "./moments.js";
import { landed, outAndBack, type Row } from "./flights.js";
import { replayRows } from "./replay.js";

/** @returns a log result made of one invented flight */
export function logOf(rows: readonly Row[], given: Given, path = "invented.csv"): LogResult {
  const replay = replayRows(rows, given);
  const flight = auditFlight(replay);
  return logResult({
    path,
    sha256: "0".repeat(64),
    bytes: 1,
    parsed: {
      parser: "csv",
      track: replay.track,
      rows: rows.length,
      rowsRejected: 0,
      channels: { battery: { source: "battery_pct", unit: "%", filledShare: 1 } },
      unusedColumns: [],
      problems: [],
    },
    problems: [{ severity: "note", code: "test", message: "A note.", line: 3 }],
    flights: [flight.result],
    crashes: new Map(),
    setting: replay.setting,
  });
}

/** @returns a run over logs, as the command line would make it */
export function runOf(logs: readonly LogResult[]): RunResult {
  return {
    format: "homeleg-result",
    format_version: 1,
    tool_version: "0.0.0",
    config: [],
    logs,
    summary: summarize(logs),
  };
}

/** A flight that turns back too late, with everything declared but the wind. */
export const LATE: readonly Row[] = landed(
  outAndBack({
    course_deg: 0,
    out_ms: 10,
    outFor_s: 440,
    back_ms: 10,
    height_m: 40,
    battery_pct: 100,
    rate_pctPerMin: 6,
    step_s: 1,
  }),
);

/** The same with a fix that is always good, so that nothing stays open. */
export const LATE_FIXED: readonly Row[] = LATE.map((row) => ({ ...row, satellites: 15, hdop: 1, fixType: 3 }));

/** An aircraft that drinks more on the way home than the flight of `LATE` can pay for. */
export const THIRSTY: Given = { ...ALL_KNOWN, drain: { hover: 8, climb: 10, cruise: 8, descent: 6 } };
