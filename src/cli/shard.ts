import { createHash } from "node:crypto";
import { InvalidArgumentError } from "commander";
import type { PlacedLog } from "./audit-each.js";
import type { LogToAudit } from "./find-logs.js";

/** One part of a run that several machines share. */
export interface Shard {
  /** From 1. */
  readonly index: number;
  readonly count: number;
}

const SHARDS_MOST = 100_000;

/** Reads `2/8`. */
export function shardOf(text: string): Shard {
  const [, index = 0, count = 0] = (/^(\d{1,6})\/(\d{1,6})$/.exec(text) ?? []).map(Number);
  if (index < 1 || index > count || count > SHARDS_MOST) {
    throw new InvalidArgumentError("It must be a part and their number, such as 2/8.");
  }
  return { index, count };
}

/**
 * @returns the logs of a shard, or all; each with its place among all. The name alone decides, so that a log stays where
 *   it is when others come, go or change
 */
export function partOf(logs: readonly LogToAudit[], shard: Shard | undefined): PlacedLog[] {
  const placed = logs.map((log, position) => ({ ...log, position }));
  if (shard === undefined) return placed;
  return placed.filter(({ path }) => {
    const hash = createHash("sha256").update(path).digest().readUInt32BE(0);
    return hash % shard.count === shard.index - 1;
  });
}
