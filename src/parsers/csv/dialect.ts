import type { Decimals } from "../cell-readers.js";
import type { TextEncodingName } from "../text-encoding.js";

/** How a CSV file was understood. */
export interface CsvDialect {
  readonly encoding: TextEncodingName;
  readonly isGzip: boolean;
  readonly delimiter: "," | ";" | "\t" | "|";
  readonly lineEnding: "LF" | "CRLF" | "CR";
  /** The mark that lines of comment begin with. */
  readonly comment: string | undefined;
  readonly decimals: Decimals;
  /** The line of the names of the columns. */
  readonly headerLine: number;
  /** The line of units beneath it. */
  readonly unitsLine: number | undefined;
}

/** What the beginning of a CSV file tells. */
export interface SniffedCsv {
  readonly dialect: Omit<CsvDialect, "encoding" | "isGzip">;
  /** Names as in the log, trimmed; empty at the end where lines have trailing delimiters. */
  readonly names: readonly string[];
  /** By column; undefined where there is no row of units. */
  readonly units: readonly string[] | undefined;
  /** Rows of data in the first block. */
  readonly sample: readonly (readonly string[])[];
  /** Reading goes on from this line. */
  readonly firstLine: number;
  /** Bytes of UTF-8 before that line. */
  readonly skip_bytes: number;
}
