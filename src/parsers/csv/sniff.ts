import { UserError } from "../../user-error.js";
import { recogniseName } from "../recognise-name.js";
import { findUnits } from "../units.js";
import { cleanText } from "../clean-text.js";
import { ownText } from "../own-text.js";
import type { CsvDialect, SniffedCsv } from "./dialect.js";
import { offsetOfLine } from "./feed.js";
import { isPlain, readPlainRecords } from "./plain-records.js";
import type { RecordOptions } from "./record-reader.js";
import { sniffDecimals } from "./sniff-decimals.js";

const DELIMITERS = [",", ";", "\t", "|"] as const;
const COMMENT_MARKS = ["#", "//"] as const;
/** A header further down is no header but text. */
const HEADER_WITHIN = 100;

interface SniffedRecord {
  readonly cells: readonly string[];
  readonly line: number;
}

interface Candidate {
  readonly delimiter: CsvDialect["delimiter"];
  readonly records: readonly SniffedRecord[];
  readonly header: SniffedRecord;
  /** Names that mean something. */
  readonly known: number;
  /** Records as wide as the header. */
  readonly alike: number;
}

/**
 * Tells delimiter, comment mark, header, row of units and decimal mark from the beginning of a file.
 *
 * The header is the line with the most names that mean something, so that titles above it do no harm; the delimiter is
 * the one that makes most of it.
 * @param head the first block, UTF-8
 * @param isWhole false if more follows: the last record of the block is then left out
 * @param mapped names of columns that homeleg.yaml names: they mean something too
 * @throws UserError `log-not-a-log` if no line has columns, `log-no-header` if the columns have no names
 */
export async function sniffCsv(
  head: Uint8Array,
  isWhole: boolean,
  mapped: ReadonlySet<string>,
  path: string,
): Promise<SniffedCsv> {
  const text = new TextDecoder().decode(head);
  // A column may be called "#": then a delimiter follows.
  const comment = COMMENT_MARKS.find((mark) => new RegExp(`^${mark}(?![,;\\t|])`, "m").test(text));
  const candidates: Candidate[] = [];
  for (const delimiter of DELIMITERS) {
    // Without it no line has columns, and csv-parse need not be asked.
    if (!text.includes(delimiter)) continue;
    const records = await recordsOf(head, text, { delimiter, comment }, isWhole);
    const header = pickHeader(records, mapped) ?? (await commentedHeader(text, delimiter, comment, records, mapped));
    if (header !== undefined) candidates.push(asCandidate(delimiter, records, header, mapped));
  }
  const best = candidates.toSorted((a, b) => b.known - a.known || b.alike - a.alike)[0];
  if (best === undefined && !isWhole && !/[\r\n]./.test(text)) throw longHeader(head.length, path);
  if (best === undefined) {
    throw new UserError("log-not-a-log", "This is no flight log: no line of it has columns.", {
      where: { file: path },
      hint: "Export the flight as CSV or GPX.",
    });
  }
  if (best.known === 0 && isData(best.header.cells)) {
    throw new UserError("log-no-header", "The columns have no names.", {
      where: { file: path, line: best.header.line },
      hint: "Put a line with the names of the columns on top, such as time_s,latitude,longitude.",
    });
  }
  return describe(head, text, comment, best);
}

/** Names are looked for in the first block alone. */
function longHeader(size_bytes: number, path: string): UserError {
  const message = `The line with the names of the columns is longer than ${size_bytes} bytes.`;
  return new UserError("log-header-long", message, {
    where: { file: path, line: 1 },
    hint: "Export the flight as CSV or GPX.",
  });
}

function describe(head: Uint8Array, text: string, comment: string | undefined, best: Candidate): SniffedCsv {
  const { records, header, delimiter } = best;
  const after = records.filter(({ line }) => line > header.line);
  const below = after[0];
  const units = below !== undefined && isUnitsRow(below.cells) ? below : undefined;
  const sample = (units === undefined ? after : after.slice(1)).map(({ cells }) => cells);
  const firstLine = Math.min(header.line + 1, below?.line ?? header.line + 1);
  return {
    dialect: {
      delimiter,
      lineEnding: lineEndingOf(text),
      comment,
      decimals: sniffDecimals(sample, delimiter),
      headerLine: header.line,
      unitsLine: units?.line,
    },
    names: header.cells.map(nameOf),
    units: units?.cells.map(nameOf),
    sample,
    firstLine: records.includes(header) ? header.line : firstLine,
    skip_bytes: offsetOfLine(head, records.includes(header) ? header.line : firstLine),
  };
}

