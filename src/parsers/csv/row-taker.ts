import type { Channel } from "../../track/channels.js";
import { GrowingColumn } from "../growing-column.js";
import { GrowingTable, type TakenColumn } from "../growing-table.js";
import type { ProblemList } from "../problem-list.js";
import { quoteText } from "../quote-text.js";
import { TextDictionary } from "../text-dictionary.js";
import { convert, dimensionOf, type Unit } from "../units.js";
import type { AssignedColumn, ColumnPlan } from "./assign-columns.js";
import type { LaneRow } from "./lane.js";
import { microsecondsOf } from "./time-format.js";
import { UNREADABLE, type CellReader } from "../cell-readers.js";
import { rangeOf, readerFor, readMode } from "../channel-readers.js";

/** A column that is read: how, and what it has given so far. */
export interface Field {
  readonly channel: Channel;
  readonly index: number;
  readonly name: string;
  readonly read: CellReader;
  readonly unit: Unit;
  readonly least: number;
  readonly most: number;
  /** Without a readable value here the whole row is rejected. */
  readonly isPosition: boolean;
  /** A plain number is read as such; else words and digits have meanings of their own. */
  readonly isNumber: boolean;
}

const REJECTED = {
  severity: "warning",
  code: "row-rejected",
  rest: (count: number) => `and ${count} more ${count === 1 ? "row was" : "rows were"} rejected.`,
} as const;
const UNREADABLE_CELL = {
  severity: "warning",
  code: "cell-unreadable",
  rest: (count: number) => `and ${count} more ${count === 1 ? "cell" : "cells"} could not be read.`,
} as const;
const OUT_OF_RANGE = {
  severity: "note",
  code: "cell-out-of-range",
  rest: (count: number) => `and ${count} more ${count === 1 ? "value" : "values"} out of range taken as not recorded.`,
} as const;

/** Turns rows of cells into columns of numbers, rejecting what has no time or no sensible position. */
export class RowTaker {
  readonly fields: readonly Field[];
  readonly mode:
    { readonly column: AssignedColumn; readonly codes: GrowingColumn; readonly words: TextDictionary } | undefined;
  /** From the start of the recording to 1970, once a row told both. */
  utcOffset_us: number | undefined;
  rows = 0;
  rowsRejected = 0;
  readonly readNumber: CellReader;
  readonly #plan: ColumnPlan;
  readonly #problems: ProblemList;
  /** A column a field, and the times, µs. */
  readonly #table: GrowingTable;
  /** The texts of the time of a row, by column. */
  readonly #timeCells: string[] = [];

  /** @param most how many rows there may be */
  constructor(
    plan: ColumnPlan,
    readNumber: CellReader,
    problems: ProblemList,
    most: ConstructorParameters<typeof GrowingTable>[1],
  ) {
    this.#plan = plan;
    this.readNumber = readNumber;
    this.#problems = problems;
    this.fields = plan.assigned.flatMap((column) => makeField(column, readNumber) ?? []);
    this.#table = new GrowingTable(this.fields.length + 1, most);
    const mode = plan.assigned.find(({ channel }) => channel === "mode");
    this.mode = mode && { column: mode, codes: new GrowingColumn(), words: new TextDictionary() };
    this.utcOffset_us = plan.time.main.isAbsolute ? 0 : undefined;
  }

  /** Rows that were not rejected. */
  get kept(): number {
    return this.#table.rows;
  }

  /** Their times, whole µs. */
  get time_us(): TakenColumn {
    return this.#table.column(this.fields.length);
  }

  /** @returns the values of one of the fields */
  columnOf(field: number): TakenColumn {
    return this.#table.column(field);
  }

  /**
   * Takes one row.
   *
   * @param line 1-based, of the file
   */
  take(cells: readonly string[], line: number): void {
    this.rows += 1;
    const time_us = this.#plan.time.main.read(cells);
    const objection = this.#checkTime(time_us, cells) ?? this.#readFields(cells, line);
    if (objection !== undefined) {
      this.reject(line, objection);
      return;
    }
    this.#close(time_us);
    this.mode?.codes.push(this.mode.words.code(readMode(cells[this.mode.column.index] ?? "")));
    if (this.utcOffset_us === undefined && this.#plan.time.utc !== undefined) {
      const utc_us = this.#plan.time.utc.read(cells);
      if (Number.isFinite(utc_us)) this.utcOffset_us = utc_us - time_us;
    }
  }

