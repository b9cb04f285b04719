import type { Declared } from "../../config/declared.js";
import type { Reading } from "../../config/reading.js";
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
import { mostRows } from "../most.js";
import type { CsvDialect, SniffedCsv } from "./dialect.js";
import { RowTaker } from "./row-taker.js";
import { sniffCsv } from "./sniff.js";
import type { LaneRows } from "./row-sink.js";
import { takeRows } from "./take-rows.js";
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
  /** Which reader the rows went through; they read alike. */
  readonly lanes: LaneRows;
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
  options: {
    readonly path: string;
    readonly columns?: Declared["columns"] | undefined;
    readonly reading: Reading;
    readonly lanes?: "all" | "none" | undefined;
  },
  problems: ProblemList,
): Promise<CsvParsedLog> {
  const { path, columns = {} } = options;
  const mapped = new Set(Object.values(columns).map(({ column }) => column.trim().toLowerCase()));
  const sniffed = await sniffCsv(peeked.head, peeked.isWhole, mapped, path);
  const readNumber = numberReader(sniffed.dialect.decimals);
  if (peeked.isWhole && sniffed.sample.length === 0) throw noRows(sniffed, path);
  const plan = assignColumns(sniffed, columns, readNumber, problems, path);
  requirePosition(plan, sniffed, path);
  const taker = new RowTaker(plan, readNumber, problems, mostRows(options));
  const { segmentStarts, lanes } = await takeRows(peeked.blocks, sniffed, plan, taker, problems, options.lanes);
  if (taker.rows === 0) throw noRows(sniffed, path);
  if (taker.kept === 0) throw allRejected(taker, problems, path);
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
    lanes,
  };
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
      taker.fields.map(({ channel, name, unit }, at) => [
        channel,
        { values: taker.columnOf(at), origin: { source: name, unit: unit.name } },
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
