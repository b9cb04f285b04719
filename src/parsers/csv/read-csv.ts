import type { Declared } from "../../config/declared.js";
import type { Channel } from "../../track/channels.js";
import type { ParsedLog } from "../../track/track.js";
import { UserError } from "../../user-error.js";
import { assembleTrack, type ReadRows } from "../assemble-track.js";
import type { PeekedBlocks } from "../byte-blocks.js";
import type { ColumnUse } from "../column-use.js";
import { columnsSnippet } from "../columns-snippet.js";
import type { ProblemList } from "../problem-list.js";
import { assignColumns, type AssignedColumn, type ColumnPlan } from "./assign-columns.js";
import { numberReader } from "../cell-readers.js";
import { cleanText } from "../clean-text.js";
import type { CsvDialect, SniffedCsv } from "./dialect.js";
import { LastByte, skipBytes } from "./feed.js";
import { readRecords } from "./record-reader.js";
import { RowTaker } from "./row-taker.js";
import { sniffCsv } from "./sniff.js";
import { listNames } from "./time-plan.js";

/** Why a column fills a channel. */
export interface ColumnReason {
  readonly column: string;
  readonly channel: Channel | "mode";
  readonly unit: string | undefined;
  readonly because: string;
}

/** What the CSV parser makes of a file, with how it was understood. */
export interface CsvParsedLog extends ParsedLog {
  readonly parser: "csv";
  readonly dialect: CsvDialect;
  readonly reasons: readonly ColumnReason[];
  /** Every column with a name, in the order of the log. */
  readonly columns: readonly ColumnUse[];
}

/**
 * Reads a CSV log, block by block; only the columns that are used are kept, as numbers.
 *
 * @param peeked the text as UTF-8
 * @param packing how the bytes became that text
 * @throws UserError for a log without rows, time or position, and for what homeleg.yaml gets wrong about its columns
 */
export async function readCsv(
  peeked: PeekedBlocks,
  packing: Pick<CsvDialect, "encoding" | "isGzip">,
  options: { readonly path: string; readonly columns?: Declared["columns"] | undefined },
  problems: ProblemList,
): Promise<CsvParsedLog> {
  const { path, columns = {} } = options;
  const mapped = new Set(Object.values(columns).map(({ column }) => column.trim().toLowerCase()));
  const sniffed = await sniffCsv(peeked.head, peeked.isWhole, mapped, path);
  const readNumber = numberReader(sniffed.dialect.decimals);
  if (peeked.isWhole && sniffed.sample.length === 0) throw noRows(sniffed, path);
  const plan = assignColumns(sniffed, columns, readNumber, problems, path);
  requirePosition(plan, sniffed, path);
  const taker = new RowTaker(plan, readNumber, problems);
  const segmentStarts = await takeRows(peeked, sniffed, taker, problems);
  if (taker.rows === 0) throw noRows(sniffed, path);
  if (taker.time_us.length === 0) throw allRejected(taker, problems, path);
  noteTime(plan, problems);
  const { track, channels } = assembleTrack(readRows(plan, taker, segmentStarts), problems);
  requireSomePosition(track.columns.latitude_deg, path);
  return {
    parser: "csv",
    track,
    rows: taker.rows,
    rowsRejected: taker.rowsRejected,
    channels,
    unusedColumns: plan.unused,
    problems: [],
    dialect: { ...sniffed.dialect, ...packing },
    reasons: plan.assigned.map(({ name, channel, unit, because }) => ({
      column: name,
      channel,
      unit: unit?.name,
      because,
    })),
    columns: plan.uses,
  };
}

/** @returns rows at which a repeated header began a new segment */
async function takeRows(
  { blocks }: PeekedBlocks,
  { dialect, names, firstLine, skip_bytes }: SniffedCsv,
  taker: RowTaker,
  problems: ProblemList,
): Promise<readonly number[]> {
  const segmentStarts: number[] = [];
  const last = new LastByte();
  const width = names.findLastIndex((name) => name !== "") + 1;
  // One row is held back, since the last of a cut file must not be taken.
  let held: { cells: readonly string[]; line: number } | undefined;
  let before: readonly string[] | undefined;
  const takeHeld = (): void => {
    if (held === undefined) return;
    takeRow(held.cells, held.line, width, taker);
    before = held.cells;
    held = undefined;
  };
  const broken = await readRecords(last.watch(skipBytes(blocks, skip_bytes)), dialect, firstLine, (cells, line) => {
    if (line <= dialect.headerLine || line === dialect.unitsLine || isBlank(cells)) return;
    takeHeld();
    if (isHeader(cells, names)) segmentStarts.push(taker.time_us.length);
    else held = { cells, line };
  });
  if (broken === undefined && held !== undefined && !last.isLineBreak && looksCut(held.cells, before, width)) {
    problems.add("warning", "truncated", "The file breaks off in this line, which was left out.", held.line);
    held = undefined;
  }
  takeHeld();
  if (broken !== undefined) reportBreak(broken, problems);
  if (segmentStarts.length > 0) {
    problems.add(
      "note",
      "header-repeated",
      `The header comes ${segmentStarts.length} more ${segmentStarts.length === 1 ? "time" : "times"}: each begins a new segment.`,
    );
  }
  return segmentStarts;
}

