import type { Basis } from "../config/declared.js";
import type { NotAssessed, ResultProblem } from "../score/result.js";

/** How the bytes of a log were understood. Lines are 1-based. */
export type LogDialect = TextPacking & (CsvForm | GpxForm);

interface TextPacking {
  /** `windows-1252` stands for Latin-1 too. */
  readonly encoding: "utf-8" | "utf-16le" | "utf-16be" | "windows-1252";
  readonly gzip: boolean;
  /** `ISO 8601`, `epoch ms`, `s`, `d/m/y + hh:mm:ss`. */
  readonly time_format: string;
  /** `utc-assumed` where no zone is stated; null where the log counts from some start and never says from when. */
  readonly time_zone: "utc" | "utc-assumed" | null;
}

/** What only a CSV file has. */
interface CsvForm {
  readonly kind: "csv";
  readonly delimiter: "," | ";" | "\t" | "|";
  readonly line_ending: "LF" | "CRLF" | "CR";
  readonly decimals: "point" | "comma" | "mixed";
  /** What lines of comment begin with; null where there are none. */
  readonly comment_mark: string | null;
  readonly header_line: number;
  /** null where no row of units stands beneath the header. */
  readonly units_line: number | null;
  /** Rows read from bytes straight into numbers, and rows that went through the full CSV parser; both read alike. */
  readonly rows_plain: number;
  readonly rows_by_csv_parser: number;
}

/** What only a GPX file has. */
interface GpxForm {
  readonly kind: "gpx";
  /** As the file states it: `1.1`. */
  readonly version: string | null;
  readonly tracks: number;
  readonly segments: number;
  /** Track points read from bytes straight into numbers, and points that went through the full XML parser; both read alike. */
  readonly points_plain: number;
  readonly points_by_xml_parser: number;
}

/** A question about a column that is left out until homeleg.yaml answers it. */
export interface InspectedQuestion {
  readonly kind: "unit" | "meaning" | "tie";
  /** Channels that it may be, the likeliest first. */
  readonly channels: readonly string[];
  /** The line of homeleg.yaml to check and paste: `columns: { height: { column: "Alt", unit: "m" } }`. */
  readonly yaml: string;
  /** The entry of that line, under `columns:`. */
  readonly entry: string;
  /** Another column fills one of the channels, so that nothing may be lost. */
  readonly is_covered: boolean;
}

/** One column of a CSV file, or one element of a GPX file. */
export interface InspectedColumn {
  readonly column: string;
  /** What it fills; null where it is not used. */
  readonly channel: string | null;
  /** The unit that it was read in; null where it is not used. */
  readonly unit: string | null;
  /** Of the rows kept, 0–1; null where it is not used. */
  readonly filled_share: number | null;
  /** Of the channel, in SI (percent, volts and the like in their own unit); null for text and where nothing is filled. */
  readonly range: { readonly least: number; readonly greatest: number; readonly unit: string } | null;
  /** Why it is used, or why not. */
  readonly because: string;
  readonly question: InspectedQuestion | null;
  /** For a name that means nothing here, the entry under `columns:` with CHANNEL to fill in; else null. */
  readonly entry: string | null;
}

/** How often the log has a row. */
export interface Sampling {
  /** null for a single row. */
  readonly median_step_s: number | null;
  readonly rate_hz: number | null;
  /** Silences that are not bridged, longer than `policy.longest_gap` and three median steps. */
  readonly gaps: number;
  readonly longest_gap_s: number | null;
  /** Where a new recording or segment begins. */
  readonly breaks: number;
}

/** One flight that was found, and what cannot be asked of it. */
export interface InspectedFlight {
  readonly index: number;
  readonly start_utc: string | null;
  readonly start_s: number;
  readonly end_s: number;
  readonly airborne_s: number;
  /** `measured` by the log's own flag, else `inferred`. */
  readonly basis: Basis;
  readonly begins_in_air: boolean;
  readonly ends_in_air: boolean;
  readonly recovery_point: { readonly basis: Basis; readonly from: string; readonly is_known: boolean };
  readonly coverage_share: number;
  /** Rules that cannot be asked for part or all of it, and what they want. */
  readonly not_assessed: readonly NotAssessed[];
}

/** How a log was understood, or why it could not be read. */
export interface LogInspection {
  readonly path: string;
  readonly sha256: string;
  readonly bytes: number;
  /** null for a log that could not be read: `problems` says why. */
  readonly parser: "csv" | "gpx" | null;
  readonly dialect: LogDialect | null;
  readonly rows: number;
  readonly rows_rejected: number;
  readonly start_utc: string | null;
  /** From the first row to the last; null for a log that could not be read. */
  readonly duration_s: number | null;
  readonly sampling: Sampling | null;
  /** In the order of a CSV file; used ones first in a GPX file. */
  readonly columns: readonly InspectedColumn[];
  readonly flights: readonly InspectedFlight[];
  readonly problems: readonly ResultProblem[];
}

/** Inspections of a run. */
export interface InspectionRun {
  readonly format: "homeleg-inspection";
  readonly format_version: 1;
  readonly tool_version: string;
  readonly config: readonly { readonly path: string; readonly sha256: string }[];
  readonly logs: readonly LogInspection[];
}
