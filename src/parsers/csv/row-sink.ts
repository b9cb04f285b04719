import { cleanText } from "../clean-text.js";
import type { ProblemList } from "../problem-list.js";
import type { SniffedCsv } from "./dialect.js";
import type { LaneRow } from "./lane.js";
import { LONGEST_RECORD } from "./feed.js";
import type { RecordBreak, RecordEnd } from "./record-reader.js";
import type { RowTaker } from "./row-taker.js";

/** How many records each reader has read, rejected rows among them. */
export interface LaneRows {
  /** Plain lines, from bytes straight to numbers. */
  readonly plain: number;
  /** By csv-parse: with quotes, or in a block behind some. */
  readonly csvParse: number;
}

/** Tells rows from headers and blanks, whichever lane they come from, and looks twice at the last one. */
export class RowSink {
  /** Rows at which a repeated header began a new segment. */
  readonly segmentStarts: number[] = [];
  #plain = 0;
  #csvParse = 0;
  readonly #names: readonly string[];
  readonly #headLine: number;
  readonly #width: number;
  readonly #taker: RowTaker;
  /** One row is held back, since the last of a cut file must not be taken. */
  #held: { readonly cells: readonly string[]; readonly line: number } | undefined;
  #before: (() => readonly string[]) | undefined;

  constructor({ names, dialect }: Pick<SniffedCsv, "names" | "dialect">, taker: RowTaker) {
    this.#names = names;
    this.#headLine = Math.max(dialect.headerLine, dialect.unitsLine ?? 0);
    this.#width = names.findLastIndex((name) => name !== "") + 1;
    this.#taker = taker;
  }

  /** How many records came from where. */
  get lanes(): LaneRows {
    return { plain: this.#plain, csvParse: this.#csvParse };
  }

  /** A record of csv-parse, which may be the last of the file and cut. */
  readonly takeRecord = (cells: readonly string[], line: number): void => {
    this.#csvParse += this.#take(cells, line);
  };

  /** A plain line as cells. */
  takeLine(cells: readonly string[], line: number): void {
    this.#plain += this.#take(cells, line);
    this.settle();
  }

  /**
   * A plain line as numbers.
   *
   * @param cells of the row, should it turn out to be the last whole one
   * @returns false if it has to be looked at as cells
   */
  takeValues(row: LaneRow, line: number, cells: () => readonly string[]): boolean {
    if (line <= this.#headLine || !this.#taker.takeValues(row)) return false;
    this.#plain += 1;
    this.#before = cells;
    return true;
  }

  /** What was held back is no last row. */
  settle(): void {
    if (this.#held === undefined) return;
    const { cells, line } = this.#held;
    this.#held = undefined;
    this.#before = () => cells;
    takeRow(cells, line, this.#width, this.#taker);
  }

  /**
   * Takes the last row, or leaves it out if the file was cut in it.
   *
   * @param endsInBreak the last byte of the file ends a line
   */
  finish({ broken, endsInRecord }: RecordEnd, endsInBreak: boolean, problems: ProblemList): void {
    const mayBeCut = broken === undefined && !endsInBreak && endsInRecord;
    if (mayBeCut && this.#held !== undefined && looksCut(this.#held.cells, this.#before?.(), this.#width)) {
      problems.add("warning", "truncated", "The file breaks off in this line, which was left out.", this.#held.line);
      this.#held = undefined;
    }
    this.settle();
    if (broken !== undefined) reportBreak(broken, problems);
    const { length } = this.segmentStarts;
    if (length > 0) {
      const message = `The header comes ${length} more ${length === 1 ? "time" : "times"}: each begins a new segment.`;
      problems.add("note", "header-repeated", message);
    }
  }

  /** @returns how many records that is: 0 for a blank one */
  #take(cells: readonly string[], line: number): 0 | 1 {
    this.settle();
    const isHead = line <= this.#headLine;
    if (isHead || isBlank(cells)) return 0;
    if (isHeader(cells, this.#names)) this.segmentStarts.push(this.#taker.kept);
    else this.#held = { cells, line };
    return 1;
  }
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

/** @returns true if the cells are the names of the columns again */
export function isHeader(cells: readonly string[], names: readonly string[]): boolean {
  return (
    cells[0] !== undefined &&
    cleanText(cells[0]) === names[0] &&
    names.every((name, index) => cleanText(cells[index] ?? "") === name)
  );
}

function reportBreak(broken: RecordBreak, problems: ProblemList): void {
  const lines = broken.lastLine - broken.line;
  problems.add(
    "warning",
    "truncated",
    lines > 0
      ? `A quote that opens in this row is never closed: the row and the ${lines} lines after it were left out.`
      : broken.isTooLong
        ? `This line is longer than ${LONGEST_RECORD} bytes: it and what comes after it were left out.`
        : "The file breaks off in this line, which was left out.",
    broken.line,
  );
}
