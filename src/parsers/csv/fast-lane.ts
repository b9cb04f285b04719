import { readDecimal } from "../read-decimal.js";
import type { LaneColumn, LaneDialect, LaneRow, LaneSink } from "./lane.js";

const CELL = 1;
const LF = 2;
const CR = 3;
const QUOTE = 4;
/** Longer lines are left to csv-parse, which has a limit for them. */
const LONGEST_LINE = 1 << 19;

/**
 * Reads lines without quotes from bytes straight into numbers: no string, no array, no object a row.
 *
 * It knows nothing but digits, a sign and a decimal mark; all else is handed on, a cell to its reader, a row as texts to
 * `takeLine`, a quote to the caller. Its numbers are those of `Number`, bit for bit (`readDecimal`).
 */
export class FastLane {
  /** The line at which reading goes on, 1-based. */
  line = 1;
  readonly #columns: readonly (LaneColumn | undefined)[];
  readonly #classes = new Uint8Array(256);
  readonly #delimiter: string;
  readonly #decimal: number;
  readonly #comment: Buffer;
  readonly #digits: readonly (Float64Array | undefined)[];
  readonly #from: Int32Array;
  readonly #to: Int32Array;
  readonly #row: LaneRow;
  readonly #sink: LaneSink;
  /** No cell of the row lies beyond the columns. */
  #isWhole = true;
  #data: Buffer = Buffer.alloc(0);
  /** The last row taken as numbers: where it begins, and a copy of it for when the data are gone. */
  #last = -1;
  #lastLine = this.#data;
  readonly #lastCells = (): readonly string[] => this.#cellsOf(this.#lastLine, 0);

  /** @param columns by their place in the file, undefined for those that are not used */
  constructor(columns: readonly (LaneColumn | undefined)[], dialect: LaneDialect, sink: LaneSink) {
    this.#columns = columns;
    this.#sink = sink;
    this.#delimiter = dialect.delimiter;
    this.#decimal = dialect.decimalMark === dialect.delimiter ? -1 : dialect.decimalMark.charCodeAt(0);
    this.#comment = Buffer.from(dialect.comment ?? "");
    this.#classes[dialect.delimiter.charCodeAt(0)] = CELL;
    this.#classes[10] = LF;
    this.#classes[13] = CR;
    this.#classes[34] = QUOTE;
    this.#digits = columns.map((column) =>
      column?.kind === "code" ? Float64Array.from("0123456789", column.read) : undefined,
    );
    this.#from = new Int32Array(columns.length);
    this.#to = new Int32Array(columns.length);
    this.#row = {
      values: new Float64Array(columns.length).fill(Number.NaN),
      text: (column) => this.#data.toString("utf8", this.#from[column] ?? 0, this.#to[column] ?? 0),
    };
  }

  /**
   * Reads whole lines.
   *
   * @param end where they end: behind a line break
   * @returns `end`, or where a line begins that only a real CSV reader can read
   */
  read(data: Buffer, end: number): number {
    this.#data = data;
    this.#last = -1;
    const stop = this.#readLines(data, end);
    // The data will be written over, and the line may be asked for when all has been read.
    if (this.#last >= 0) this.#lastLine = Buffer.from(data.subarray(this.#last, breakAfter(data, this.#last) + 1));
    return stop;
  }

  #readLines(data: Buffer, end: number): number {
    let from = 0;
    while (from < end) {
      if (this.#isSkipped(from)) {
        const at = breakAfter(data, from);
        from = data[at] === 13 && data[at + 1] === 10 ? at + 2 : at + 1;
      } else {
        const next = this.#readRow(from);
        if (next < 0 || next - from > LONGEST_LINE) return from;
        if (this.#isWhole && this.#sink.takeValues(this.#row, this.line, this.#lastCells)) {
          this.#last = from;
        } else {
          this.#sink.takeLine(this.#cellsOf(data, from), this.line);
        }
        from = next;
      }
      this.line += 1;
    }
    return from;
  }

  /** Empty lines and comments. */
  #isSkipped(from: number): boolean {
    const kind = this.#classes[this.#data[from] ?? 0] ?? 0;
    if (kind === LF || kind === CR) return true;
    const { length } = this.#comment;
    return length > 0 && this.#data.compare(this.#comment, 0, length, from, from + length) === 0;
  }

  /** @returns where the next row begins; -1 for a row with quotes */
  #readRow(from: number): number {
    const data = this.#data;
    const classes = this.#classes;
    const columns = this.#columns;
    let at = from;
    let column = 0;
    this.#isWhole = true;
    for (;;) {
      const reads = columns[column];
      const start = at;
      if (reads !== undefined) at = reads.kind === "number" ? this.#number(at, column) : this.#other(at, column);
      else if (column >= columns.length && (classes[data[at] ?? 0] ?? 0) === 0) this.#isWhole = false;
      let kind = classes[data[at] ?? 0] ?? 0;
      if (kind === 0 && reads !== undefined) {
        // A number with anything behind it is none.
        at = this.#other(start, column);
        kind = classes[data[at] ?? 0] ?? 0;
      }
      while (kind === 0) {
        at += 1;
        kind = classes[data[at] ?? 0] ?? 0;
      }
      at += 1;
      column += 1;
      if (kind === CELL) continue;
      if (kind === QUOTE) return -1;
      if (column < columns.length) this.#blankFrom(column, at);
      return kind === CR && data[at] === 10 ? at + 1 : at;
    }
  }

  /** Cells that a short row does not have. */
  #blankFrom(column: number, at: number): void {
    for (let rest = column; rest < this.#columns.length; rest += 1) {
      this.#row.values[rest] = Number.NaN;
      this.#from[rest] = at;
      this.#to[rest] = at;
    }
  }

  /** @returns where the number ends; where there is none, what `#other` does */
  #number(from: number, column: number): number {
    const at = readDecimal(this.#data, from, this.#decimal, this.#row.values, column);
    return at < 0 ? this.#other(from, column) : at;
  }

  /** A blank, a digit, a word: by the reader of the column. @returns where the cell ends, or where a quote is */
  #other(from: number, column: number): number {
    let at = from;
    while ((this.#classes[this.#data[at] ?? 0] ?? 0) === 0) at += 1;
    const reads = this.#columns[column];
    const digit = at - from === 1 ? (this.#data[from] ?? 0) - 48 : -1;
    this.#from[column] = from;
    this.#to[column] = at;
    if (reads === undefined || reads.kind === "text") return at;
    this.#row.values[column] =
      at === from ? Number.NaN : (this.#digits[column]?.[digit] ?? reads.read(this.#data.toString("utf8", from, at)));
    return at;
  }

  #cellsOf(data: Buffer, from: number): string[] {
    return data.toString("utf8", from, breakAfter(data, from)).split(this.#delimiter);
  }
}

/** @returns where the line ends that goes through a place */
function breakAfter(data: Buffer, from: number): number {
  let at = from;
  while (data[at] !== 10 && data[at] !== 13) at += 1;
  return at;
}
