import { jsonText } from "./escape/json-text.js";
import type { LogResult, RunResult } from "../score/result.js";

/** @returns the whole run as one JSON object, with a line feed at the end */
export function jsonReport(run: RunResult): string {
  return `${jsonText(run, 2)}\n`;
}

/** @returns one line a log, the same entries as `logs[]`, and nothing else */
export function ndjsonReport(logs: readonly LogResult[]): string {
  return logs.map((log) => `${jsonText(log, 0)}\n`).join("");
}
