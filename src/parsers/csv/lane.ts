import type { CellReader } from "../cell-readers.js";

/** What a lane reads of one column. */
export type LaneColumn =
  /** A number; any other cell is left to `read`. */
  | { readonly kind: "number"; readonly read: CellReader }
  /** A word or a digit (a flag, a kind of fix): only `read` knows what it means. */
  | { readonly kind: "code"; readonly read: CellReader }
  /** Text, of which only the place is noted. */
  | { readonly kind: "text" };

/** The row just read: one entry a column of the file. */
export interface LaneRow {
  /** Values of numbers and codes; NaN where the cell is blank or the row is short. */
  readonly values: Float64Array;
  /** @returns the text of a column that was declared as such */
  readonly text: (column: number) => string;
}

/** Where the rows of a lane go. */
export interface LaneSink {
  /** @returns false for a row that needs a closer look, which `takeLine` then gets */
  takeValues: (row: LaneRow, line: number, cells: () => readonly string[]) => boolean;
  /** @param line 1-based */
  takeLine: (cells: readonly string[], line: number) => void;
}

/** How lines are cut into cells. */
export interface LaneDialect {
  readonly delimiter: string;
  readonly comment: string | undefined;
  readonly decimalMark: "." | ",";
}
