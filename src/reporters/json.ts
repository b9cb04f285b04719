import type { LogResult, RunToReport } from "../score/result.js";
import { jsonText } from "./escape/json-text.js";

/** @returns the whole run as one JSON object, with a line feed at the end */
export function jsonReport(run: RunToReport): string {
  return [...jsonPieces(run)].join("");
}

/** @returns one line a log, the same entries as `logs[]`, and nothing else */
export function ndjsonReport(logs: Iterable<LogResult>): string {
  return [...ndjsonPieces(logs)].join("");
}

/** The lines of `ndjsonReport` one by one: all of them can be longer than a string. */
export function* ndjsonPieces(logs: Iterable<LogResult>): Generator<string> {
  for (const log of logs) yield `${jsonText(log, 0)}\n`;
}

/** `jsonReport` log by log: the whole of it can be longer than a string. */
export function* jsonPieces(run: RunToReport): Generator<string> {
  const fields = Object.entries(run);
  yield "{";
  for (const [i, [key, value]] of fields.entries()) {
    yield `${i === 0 ? "" : ","}\n  ${JSON.stringify(key)}: `;
    if (key === "logs") yield* listPieces(run.logs);
    else yield indented(jsonText(value, 2), 2);
  }
  yield "\n}\n";
}

function* listPieces(items: Iterable<unknown>): Generator<string> {
  let count = 0;
  for (const item of items) {
    yield `${count === 0 ? "[" : ","}\n    ${indented(jsonText(item, 2), 4)}`;
    count += 1;
  }
  yield count === 0 ? "[]" : "\n  ]";
}

/** A line feed in a JSON text is layout: those in strings are escaped. */
function indented(json: string, by: number): string {
  return json.replaceAll("\n", `\n${" ".repeat(by)}`);
}