/**
 * A last line without an end was cut if cells are lacking, or if its last cell has other decimals than that of the row
 * before: `12.5` after `12.47` may be half of 12.53.
 */
function looksCut(cells: readonly string[], before: readonly string[] | undefined, width: number): boolean {
  if (cells.length < width) return true;
  const cell = cleanText(cells[width - 1] ?? "");
  const other = before === undefined ? cell : cleanText(before[width - 1] ?? "");
  return cells.length === width && /\d/.test(cell) && /\d/.test(other) && decimalsOf(cell) !== decimalsOf(other);
}

function decimalsOf(cell: string): number {
  return /[.,](\d*)\D*$/.exec(cell)?.[1]?.length ?? -1;
}

/** More cells than names means that some comma is no delimiter: what stands where cannot be told. */
function takeRow(cells: readonly string[], line: number, width: number, taker: RowTaker): void {
  if (cells.length > width && cells.slice(width).some((cell) => cleanText(cell) !== "")) {
    taker.rows += 1;
    taker.reject(line, () => `it has ${cells.length} cells for ${width} columns.`);
  } else {
    taker.take(cells, line);
  }
}

function isBlank(cells: readonly string[]): boolean {
  for (const cell of cells) if (cell !== "" && cleanText(cell) !== "") return false;
  return true;
}

function isHeader(cells: readonly string[], names: readonly string[]): boolean {
  return (
    cells[0] !== undefined &&
    cleanText(cells[0]) === names[0] &&
    names.every((name, index) => cleanText(cells[index] ?? "") === name)
  );
}

function reportBreak(broken: { line: number; lastLine: number }, problems: ProblemList): void {
  const lines = broken.lastLine - broken.line;
  problems.add(
    "warning",
    "truncated",
    lines > 0
      ? `A quote that opens in this row is never closed: the row and the ${lines} lines after it were left out.`
      : "The file breaks off in this line, which was left out.",
    broken.line,
  );
}

function noteTime({ time: { main, utc } }: ColumnPlan, problems: ProblemList): void {
  if (main.isZoneAssumed || utc?.isZoneAssumed === true) {
    problems.add("note", "time-zone-assumed", "The times state no zone: they were taken as UTC.");
  }
}

function readRows(plan: ColumnPlan, taker: RowTaker, segmentStarts: readonly number[]): ReadRows {
  const { main } = plan.time;
  const { mode } = taker;
  return {
    time_us: taker.time_us,
    timeOrigin: { source: main.columns.map(({ name }) => name).join(" + "), unit: main.unitName },
    utcOffset_us: taker.utcOffset_us,
    columns: new Map(
      taker.fields.map(({ channel, values, name, unit }) => [
        channel,
        { values, origin: { source: name, unit: unit.name } },
      ]),
    ),
    mode: mode && { codes: mode.codes, words: mode.words, origin: { source: mode.column.name, unit: "text" } },
    segmentStarts,
  };
}

function requirePosition(plan: ColumnPlan, { names, dialect }: SniffedCsv, path: string): void {
  const has = (wanted: AssignedColumn["channel"]): boolean => plan.assigned.some(({ channel }) => channel === wanted);
  const lacking = [
    ...(has("latitude_deg") ? [] : (["latitude"] as const)),
    ...(has("longitude_deg") ? [] : (["longitude"] as const)),
  ];
  const [first] = lacking;
  if (first === undefined) return;
  throw new UserError(
    "log-no-position",
    `No column for ${lacking.join(" and ")} was recognised among ${listNames(names)}.`,
    {
      where: { file: path, line: dialect.headerLine },
      hint: `Map it in homeleg.yaml: ${columnsSnippet(first, "NAME", "deg")}`,
    },
  );
}

function requireSomePosition(latitudes: Float64Array, path: string): void {
  if (latitudes.some((value) => !Number.isNaN(value))) return;
  throw new UserError("log-no-position", "No row has a position (0, 0 is none).", { where: { file: path } });
}

function noRows({ dialect }: SniffedCsv, path: string): UserError {
  return new UserError("log-no-rows", "There are no rows below the header.", {
    where: { file: path, line: dialect.headerLine },
    hint: "Export the flight again.",
  });
}

function allRejected({ rows }: RowTaker, problems: ProblemList, path: string): UserError {
  const first = problems.list().find(({ code }) => code === "row-rejected");
  const count = rows === 1 ? "The only row was" : `All ${rows} rows were`;
  return new UserError(
    "log-no-rows",
    `${count} rejected; the first: ${first?.message.replace("Row rejected: ", "") ?? ""}`,
    {
      where: { file: path, line: first?.line },
    },
  );
}