/** Names are kept in the result, long after the text that they are cut out of. */
function nameOf(cell: string): string {
  return ownText(cleanText(cell));
}

async function recordsOf(
  head: Uint8Array,
  text: string,
  options: RecordOptions,
  isWhole: boolean,
): Promise<SniffedRecord[]> {
  const records: SniffedRecord[] = [];
  const take = (cells: readonly string[], line: number): void => {
    if (cells.some((cell) => cleanText(cell) !== "")) records.push({ cells, line });
  };
  if (isPlain(text)) readPlainRecords(text, options, 1, take);
  else await (await import("./record-reader.js")).readRecords([head], options, 1, take);
  return isWhole ? records : records.slice(0, -1);
}

function pickHeader(records: readonly SniffedRecord[], mapped: ReadonlySet<string>): SniffedRecord | undefined {
  const near = records.slice(0, HEADER_WITHIN).filter(({ cells }) => cells.length > 1);
  const known = near.map(({ cells }) => countKnown(cells, mapped));
  const most = Math.max(0, ...known);
  return most === 0 ? undefined : near[known.indexOf(most)];
}

/** Some loggers put the names into a line of comment: `# time, lat, lon`. */
async function commentedHeader(
  text: string,
  delimiter: string,
  comment: string | undefined,
  records: readonly SniffedRecord[],
  mapped: ReadonlySet<string>,
): Promise<SniffedRecord | undefined> {
  const wide = records.find(({ cells }) => cells.length > 1);
  if (comment === undefined || wide === undefined) return wide;
  const lines = text.split(/\r\n|\n|\r/).slice(0, wide.line - 1);
  const index = lines.findLastIndex((line) => line.startsWith(comment));
  const named: SniffedRecord[] = [];
  const line = (lines[index] ?? "").slice(comment.length).trimStart();
  const { readRecords } = await import("./record-reader.js");
  await readRecords([Buffer.from(line)], { delimiter, comment: undefined }, index + 1, (cells, number) => {
    named.push({ cells, line: number });
  });
  return pickHeader(named, mapped) ?? wide;
}

function asCandidate(
  delimiter: CsvDialect["delimiter"],
  records: readonly SniffedRecord[],
  header: SniffedRecord,
  mapped: ReadonlySet<string>,
): Candidate {
  const alike = records.filter(({ cells }) => cells.length === header.cells.length).length;
  return { delimiter, records, header, known: countKnown(header.cells, mapped), alike };
}

function countKnown(cells: readonly string[], mapped: ReadonlySet<string>): number {
  return cells.filter((cell) => {
    const name = cleanText(cell);
    return mapped.has(name.toLowerCase()) || recogniseName(name) !== undefined;
  }).length;
}

/** Names of columns do not begin with digits, most of them at least. */
function isData(cells: readonly string[]): boolean {
  const filled = cells.map(cleanText).filter((cell) => cell !== "");
  return filled.filter((cell) => /^[-+]?[\d.,:]/.test(cell)).length * 2 > filled.length;
}

function isUnitsRow(cells: readonly string[]): boolean {
  const filled = cells.map(cleanText).filter((cell) => cell !== "" && cell !== "-");
  const units = filled.filter((cell) => findUnits(cell.replace(/^[([{]|[)\]}]$/g, "")).length > 0);
  return (
    units.length > 0 && units.length * 2 >= filled.length && !filled.some((cell) => /^[-+]?\d+[.,\d]*$/.test(cell))
  );
}

function lineEndingOf(text: string): CsvDialect["lineEnding"] {
  const first = /\r\n|\n|\r/.exec(text)?.[0];
  if (first === "\r\n") return "CRLF";
  return first === "\r" ? "CR" : "LF";
}
