import type { Reporter } from "./reporters.js";
import type { Shard } from "./shard.js";
import type { LookFlags } from "./terminal.js";

/** What `audit` was asked. */
export interface AuditFlags extends LookFlags {
  readonly format: readonly Reporter[];
  readonly output?: string;
  readonly config?: string;
  readonly set: readonly string[];
  readonly gate?: "fail" | "thin";
  readonly minScore?: number;
  readonly minCoverage?: number;
  readonly moments?: string;
  readonly jobs?: number;
  readonly cache?: string;
  readonly shard?: Shard;
  readonly filesFrom?: string;
}
