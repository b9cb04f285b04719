import type { LogResult, RunResult } from "../index.js";

/** All that a run keeps of one log: plain data, so that it can come from another thread, or from the cache. */
export interface AuditedLog {
  readonly result: LogResult;
  /** Settings files that it was judged by. */
  readonly config: RunResult["config"];
  /** What reports take from the moments of the log, by format: see `Reporter.take`. */
  readonly parts: Readonly<Record<string, unknown>>;
  /** A rule crashed, settings were wrong, or this program failed: it decides the exit code of the run. */
  readonly isBroken: boolean;
  /** It is the operator's own track, and no log of the run. */
  readonly isLeftOut: boolean;
  /** Lines for standard error, each said once in a run. */
  readonly said: readonly string[];
}
