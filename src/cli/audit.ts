import { resolve } from "node:path";
import { type Command, Option } from "commander";
import {
  auditLog,
  type GateOptions,
  jsonReport,
  type LogResult,
  ndjsonReport,
  type RunResult,
  summarize,
  textReport,
  unreadLog,
  UserError,
} from "../index.js";
import { findLogs, type LogToAudit } from "./find-logs.js";
import { EXIT } from "./exit.js";
import { bytesOf, nameOf } from "./log-bytes.js";
import { MomentsFile } from "./moments-file.js";
import { isOperatorTrack } from "./operator-track.js";
import { collect, numberIn, share, textOptions } from "./options.js";
import { Settings } from "./settings.js";
import { lookOf, type LookFlags } from "./terminal.js";
import { TOOL_VERSION } from "./tool-version.js";
import { writeWhole } from "./write-file.js";

/** What `audit` was asked. */
export interface AuditFlags extends LookFlags {
  readonly format: "text" | "json" | "ndjson";
  readonly output?: string;
  readonly config?: string;
  readonly set: readonly string[];
  readonly gate: "fail" | "thin";
  readonly minScore?: number;
  readonly minCoverage?: number;
  readonly moments?: string;
}

/** Adds `homeleg audit`. */
export function addAudit(program: Command): void {
  const command = program
    .command("audit")
    .summary("judge every moment of one log or of whole folders")
    .description("Judges every moment of one log, of several, or of whole folders: would a recovery have come home?")
    .argument("<paths...>", "log files (CSV, GPX), folders, or - for standard input")
    .addOption(new Option("--format <format>", "what to write").choices(["text", "json", "ndjson"]).default("text"))
    .option("--output <file>", "write the report there instead of to standard output")
    .option("--moments <file>", "also write every moment with its numbers and verdicts (.csv or .ndjson)")
    .option("--config <file>", "settings, instead of the homeleg.yaml found upward from each log")
    .option("--set <key=value>", "one setting over the file, such as --set policy.clearance=15m", collect, [])
    .addOption(
      new Option("--gate <verdict>", "the mildest verdict that fails the run")
        .choices(["fail", "thin"])
        .default("fail"),
    )
    .option("--min-score <score>", "fail the run under this score", numberIn(0, 100, "a number"))
    .option("--min-coverage <share>", "fail the run under this coverage; 0 lets flights without a score pass", share);
  for (const option of textOptions()) command.addOption(option);
  command.action(async (paths: string[], flags: AuditFlags) => {
    process.exitCode = await audit(paths, flags);
  });
}

/** Audits and reports; the sum of what happened decides the exit code. */
export async function audit(paths: readonly string[], flags: AuditFlags): Promise<number> {
  const logs = await findLogs(paths);
  refuseToOverwrite(logs, flags);
  const moments = flags.moments === undefined ? undefined : new MomentsFile(flags.moments);
  try {
    const { run, isBroken } = await auditAll(logs, flags, moments);
    await moments?.close();
    // Where nothing could even be tried, standard error has said all there is.
    const isTried =
      run.logs.length === 0 || run.logs.some(({ problems }) => !problems.some(({ code }) => code === "settings-wrong"));
    if (isTried) await write(run, flags);
    return exitCode(run, isBroken);
  } catch (error) {
    await moments?.abandon();
    throw error;
  }
}

/** A log is the evidence: nothing is written over one, nor one output over the other. */
function refuseToOverwrite(logs: readonly LogToAudit[], { output, moments }: AuditFlags): void {
  const taken = new Map(logs.filter(({ path }) => path !== "-").map(({ path }) => [resolve(path), `the log ${path}`]));
  for (const [option, target] of [
    ["--output", output],
    ["--moments", moments],
  ] as const) {
    if (target === undefined) continue;
    const holder = taken.get(resolve(target));
    if (holder !== undefined) {
      const message = `${option} ${target} would be written over ${holder}.`;
      throw new UserError("output-taken", message, { hint: "Nothing was done; choose another name." });
    }
    taken.set(resolve(target), `what ${option} writes`);
  }
}

/** What became of a run, and what decides its exit code besides the result. */
interface Outcome {
  readonly run: RunResult;
  /** A rule crashed, or settings were wrong: both win over everything else. */
  readonly isBroken: boolean;
}

async function auditAll(
  logs: readonly LogToAudit[],
  flags: AuditFlags,
  moments: MomentsFile | undefined,
): Promise<Outcome> {
  const settings = new Settings(flags);
  const results: LogResult[] = [];
  const configs = new Map<string, string>();
  let isBroken = false;
  for (const { path, error } of logs) {
    if (error !== undefined) {
      results.push(unreadLog(path, error));
      continue;
    }
    const setting = await settings.for(path);
    if (setting instanceof UserError) {
      isBroken = true;
      results.push(unreadLog(path, setting));
      continue;
    }
    if (isOperatorTrack(path, setting)) {
      process.stderr.write(`homeleg: ${path} is the operator's own track, and was left out.\n`);
      continue;
    }
    for (const file of setting.config.files) configs.set(file.path, file.sha256);
    const audited = await settings.withSite(() => auditLog(bytesOf(path), setting, { path: nameOf(path) }));
    if (audited instanceof UserError) {
      isBroken = true;
      results.push(unreadLog(path, audited));
      continue;
    }
    const { result, flights, crashes } = audited;
    isBroken ||= crashes.size > 0;
    await moments?.add(result.path, flights);
    results.push(result);
  }
  const gate: GateOptions = { gate: flags.gate, minScore: flags.minScore, minCoverage: flags.minCoverage };
  const run: RunResult = {
    format: "homeleg-result",
    format_version: 1,
    tool_version: TOOL_VERSION,
    config: [...configs].map(([path, sha256]) => ({ path, sha256 })),
    logs: results,
    summary: summarize(results, gate),
  };
  return { run, isBroken };
}

async function write(run: RunResult, flags: AuditFlags): Promise<void> {
  const isToTerminal = flags.output === undefined && process.stdout.isTTY;
  const report = {
    text: () => textReport(run, lookOf(flags, isToTerminal)),
    json: () => jsonReport(run),
    ndjson: () => ndjsonReport(run.logs),
  }[flags.format]();
  if (flags.output === undefined) process.stdout.write(report);
  else await writeWhole(flags.output, [report]);
}

/** Of several 2 wins, then 3, then 1. */
function exitCode({ logs, summary }: RunResult, isBroken: boolean): number {
  if (isBroken) return EXIT.usage;
  const isJudged = logs.some(({ flights }) => flights.some(({ recoverable_share }) => recoverable_share !== null));
  if (summary.logs_unreadable > 0 || !isJudged) return EXIT.unreadable;
  return summary.gate.passed ? EXIT.passed : EXIT.gate;
}
