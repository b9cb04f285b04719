import type { ResultPosition } from "./result.js";

/** A file that a sign-off rests on. */
export interface SignedFile {
  readonly path: string;
  readonly sha256: string;
}

/** How a rule that must be clear came out in a flight; only `clear` will do. */
export type MustBeClear = "clear" | "thin" | "fail" | "unknown" | "n/a";

/** One flight as the record keeps it. */
export interface SignedFlight {
  readonly index: number;
  readonly start_utc: string | null;
  readonly airborne_s: number;
  readonly score: number | null;
  readonly coverage: number;
  readonly must_be_clear: Readonly<Record<string, MustBeClear>>;
  readonly findings: readonly {
    readonly rule: string;
    readonly verdict: "thin" | "fail";
    readonly duration_s: number;
  }[];
  /** Paths of homeleg.yaml whose values were assumed. */
  readonly assumed: readonly string[];
  /** The flight that this is another recording of: `path` or `path, flight 2`; such a one counts for nothing. */
  readonly copy_of: string | null;
  readonly met: boolean;
}

/** One log as the record keeps it: every log that was given, met or not. */
export interface SignedLog extends SignedFile {
  readonly bytes: number;
  /** Why it could not be read. */
  readonly unread: string | null;
  readonly flights: readonly SignedFlight[];
}

/** One requirement of the policy, with what was found. */
export interface Requirement {
  readonly id:
    "logs-read" | "flights" | "minutes" | "score" | "coverage" | "must-be-clear" | "within" | "sites" | "site-minutes";
  /** Of `must-be-clear`. */
  readonly rule: string | null;
  readonly required: number;
  /** In the unit of `required`; null where it is not known. */
  readonly found: number | null;
  readonly unit: string;
  readonly met: boolean;
  readonly message: string;
  /** Where it is not met: flights or logs, each with what was found. */
  readonly exceptions: readonly string[];
}

/** Flights whose recovery points lie together. */
export interface SignedSite extends ResultPosition {
  readonly flights: number;
  readonly minutes: number;
}

/** What a sign-off asks, as declared or by default. */
export interface SignoffPolicy {
  readonly flights: number;
  readonly minutes: number;
  readonly score: number;
  /** 0–1. */
  readonly coverage: number;
  readonly must_be_clear: readonly string[];
  readonly within_s: number;
  /** Different sites, and minutes at each; 0 where not asked. */
  readonly sites: number;
  readonly site_minutes: number;
}

/** The outcome of a sign-off: what was asked, found, and given. */
export interface SignoffOutcome {
  readonly passed: boolean;
  readonly requirements: readonly Requirement[];
  readonly totals: {
    readonly logs: number;
    readonly flights: number;
    readonly copies: number;
    readonly minutes: number;
  };
  readonly sites: readonly SignedSite[];
  readonly logs: readonly SignedLog[];
}

/** A sign-off that can be shown later, and checked against its logs. */
export interface SignoffRecord extends SignoffOutcome {
  readonly format: "homeleg-signoff";
  readonly format_version: 1;
  readonly tool_version: string;
  /** The day it counts from, `2026-05-20`. */
  readonly as_of: string;
  readonly trainee: string | null;
  readonly instructor: string | null;
  readonly remark: string | null;
  readonly policy: SignoffPolicy;
  /** Settings over the file, as given with `--set`. */
  readonly sets: readonly string[];
  /** The homeleg.yaml that the policy is from, and the files that it names. */
  readonly policy_file: string | null;
  readonly files: readonly SignedFile[];
  readonly cautions: readonly string[];
  /** SHA-256 of the record without this line: it shows a slip of the hand, not a forgery. */
  readonly digest: string;
}
