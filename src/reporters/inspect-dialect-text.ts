import type { LogDialect } from "../inspect/inspection.js";

const ENCODINGS = {
  "utf-8": "UTF-8",
  "utf-16le": "UTF-16 LE",
  "utf-16be": "UTF-16 BE",
  "windows-1252": "Latin-1",
} as const;
const DELIMITERS = { ",": "comma", ";": "semicolon", "\t": "tab", "|": "pipe" } as const;
const DECIMALS = { point: "decimal point", comma: "decimal comma", mixed: "decimal points and commas" } as const;

/** @returns how the bytes of a log became rows, a sentence a line, not wrapped */
export function dialectLines(dialect: LogDialect): string[] {
  const packing = `${ENCODINGS[dialect.encoding]}${dialect.gzip ? ", packed with gzip" : ""}`;
  return [`${formText(dialect)}, ${packing}`, readerText(dialect), timeText(dialect)];
}

function readerText(dialect: LogDialect): string {
  if (dialect.kind === "gpx") return lanesText("points", dialect.points_plain, dialect.points_by_xml_parser, "XML");
  return lanesText("rows", dialect.rows_plain, dialect.rows_by_csv_parser, "CSV");
}

function lanesText(noun: string, plain: number, parsed: number, format: string): string {
  const whole = plain === 0 ? "all of them" : `${parsed} of them`;
  return `${noun}: ${plain + parsed}${parsed === 0 ? ", all plain" : `, ${whole} by the full ${format} parser`}`;
}

function formText(dialect: LogDialect): string {
  if (dialect.kind === "gpx") {
    const count = (n: number, noun: string): string => `${n} ${noun}${n === 1 ? "" : "s"}`;
    const version = dialect.version === null ? "" : ` ${dialect.version}`;
    return `GPX${version}, ${count(dialect.tracks, "track")}, ${count(dialect.segments, "segment")}`;
  }
  const { delimiter, decimals, header_line, units_line, comment_mark, line_ending } = dialect;
  return [
    `CSV, ${DELIMITERS[delimiter]}, ${DECIMALS[decimals]}`,
    `names in line ${header_line}`,
    ...(units_line === null ? [] : [`units in line ${units_line}`]),
    ...(comment_mark === null ? [] : [`comments begin with ${comment_mark}`]),
    line_ending,
  ].join(", ");
}

function timeText({ time_format, time_zone }: LogDialect): string {
  if (time_zone === null) return `time: ${time_format}, from a start that the log does not say`;
  const zone = time_zone === "utc" ? "UTC" : "taken as UTC, for no zone is stated";
  return `time: ${time_format}, ${zone}`;
}
