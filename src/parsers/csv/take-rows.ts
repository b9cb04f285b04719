import { ByteWindow } from "../byte-window.js";
import type { ProblemList } from "../problem-list.js";
import type { ColumnPlan } from "./assign-columns.js";
import type { SniffedCsv } from "./dialect.js";
import { FastLane } from "./fast-lane.js";
import type { LaneColumn } from "./lane.js";
import { countLines, LastByte, offsetOfLine, skipBytes } from "./feed.js";
import type { readRecordsToEnd, RecordEnd } from "./record-reader.js";
import { type LaneRows, RowSink } from "./row-sink.js";
import type { RowTaker } from "./row-taker.js";

/** What is known once all rows were taken. */
export interface TakenRows {
  /** Rows at which a repeated header began a new segment. */
  readonly segmentStarts: readonly number[];
  readonly lanes: LaneRows;
}

/** A line that goes on for longer is left to csv-parse, with all that follows it. */
const LONGEST_CARRY = 1 << 20;

/**
 * Hands all rows to the taker, in order: plain lines through the fast lane, and what stands between the first quote of a
 * block and the end of that block through csv-parse.
 *
 * @param blocks UTF-8, cut into blocks that do not depend on how the file was read
 * @param lanes `none` leaves everything to csv-parse
 */
export async function takeRows(
  blocks: AsyncIterable<Uint8Array>,
  sniffed: SniffedCsv,
  plan: ColumnPlan,
  taker: RowTaker,
  problems: ProblemList,
  lanes: "all" | "none" = "all",
): Promise<TakenRows> {
  const last = new LastByte();
  const sink = new RowSink(sniffed, taker);
  const fed = last.watch(skipBytes(blocks, sniffed.skip_bytes));
  const lane = lanes === "all" ? makeLane(sniffed, plan, taker, sink) : undefined;
  const end =
    lane === undefined
      ? await readByCsvParse(fed, sniffed.dialect, sniffed.firstLine, sink.takeRecord)
      : await takeByBlocks(fed, sniffed, lane, sink);
  sink.finish(end, last.isLineBreak, problems);
  return { segmentStarts: sink.segmentStarts, lanes: sink.lanes };
}

/** @returns undefined where a row of the log could be its header repeated, or one column fills two channels */
function makeLane(
  { names, dialect }: SniffedCsv,
  { time }: ColumnPlan,
  taker: RowTaker,
  sink: RowSink,
): FastLane | undefined {
  const columns: (LaneColumn | undefined)[] = names
    .slice(0, names.findLastIndex((name) => name !== "") + 1)
    .map(() => undefined);
  let used = 0;
  const use = (index: number, column: LaneColumn): void => {
    columns[index] = column;
    used += 1;
  };
  for (const { index, read, isNumber } of taker.fields) use(index, { kind: isNumber ? "number" : "code", read });
  if (taker.mode !== undefined) use(taker.mode.column.index, { kind: "text" });
  const { numberUnit } = time.main;
  for (const { index } of time.main.columns) {
    use(index, numberUnit === undefined ? { kind: "text" } : { kind: "number", read: taker.readNumber });
  }
  const isTwice = used !== columns.filter((column) => column !== undefined).length;
  // Names are no numbers, so a repeated header is a line to look at; but a column may be called "1".
  const looksLikeRow = taker.fields.some(
    ({ isPosition, index, read }) => isPosition && Number.isFinite(read(names[index] ?? "")),
  );
  if (isTwice || looksLikeRow) return undefined;
  const { delimiter, comment, decimals } = dialect;
  return new FastLane(columns, { delimiter, comment, decimalMark: decimals === "comma" ? "," : "." }, sink);
}

/** By csv-parse, which most logs do without, and which takes its time to load. */
async function readByCsvParse(...given: Parameters<typeof readRecordsToEnd>): Promise<RecordEnd> {
  const { readRecordsToEnd: read } = await import("./record-reader.js");
  return read(...given);
}

async function takeByBlocks(
  blocks: AsyncIterable<Uint8Array>,
  { dialect, firstLine }: SniffedCsv,
  lane: FastLane,
  sink: RowSink,
): Promise<RecordEnd> {
  const options = { ...dialect, isMiddle: true };
  const source = blocks[Symbol.asyncIterator]();
  const window = new ByteWindow();
  lane.line = firstLine;
  for (;;) {
    const step = await source.next();
    if (step.done === true) {
      if (window.rest.length === 0) return { broken: undefined, isOpen: false, endsInRecord: true };
      return readByCsvParse([window.rest], options, lane.line, sink.takeRecord);
    }
    const data = window.add(step.value);
    const end = endOfLines(data);
    const at = lane.read(data, end);
    let from = end;
    if (at < end) {
      const lines = data.subarray(at, end);
      const stop = await readByCsvParse([lines], options, lane.line, sink.takeRecord);
      sink.settle();
      if (stop.broken !== undefined && !stop.isOpen) return stop;
      const taken = stop.broken === undefined ? countLines(lines) : stop.broken.line - lane.line;
      // The rest of what stands in an open quote comes with the next block.
      if (stop.isOpen) from = at + offsetOfLine(lines, taken + 1);
      lane.line += taken;
    }
    window.keepFrom(from);
    if (window.rest.length > LONGEST_CARRY) {
      return readByCsvParse(startWith(window.rest, source), options, lane.line, sink.takeRecord);
    }
  }
}

/** @returns behind the last line break; a CR at the very end may be half of one */
function endOfLines(data: Buffer): number {
  return Math.max(data.lastIndexOf(10), data.subarray(0, -1).lastIndexOf(13)) + 1;
}

async function* startWith(first: Uint8Array, rest: AsyncIterator<Uint8Array>): AsyncGenerator<Uint8Array> {
  yield first;
  yield* { [Symbol.asyncIterator]: () => rest };
}
