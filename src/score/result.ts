import type { Basis } from "../config/declared.js";
import type { InputRecord } from "../config/sourced.js";

/** A position in the result. */
export interface ResultPosition {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
}

/** A stretch that is thin or fail, with its worst moment, evidence and advice. */
export interface Finding {
  readonly rule: string;
  readonly verdict: "thin" | "fail";
  /** Findings of one rule that adjoin share an episode, numbered within the flight. */
  readonly episode: number;
  readonly start_s: number;
  readonly end_s: number;
  readonly duration_s: number;
  readonly decided_by: Basis;
  /** Thin, and clear with what was only assumed at its favourable end. */
  readonly by_assumption_alone: boolean;
  /** Rules with findings of the same cause that take no points of their own. */
  readonly related: readonly string[];
  readonly worst: {
    readonly at_s: number;
    readonly latitude_deg: number | null;
    readonly longitude_deg: number | null;
    readonly height_m: number | null;
    readonly value: number | null;
    readonly limit: number | null;
    readonly unit: string;
  };
  readonly message: string;
  readonly advice: string;
  readonly evidence: Readonly<Record<string, number | string | null>>;
}

/** A rule that could not be asked for part or all of a flight, and what to add. */
export interface NotAssessed {
  readonly rule: string;
  readonly missing: readonly string[];
  /** Share of the time the question arose, 0–1. */
  readonly share: number;
}

/** Drain rates used, in % of full charge a minute. */
export interface DrainRecord {
  readonly basis: Basis;
  /** The source, for people, and what regimes it did not tell itself. */
  readonly from: string;
  readonly hover_pct_per_min: number;
  readonly climb_pct_per_min: number;
  readonly cruise_pct_per_min: number;
  readonly descent_pct_per_min: number;
  readonly spread_pct: number;
}

/** A recovery that was flown, beside the one rehearsed at its first moment. */
export interface RecoveryFlown {
  readonly start_s: number;
  readonly end_s: number;
  /** `measured` by the log's flag, `declared` mode words, `inferred` from its shape: that one is shown, never scored. */
  readonly basis: Basis;
  readonly ended: "landed" | "taken-over" | "record-ends";
  /** Of the part that was flown. */
  readonly predicted: {
    readonly time_s: number | null;
    readonly need_middle_pct: number | null;
    readonly need_upper_pct: number | null;
    readonly height_m: number | null;
  };
  readonly actual: {
    readonly time_s: number;
    readonly used_pct: number | null;
    readonly height_m: number | null;
    readonly ended_m_from_point: number | null;
    readonly path_ratio: number | null;
  };
}

/** One flight audited. */
export interface FlightResult {
  readonly index: number;
  readonly start_utc: string | null;
  readonly start_s: number;
  readonly end_s: number;
  /** From take-off to landing, gaps included. */
  readonly airborne_s: number;
  readonly distance_flown_m: number | null;
  readonly farthest_m: number | null;
  readonly highest_m: number | null;
  readonly battery_start_pct: number | null;
  readonly battery_end_pct: number | null;
  readonly recovery_point: (ResultPosition & { readonly basis: Basis; readonly set_at_s: number }) | null;
  readonly recovery_point_moves: readonly (ResultPosition & { readonly at_s: number })[];
  readonly inputs: Readonly<Record<string, InputRecord>>;
  readonly drain: DrainRecord;
  /** The log's own fit where rates were declared. */
  readonly drain_fitted: DrainRecord | null;
  /** `level`: the upper need holds at the policy's level; `bound`: bounds of assumed inputs are added to it. */
  readonly upper_is: "level" | "bound";
  readonly score: number | null;
  readonly share_part: number | null;
  readonly conduct_part: number | null;
  readonly points_lost: Readonly<Record<string, number>>;
  /** Judged time with no moment rule failing, 0–1; null where nothing was judged. */
  readonly recoverable_share: number | null;
  readonly fail_s: number;
  readonly thin_s: number;
  readonly coverage: { readonly share: number; readonly rules: Readonly<Record<string, number | null>> };
  readonly turnback: {
    readonly passed: boolean;
    readonly last_safe_s: number | null;
    readonly outbound_after_s: number;
  } | null;
  readonly recoveries_flown: readonly RecoveryFlown[];
  readonly findings: readonly Finding[];
  readonly not_assessed: readonly NotAssessed[];
  /** Lines of homeleg.yaml that would lift the coverage the most, where it is under the floor. */
  readonly coverage_hints: readonly string[];
  /** The flight over time, worst verdict of each of 100 equal parts: `clear`, `thin`, `fail`, `unknown`. */
  readonly strip: readonly ("clear" | "thin" | "fail" | "unknown")[];
}

/** Something worth knowing about a log, as the result shows it. */
export interface ResultProblem {
  readonly severity: "error" | "warning" | "note";
  readonly code: string;
  readonly message: string;
  readonly line: number | null;
}

/** One log audited, or why it could not be. */
export interface LogResult {
  readonly path: string;
  readonly sha256: string;
  readonly bytes: number;
  readonly parser: "csv" | "gpx" | null;
  readonly rows: number;
  readonly rows_rejected: number;
  readonly channels: Readonly<
    Record<string, { readonly source: string; readonly unit: string; readonly filled_share: number }>
  >;
  readonly problems: readonly ResultProblem[];
  /** Paths of homeleg.yaml that were declared but that this version does not use yet. */
  readonly declared_not_used: readonly string[];
  readonly flights: readonly FlightResult[];
}

/** A run over any number of logs. */
export interface RunResult {
  readonly format: "homeleg-result";
  readonly format_version: 1;
  readonly tool_version: string;
  readonly config: readonly { readonly path: string; readonly sha256: string }[];
  readonly logs: readonly LogResult[];
  readonly summary: Summary;
  /** Of a part of a run: what joins it to the others. */
  readonly shard?: RunShard;
}

/**
 * A run to be reported: its logs may be made as they are asked for, one at a time and anew for every time, so that a
 * thousand of them are never in memory together. `summary.logs` is how many there are. A `RunResult` is one too.
 */
export interface RunToReport extends Omit<RunResult, "logs"> {
  readonly logs: Iterable<LogResult>;
}

/** Which part of a run a result is. */
export interface RunShard {
  /** From 1. */
  readonly index: number;
  readonly count: number;
  /** Logs that were found for all parts together. */
  readonly logs: number;
  /** Place of each of `logs[]` among those, from 0. */
  readonly positions: readonly number[];
  /** Files that turned out to be no logs of the run. */
  readonly left_out: readonly { readonly position: number; readonly path: string }[];
  /** Place of the log that first used each of `config[]`. */
  readonly config_positions: readonly number[];
  /** What the whole run must meet. */
  readonly gate: {
    readonly verdict: "fail" | "thin";
    readonly min_score: number | null;
    readonly min_coverage: number | null;
  };
}

/** The run in numbers. */
export interface Summary {
  readonly logs: number;
  readonly logs_unreadable: number;
  readonly flights: number;
  readonly airborne_s: number;
  readonly score_min: number | null;
  readonly score_median: number | null;
  readonly fail_s: number;
  readonly findings: number;
  readonly gate: {
    readonly passed: boolean;
    readonly reasons: readonly { readonly code: string; readonly message: string }[];
  };
}
