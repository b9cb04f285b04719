import {
  type GateOptions,
  type LogFacts,
  type LogResult,
  type RunShard,
  type RunToReport,
  summarize,
} from "../index.js";
import { auditEach, type PlacedLog } from "./audit-each.js";
import type { AuditFlags } from "./audit-flags.js";
import type { AuditedLog } from "./audited-log.js";
import type { LogToAudit } from "./find-logs.js";
import type { HtmlPages } from "./html-pages.js";
import { isMapWrong } from "./is-map-wrong.js";
import { LogReader } from "./log-reader.js";
import type { MomentsFile } from "./moments-file.js";
import { unpack } from "./packed.js";
import { PackedList } from "./packed-list.js";
import { TOOL_VERSION } from "./tool-version.js";
import { sweep, sweepAtEnd, whenInterrupted } from "./unfinished.js";

/** What a run is about. */
export interface RunOrder {
  /** All logs that were found, and those of them that are this run's. */
  readonly found: readonly LogToAudit[];
  readonly logs: readonly PlacedLog[];
  readonly flags: AuditFlags;
  readonly moments: MomentsFile | undefined;
  readonly pages: HtmlPages | undefined;
}

/** What became of a run. */
export interface Outcome {
  /** Each of its logs is made anew whenever it is asked for. */
  readonly run: RunToReport;
  /** Of each log of `run.logs`. */
  readonly facts: readonly LogFacts[];
  /** What each format took from the moments of each log of `run.logs`. */
  readonly parts: ReadonlyMap<string, Iterable<unknown>>;
  /** A rule crashed, settings were wrong, or this program failed on a log: that wins over everything else. */
  readonly isBroken: boolean;
  /** The logs are those that were finished when the run was stopped. */
  readonly isInterrupted: boolean;
}

/** Collects what a run keeps of its logs, in their order. */
class Collected {
  readonly facts: LogFacts[] = [];
  /** All of them as objects would take many times the memory. */
  readonly results = new PackedList<LogResult>();
  readonly parts = new Map<string, PackedList<unknown>>();
  readonly positions: number[] = [];
  readonly leftOut: { position: number; path: string }[] = [];
  readonly config = new Map<string, { sha256: string; position: number }>();
  isBroken = false;

  add(position: number, { facts, result, config, parts, isBroken }: AuditedLog): void {
    this.facts.push(facts);
    this.results.add(result);
    this.positions.push(position);
    this.isBroken ||= isBroken;
    for (const { path, sha256 } of config) if (!this.config.has(path)) this.config.set(path, { sha256, position });
    for (const [id, part] of Object.entries(parts)) {
      // Pages are written one by one: all of them would not fit into memory.
      if (id === "html") continue;
      const all = this.parts.get(id) ?? new PackedList();
      all.add(part);
      this.parts.set(id, all);
    }
  }
}

/** Audits the logs of a run. Ctrl-C ends it early, with what was finished. */
export async function auditRun({ found, logs, flags, moments, pages }: RunOrder): Promise<Outcome> {
  const reader = LogReader.of(logs, flags);
  const stopping = new AbortController();
  const takeBack = whenInterrupted(() => stopping.abort());
  if (flags.cache !== undefined) sweepAtEnd(flags.cache);
  const kept = new Collected();
  const said = new Set<string>();
  const options = {
    config: flags.config,
    set: flags.set,
    units: flags.units,
    formats: flags.format.map(({ id }) => id),
    toolVersion: TOOL_VERSION,
    pageIndex: pages?.indexName,
    cache: flags.cache,
  };
  const each = auditEach({ logs, options, jobs: flags.jobs, reader, moments, interrupted: stopping.signal });
  try {
    for await (const { position, audited } of each) {
      for (const text of audited.said) if (!said.has(text)) reader.note(text);
      for (const text of audited.said) said.add(text);
      if (audited.isLeftOut) {
        kept.leftOut.push({ position, path: audited.facts.path });
        continue;
      }
      kept.add(position, audited);
      const page = audited.parts["html"];
      if (page !== undefined) await pages?.add(position, unpack(page));
    }
  } finally {
    takeBack();
    reader.close();
    sweep();
  }
  const done = kept.facts.length + kept.leftOut.length;
  const isInterrupted = stopping.signal.aborted && done < logs.length;
  if (isInterrupted) {
    reader.note(
      done === 0
        ? "Interrupted before the first log was finished; nothing is reported."
        : `Interrupted: ${done} of ${logs.length} logs were finished, and are reported.`,
    );
  }
  return {
    run: runOf(kept, found, flags, isInterrupted ? `${done} of ${logs.length}` : undefined),
    facts: kept.facts,
    parts: kept.parts,
    isBroken: kept.isBroken || isMapWrong(kept.facts),
    isInterrupted,
  };
}

function runOf(
  kept: Collected,
  found: readonly LogToAudit[],
  flags: AuditFlags,
  interruptedAfter: string | undefined,
): RunToReport {
  const gate: GateOptions = { gate: flags.gate ?? "fail", minScore: flags.minScore, minCoverage: flags.minCoverage };
  const configs = [...kept.config];
  const shard: RunShard | undefined = flags.shard && {
    index: flags.shard.index,
    count: flags.shard.count,
    logs: found.length,
    positions: kept.positions,
    left_out: kept.leftOut,
    config_positions: configs.map(([, { position }]) => position),
    gate: { verdict: gate.gate, min_score: gate.minScore ?? null, min_coverage: gate.minCoverage ?? null },
  };
  return {
    format: "homeleg-result",
    format_version: 1,
    tool_version: TOOL_VERSION,
    config: configs.map(([path, { sha256 }]) => ({ path, sha256 })),
    logs: kept.results,
    summary: summarize(kept.facts, gate, { interruptedAfter, isShard: shard !== undefined }),
    ...(shard === undefined ? {} : { shard }),
  };
}
