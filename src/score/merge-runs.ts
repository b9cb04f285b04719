import { UserError } from "../user-error.js";
import { DEFAULT_GATE, type GateOptions, summarize } from "./gate.js";
import type { LogResult, RunResult, RunShard } from "./result.js";

/** A result to merge, and the file it was read from. */
export interface RunToMerge {
  readonly run: RunResult;
  readonly file: string;
}

/** Runs joined. */
export interface MergedRun {
  readonly run: RunResult;
  /** Paths of all logs that were found, left out or not, in their order: they name the pages. */
  readonly paths: readonly string[];
  /** Its gate. */
  readonly gate: GateOptions;
}

type Part = RunToMerge & { readonly shard: RunShard };

/**
 * Joins results into one. Parts of one run give what the run would have given on one machine; whole runs follow each other
 * as they are given.
 * @param gate what is asked anew; parts carry their own
 * @throws UserError where they do not belong together, or one is missing
 */
export function mergeRuns(runs: readonly RunToMerge[], gate?: GateOptions): MergedRun {
  const [first] = runs;
  if (first === undefined) throw new UserError("merge-nothing", "There is no result to merge.");
  for (const { run, file } of runs) {
    if (run.tool_version === first.run.tool_version) continue;
    throw new UserError(
      "merge-versions",
      `${file} was made by version ${run.tool_version}, ${first.file} by ${first.run.tool_version}.`,
      { hint: "Versions can judge differently; audit the logs again with one." },
    );
  }
  const parts = runs.flatMap(({ run, file }) => (run.shard === undefined ? [] : [{ run, file, shard: run.shard }]));
  if (parts.length === 0) return joined(runs, gate ?? DEFAULT_GATE);
  const whole = runs.find(({ run }) => run.shard === undefined);
  if (whole === undefined) return assembled(parts, gate);
  throw new UserError("merge-mixed", `${whole.file} is a whole run, and ${parts[0]?.file} a part of one.`, {
    hint: "Merge the parts first.",
  });
}

/** Whole runs one after the other. */
function joined(runs: readonly RunToMerge[], gate: GateOptions): MergedRun {
  const files = new Map<string, string>();
  for (const { run, file } of runs) {
    for (const { path, sha256 } of run.logs) {
      const other = files.get(`${path} ${sha256}`);
      if (other !== undefined && other !== file) {
        throw new UserError("merge-twice", `The log ${path} is in ${other} and in ${file}.`, {
          hint: "Counted twice, it would move every sum; leave one of them out.",
        });
      }
      files.set(`${path} ${sha256}`, file);
    }
  }
  const logs = runs.flatMap(({ run }) => run.logs);
  const config = new Map(
    runs.flatMap(({ run }) => run.config.map(({ path, sha256 }) => [`${path} ${sha256}`, { path, sha256 }])),
  );
  return { run: runOf(runs, [...config.values()], logs, gate), paths: logs.map(({ path }) => path), gate };
}

/** Parts of one run, in the order of the logs as they were found. */
function assembled(parts: readonly Part[], gate: GateOptions | undefined): MergedRun {
  const [first] = parts;
  if (first === undefined) throw new UserError("merge-nothing", "There is no result to merge.");
  for (const part of parts) checkBelongs(part, first);
  const found = new Map<number, { readonly path: string; readonly log?: LogResult }>();
  for (const { run, shard } of parts) {
    shard.positions.forEach((position, i) => {
      const log = run.logs[i];
      if (log !== undefined) found.set(position, { path: log.path, log });
    });
    for (const { position, path } of shard.left_out) found.set(position, { path });
  }
  checkComplete(parts, first.shard, found.size);
  const ordered = [...found].sort(([a], [b]) => a - b).map(([, entry]) => entry);
  const configs = parts
    .flatMap(({ run, shard }) => run.config.map((config, i) => ({ config, position: shard.config_positions[i] ?? 0 })))
    .sort((a, b) => a.position - b.position);
  // The first log that used a file says where it stands.
  const config = new Map<string, RunResult["config"][number]>();
  for (const one of configs) if (!config.has(one.config.path)) config.set(one.config.path, one.config);
  const asked = gate ?? gateOf(first.shard);
  const logs = ordered.flatMap(({ log }) => (log === undefined ? [] : [log]));
  return { run: runOf(parts, [...config.values()], logs, asked), paths: ordered.map(({ path }) => path), gate: asked };
}

function checkBelongs({ file, shard }: Part, first: Part): void {
  const isSame =
    shard.count === first.shard.count &&
    shard.logs === first.shard.logs &&
    JSON.stringify(shard.gate) === JSON.stringify(first.shard.gate);
  if (isSame) return;
  throw new UserError("merge-foreign", `${file} is no part of the run that ${first.file} is a part of.`, {
    hint: "Parts of a run are made with the same logs and options, --shard alone differs.",
  });
}

function checkComplete(parts: readonly Part[], { count, logs }: RunShard, found: number): void {
  const fileOf = new Map<number, string>();
  for (const { file, shard } of parts) {
    const other = fileOf.get(shard.index);
    if (other !== undefined) {
      throw new UserError("merge-twice", `${other} and ${file} are both part ${shard.index} of ${count}.`, {
        hint: "Leave one of them out.",
      });
    }
    fileOf.set(shard.index, file);
  }
  const missing = Array.from({ length: count }, (_, i) => i + 1).filter((index) => !fileOf.has(index));
  if (missing.length > 0) {
    const some = missing.slice(0, 10).join(", ") + (missing.length > 10 ? ` and ${missing.length - 10} more` : "");
    throw new UserError("merge-missing", `Of ${count} parts of the run ${missing.length} are missing: ${some}.`, {
      hint: "Audit them with --shard, and merge all.",
    });
  }
  const stopped = parts.find(({ run }) => run.summary.gate.reasons.some(({ code }) => code === "interrupted"));
  if (found === logs && stopped === undefined) return;
  const where = stopped === undefined ? "The logs were not the same for all parts" : `${stopped.file} was interrupted`;
  throw new UserError("merge-missing", `${where}: ${found} of ${logs} logs are there.`, {
    hint: "Audit that part again; with --cache only what is missing is done.",
  });
}

function gateOf({ gate }: RunShard): GateOptions {
  return {
    gate: gate.verdict,
    minScore: gate.min_score ?? undefined,
    minCoverage: gate.min_coverage ?? undefined,
  };
}

function runOf(
  runs: readonly RunToMerge[],
  config: RunResult["config"],
  logs: readonly LogResult[],
  gate: GateOptions,
): RunResult {
  return {
    format: "homeleg-result",
    format_version: 1,
    tool_version: runs[0]?.run.tool_version ?? "",
    config,
    logs,
    summary: summarize(logs, gate),
  };
}
