import type { Channel } from "./channels.js";

/** A text column, dictionary-coded: `words[codes[i]]`; code 0 is always the empty text (missing). */
export interface TextColumn {
  readonly codes: Uint16Array;
  readonly words: readonly string[];
}

/**
 * One recording, as columns. All columns have `length` entries; NaN is "not recorded".
 *
 * Rows are in the order of time and times strictly grow: parsers sort, drop repeated rows, and report both.
 * `columns` always has `time_s` (from 0 at the first row), `latitude_deg` and `longitude_deg`.
 */
export interface Track {
  readonly length: number;
  /** Time of the first row, seconds since 1970-01-01T00:00:00Z; undefined when the log has elapsed time only. */
  readonly startUtc_s: number | undefined;
  readonly columns: Readonly<Partial<Record<Channel, Float64Array>>> & {
    readonly time_s: Float64Array;
    readonly latitude_deg: Float64Array;
    readonly longitude_deg: Float64Array;
  };
  readonly mode: TextColumn | undefined;
  /** Rows, ascending, at which a new segment of the recording begins (never row 0). */
  readonly breaks: readonly number[];
}

/** Something a reader of the report should know about the log or the settings; never a stop. */
export interface Problem {
  readonly severity: "error" | "warning" | "note";
  /** Stable, kebab-case. */
  readonly code: string;
  readonly message: string;
  /** 1-based line of the file as stored, where there is one. */
  readonly line: number | undefined;
}

/** How a column of the log became a channel. */
export interface ChannelSource {
  /** The name in the log. */
  readonly source: string;
  /** The unit it was read in. */
  readonly unit: string;
  /** 0–1, of the rows kept. */
  readonly filledShare: number;
}

/** What a parser makes of a file. */
export interface ParsedLog {
  readonly parser: "csv" | "gpx";
  readonly track: Track;
  /** Data rows or track points read, with those rejected. */
  readonly rows: number;
  readonly rowsRejected: number;
  /** By channel id, in the order of the table of channels. */
  readonly channels: Readonly<Record<string, ChannelSource>>;
  /** Columns of the log that are not used, by their own names. */
  readonly unusedColumns: readonly string[];
  readonly problems: readonly Problem[];
}
