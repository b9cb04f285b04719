import type { LogFacts, LogResult, RunResult } from "../index.js";
import type { Packed } from "./packed.js";

/** What is kept of a log that was audited, in a cache too. */
export interface KeptAudit {
  readonly facts: LogFacts;
  readonly result: Packed<LogResult>;
  /** What reports take from the moments of the log, by format: see `Reporter.take`. */
  readonly parts: Readonly<Record<string, Packed<unknown>>>;
}

/** All that a run keeps of one log: plain data, so that it can come from another thread, or from the cache. */
export interface AuditedLog extends KeptAudit {
  /** Settings files that it was judged by. */
  readonly config: RunResult["config"];
  /** A rule crashed, settings were wrong, or this program failed: it decides the exit code of the run. */
  readonly isBroken: boolean;
  /** It is the operator's own track, and no log of the run. */
  readonly isLeftOut: boolean;
  /** Lines for standard error, each said once in a run. */
  readonly said: readonly string[];
}
