import type { InspectedColumn, InspectedFlight, LogInspection, Sampling } from "../inspect/inspection.js";
import { clock, sayIn } from "../rules/say.js";
import { columnLines } from "./column-lines.js";
import { dialectLines } from "./inspect-dialect-text.js";
import { printable, type Style, styleFor, type TextOptions, wrap } from "./text-style.js";
import { wantsByRule } from "./wants-by-rule.js";

/** Problems that are told beside their column. */
const TOLD_AT_COLUMN: ReadonlySet<string> = new Set([
  "unit-unknown",
  "meaning-unclear",
  "columns-tie",
  "date-order-unclear",
]);
/** Wider names, channels and units push their own line only. */
const CELL_MOST = 24;

const say = sayIn("metric");

/** @returns for people: how each log was understood, and what that costs */
export function inspectionReport(logs: readonly LogInspection[], options: TextOptions): string {
  const style = styleFor(options);
  return `${logs.map((log) => logLines(log, style).join("\n")).join("\n\n")}\n`;
}

function logLines(log: LogInspection, style: Style): string[] {
  const { ascii, width } = style.options;
  const name = style.strong(printable(log.path, ascii));
  const problems = log.problems.filter(({ code }) => !TOLD_AT_COLUMN.has(code));
  const told = problems.flatMap(({ severity, message, line }) => {
    const place = line === null ? "" : `line ${line}: `;
    return wrap(`${severity}: ${place}${printable(message, ascii)}`, width, "  ", "    ");
  });
  if (log.dialect === null || log.sampling === null) return [`${name}  ${style.verdict("fail", "not read")}`, ...told];
  return [
    name,
    ...dialectLines(log.dialect).flatMap((text) => wrap(printable(text, ascii), width, "  ", "    ")),
    ...recordingLines(log, log.sampling).flatMap((text) => wrap(text, width, "  ", "    ")),
    ...usedLines(log.columns, style),
    ...unusedLines(log.columns, style),
    ...flightLines(log.flights, style),
    ...missingLines(log.flights, style),
    ...(told.length === 0 ? [] : ["", style.strong("About the log"), ...told]),
  ];
}

function recordingLines(log: LogInspection, sampling: Sampling): string[] {
  const rejected = log.rows_rejected === 0 ? "none rejected" : `${log.rows_rejected} rejected`;
  const start = log.start_utc === null ? "" : `from ${log.start_utc.slice(0, 19).replace("T", " ")} UTC, `;
  const { median_step_s: step_s, rate_hz, gaps, longest_gap_s, breaks } = sampling;
  const rate =
    step_s === null || rate_hz === null ? "" : `, a row every ${short(step_s)} s (${short(rate_hz)} a second)`;
  const longest = longest_gap_s === null ? "" : `, the longest ${say.duration(longest_gap_s)}`;
  return [
    `${count(log.rows, "row")}, ${rejected}; ${start}${say.duration(log.duration_s ?? 0)}${rate}`,
    `${count(gaps, "gap")}${longest}; ${count(breaks, "break")} of the recording`,
  ];
}

function usedLines(columns: readonly InspectedColumn[], style: Style): string[] {
  const { ascii, width } = style.options;
  const used = columns.filter(({ channel }) => channel !== null);
  const rows = used.map((column) => {
    const { channel, unit, filled_share } = column;
    const filled = filled_share === null ? "" : `${Math.floor(filled_share * 100)} %`;
    return [column.column, channel ?? "", unit ?? "", filled, rangeText(column)].map((cell) => printable(cell, ascii));
  });
  const table = [["Column", "Channel", "Read in", "Filled", "Range"], ...rows];
  const widths = [0, 1, 2, 3].map((at) => {
    const lengths = table.map((row) => row[at]?.length ?? 0).filter((length) => length <= CELL_MOST);
    return Math.max(...lengths);
  });
  const [head = "", ...lines] = table.flatMap((row) => tableLines(row, widths, width));
  return ["", style.strong(head), ...lines];
}

/** A row as one line, or with its last cell on a second one where it would not fit. */
function tableLines(row: readonly string[], widths: readonly number[], width: number): string[] {
  const [column = "", channel = "", unit = "", filled = "", range = ""] = row;
  const cells = [column, channel, unit].map((cell, at) => cell.padEnd(widths[at] ?? 0));
  const head = `  ${[...cells, filled.padStart(widths[3] ?? 0)].join("  ")}`;
  const line = `${head}  ${range}`.trimEnd();
  return line.length <= width ? [line] : [head.trimEnd(), `${" ".repeat(6)}${range}`];
}

