import { sayIn } from "../rules/say.js";
import type { LogResult, RunToReport, Summary } from "../score/result.js";
import { CAUTION } from "./flight-words.js";
import { linesText } from "./lines-text.js";
import { flightLines, quietLine } from "./text-flight.js";
import { printable, type Style, styleFor, type TextOptions, wrap } from "./text-style.js";

export type { TextOptions } from "./text-style.js";

/** @returns the run for people: each flight with its findings, then the run in a line */
export function textReport(run: RunToReport, options: TextOptions): string {
  return [...textPieces(run, options)].join("");
}

/** `textReport` log by log. */
export function* textPieces(run: RunToReport, options: TextOptions): Generator<string> {
  const style = styleFor(options);
  const isFull = run.summary.logs === 1;
  const notUsed = new Set<string>();
  for (const log of run.logs) {
    for (const path of log.declared_not_used) notUsed.add(path);
    yield linesText(options.quiet ? quietLines(log, style) : [...logLines(log, style, isFull), ""]);
  }
  const tail = options.quiet ? [] : wrap(CAUTION, options.width, "", "").map(style.faint);
  yield linesText([...summaryLines(run.summary, [...notUsed], style), ...tail]);
}

function quietLines(log: LogResult, style: Style): string[] {
  if (log.parser === null) {
    const why = log.problems[0]?.message ?? "";
    return [`UNREAD  ${printable(`${log.path}  ${why}`, style.options.ascii)}`];
  }
  if (log.flights.length === 0) return [`NO FLIGHT  ${printable(log.path, style.options.ascii)}`];
  return log.flights.map((flight) => quietLine(log, flight, style));
}

function logLines(log: LogResult, style: Style, isFull: boolean): string[] {
  const { ascii, width } = style.options;
  const problems = log.problems.flatMap(({ severity, message, line }) => {
    const place = line === null ? "" : `line ${line}: `;
    return wrap(`${severity}: ${place}${printable(message, ascii)}`, width, "  ", "    ");
  });
  if (log.parser === null) {
    return [`${style.strong(printable(log.path, ascii))}  ${style.verdict("fail", "not read")}`, ...problems];
  }
  const rule = style.faint("=".repeat(Math.min(width, 72)));
  const flights = log.flights.flatMap((flight, i) => [
    ...(i > 0 ? [""] : []),
    rule,
    ...flightLines(log, flight, style, isFull),
  ]);
  const notes = problems;
  const heading = log.flights.length === 0 ? [rule, style.strong(printable(log.path, ascii))] : [];
  return [...heading, ...flights, ...(notes.length > 0 ? ["", style.strong("About the log"), ...notes] : [])];
}

function summaryLines(summary: Summary, notUsed: readonly string[], style: Style): string[] {
  const { ascii, width } = style.options;
  const say = sayIn(style.options.units);
  const count = (n: number, noun: string): string => `${n} ${noun}${n === 1 ? "" : "s"}`;
  const facts = [
    count(summary.logs, "log"),
    ...(summary.logs_unreadable > 0 ? [`${summary.logs_unreadable} not read`] : []),
    count(summary.flights, "flight"),
    `${say.duration(summary.airborne_s)} in the air`,
    count(summary.findings, "finding"),
    ...(summary.score_min === null || summary.logs < 2
      ? []
      : [`lowest score ${summary.score_min}`, `median ${summary.score_median}`]),
  ];
  const { gate } = summary;
  const verdict = gate.passed ? "Gate passed." : "Gate not passed:";
  const reasons = gate.reasons.flatMap(({ message }) => wrap(printable(message, ascii), width, "  ", "    "));
  return [
    style.faint("=".repeat(Math.min(width, 72))),
    ...wrap(`${facts.join(", ")}.`, width, "", ""),
    style.strong(verdict),
    ...reasons,
    "",
    ...(notUsed.length > 0 ? [...wrap(`Declared, not used yet: ${notUsed.join(", ")}.`, width, "", ""), ""] : []),
  ];
}