  /**
   * Takes one row whose cells are numbers already, unless something about it wants telling: then nothing is taken.
   *
   * @param row values as the readers of the fields give them, and the texts of mode and time
   * @returns false for a row that `take` must be given instead
   */
  takeValues(row: LaneRow): boolean {
    if (this.utcOffset_us === undefined && this.#plan.time.utc !== undefined) return false;
    const time_us = this.#timeOf(row);
    if (!Number.isFinite(time_us)) return false;
    const { fields } = this;
    const columns = this.#table.openRow();
    const { rows: place } = this.#table;
    for (let at = 0; at < fields.length; at += 1) {
      const field = fields[at];
      const column = columns[at];
      if (field === undefined || column === undefined) continue;
      const value = convert(row.values[field.index] ?? Number.NaN, field.unit);
      // What cannot be read is infinite, and so out of every range.
      if (value < field.least || value > field.most) return false;
      column[place] = value;
    }
    this.rows += 1;
    this.#close(time_us);
    if (this.mode !== undefined) {
      this.mode.codes.push(this.mode.words.code(readMode(row.text(this.mode.column.index))));
    }
    return true;
  }

  /** Keeps the row that the fields were written to. */
  #close(time_us: number): void {
    const times_us = this.#table.openRow()[this.fields.length];
    if (times_us !== undefined) times_us[this.#table.rows] = time_us;
    this.#table.closeRow();
  }

  #timeOf(row: LaneRow): number {
    const { columns, numberUnit, read } = this.#plan.time.main;
    const [first] = columns;
    if (numberUnit !== undefined && first !== undefined) {
      return microsecondsOf(row.values[first.index] ?? Number.NaN, numberUnit);
    }
    for (const { index } of columns) this.#timeCells[index] = row.text(index);
    return read(this.#timeCells);
  }

  /** Counts a row that cannot be used. */
  reject(line: number, reason: () => string): void {
    this.rowsRejected += 1;
    this.#problems.count(REJECTED, line, () => `Row rejected: ${reason()}`);
  }

  #checkTime(time_us: number, cells: readonly string[]): (() => string) | undefined {
    if (Number.isFinite(time_us)) return undefined;
    const { columns } = this.#plan.time.main;
    const text = columns.map(({ index }) => cells[index] ?? "").join(" ");
    return () => (Number.isNaN(time_us) ? "it has no time." : `${quoteText(text)} is no time.`);
  }

  /** @returns why the row is no good; undefined if it is */
  #readFields(cells: readonly string[], line: number): (() => string) | undefined {
    const columns = this.#table.openRow();
    const { rows: place } = this.#table;
    for (let at = 0; at < this.fields.length; at += 1) {
      const field = this.fields[at];
      if (field === undefined) continue;
      const cell = cells[field.index] ?? "";
      const read = field.read(cell);
      let value = Number.NaN;
      if (read === UNREADABLE) {
        if (field.isPosition) return () => `${quoteText(cell)} in column ${quoteText(field.name)} is not a number.`;
        this.#problems.count(
          UNREADABLE_CELL,
          line,
          () => `${quoteText(cell)} in column ${quoteText(field.name)} cannot be read: taken as not recorded.`,
        );
      } else {
        value = convert(read, field.unit);
        if (value < field.least || value > field.most) {
          if (field.isPosition) return () => `${quoteText(cell)} in column ${quoteText(field.name)} is out of range.`;
          value = Number.NaN;
          this.#problems.count(
            OUT_OF_RANGE,
            line,
            () => `${quoteText(cell)} in column ${quoteText(field.name)} is out of range: taken as not recorded.`,
          );
        }
      }
      const column = columns[at];
      if (column !== undefined) column[place] = value;
    }
    return undefined;
  }
}

function makeField({ channel, index, name, unit, range }: AssignedColumn, readNumber: CellReader): Field | undefined {
  if (channel === "mode" || unit === undefined) return undefined;
  return {
    channel,
    index,
    name,
    read: readerFor(channel, readNumber),
    unit,
    least: (range ?? rangeOf(channel))[0],
    most: (range ?? rangeOf(channel))[1],
    isPosition: channel === "latitude_deg" || channel === "longitude_deg",
    isNumber: !["flag", "fix"].includes(dimensionOf(channel)),
  };
}