/** The range in SI; the unit is named where the column was read in another one. */
function rangeText({ channel, unit, range, because }: InspectedColumn): string {
  if (range === null) return channel === "time" ? because : "";
  const digits = channel?.endsWith("itude") === true && range.unit === "deg" ? 5 : 2;
  const ends = [...new Set([range.least, range.greatest].map((value) => short(value, digits)))].join(" to ");
  return range.unit === unit || ["1", "code", "flag"].includes(range.unit) ? ends : `${ends} ${range.unit}`;
}

function unusedLines(columns: readonly InspectedColumn[], style: Style): string[] {
  const { ascii, width } = style.options;
  const unused = columns.filter(({ channel }) => channel === null);
  if (unused.length === 0) return [];
  const whys = new Map<string, string[]>();
  for (const { column, because } of unused) {
    whys.set(because, [...(whys.get(because) ?? []), `"${printable(column, ascii)}"`]);
  }
  const said = [...whys].flatMap(([because, names]) =>
    wrap(`${names.join(", ")}: ${printable(because, ascii)}`, width, "  ", "    "),
  );
  const entries = columnLines(columns).map((line) => `    ${printable(line, ascii)}`);
  const ask =
    entries.length === 0
      ? []
      : [
          "",
          "Only you can say what these are. Check each line, then put it into homeleg.yaml:",
          "  columns:",
          ...entries,
        ];
  return ["", style.strong("Not used"), ...said, ...ask, ...nameLines(unused, style)];
}

/** Columns to be named in one go; more are only counted. */
const NAMES_MOST = 8;

/** Lines to paste for names that mean nothing here: only a person can say what they hold. */
function nameLines(unused: readonly InspectedColumn[], { options }: Style): string[] {
  const entries = unused.flatMap(({ entry }) => (entry === null ? [] : [entry]));
  if (entries.length === 0) return [];
  const left = entries.length - NAMES_MOST;
  return [
    "",
    ...wrap(
      "If one of the unknown names is a channel, put its line into homeleg.yaml with the channel's name " +
        "(battery, height and so on, see docs/formats.md), and a unit where the name has none:",
      options.width,
      "",
      "",
    ),
    "  columns:",
    ...entries.slice(0, NAMES_MOST).map((line) => `    ${printable(line, options.ascii)}`),
    ...(left > 0 ? [`    and ${left} more`] : []),
  ];
}

function flightLines(flights: readonly InspectedFlight[], style: Style): string[] {
  const { ascii, width } = style.options;
  const lines = flights.flatMap((flight) => {
    const { basis, from } = flight.recovery_point;
    const facts = [
      `${clock(flight.start_s)}${style.dash}${clock(flight.end_s)}, ${say.duration(flight.airborne_s)}`,
      flight.basis === "measured" ? "found by the log's own flag" : "found by how it moved",
      ...(flight.begins_in_air ? ["begins in the air"] : []),
      ...(flight.ends_in_air ? ["ends in the air"] : []),
    ];
    const indent = " ".repeat(String(flight.index).length + 4);
    return [
      ...wrap(facts.join(", "), width, `  ${flight.index}  `, indent),
      ...wrap(`recovery point: ${basis}, ${printable(from, ascii)}`, width, indent, indent),
    ];
  });
  return ["", style.strong("Flights"), ...(lines.length === 0 ? ["  none, so that no rule can be asked"] : lines)];
}

function missingLines(flights: readonly InspectedFlight[], style: Style): string[] {
  const { ascii, width } = style.options;
  const wants = [...wantsByRule(flights)];
  if (wants.length === 0) return [];
  return [
    "",
    style.strong("What is missing, and the rules that it costs"),
    ...wants.flatMap(([rule, labels]) =>
      wrap(printable(`${rule}: wants ${labels.join("; ")}`, ascii), width, "  ", "    "),
    ),
    "  `homeleg init` writes a homeleg.yaml for this log to fill in.",
  ];
}

function count(n: number, noun: string): string {
  return `${n === 0 ? "no" : n} ${noun}${n === 1 ? "" : "s"}`;
}

/** At most so many decimals, and no zeros at the end. */
function short(value: number, digits = 2): string {
  return String(Number(value.toFixed(digits)) + 0);
}
