import { type Command, Option } from "commander";
import { auditLog, type AuditToShow, type GateOptions, type LogResult, type RunResult, summarize } from "../index.js";
import { unreadLog, UserError } from "../index.js";
import { EXIT } from "./exit.js";
import { findLogs, type LogToAudit } from "./find-logs.js";
import { formatsOf } from "./formats.js";
import { HtmlPages } from "./html-pages.js";
import { isMapWrong } from "./is-map-wrong.js";
import { LogReader } from "./log-reader.js";
import { nameOf } from "./log-bytes.js";
import { MomentsFile } from "./moments-file.js";
import { isOperatorTrack } from "./operator-track.js";
import { collect, numberIn, share, textOptions } from "./options.js";
import { claimAll, type Destination, planOutput, TakenFiles, writeReport } from "./output.js";
import { type Reporter, type ReportInProgress, REPORTERS } from "./reporters.js";
import { Settings } from "./settings.js";
import { lookOf, type LookFlags } from "./terminal.js";
import { TOOL_VERSION } from "./tool-version.js";

/** What `audit` was asked. */
export interface AuditFlags extends LookFlags {
  readonly format: readonly Reporter[];
  readonly output?: string;
  readonly config?: string;
  readonly set: readonly string[];
  readonly gate: "fail" | "thin";
  readonly minScore?: number;
  readonly minCoverage?: number;
  readonly moments?: string;
}

/** What is written where nothing else is asked for. */
export const TEXT_ONLY: readonly Reporter[] = REPORTERS.filter(({ id }) => id === "text");

/** Adds `homeleg audit`. */
export function addAudit(program: Command): void {
  const command = program
    .command("audit")
    .summary("judge every moment of a log, or of a folder")
    .description("Judges every moment of one log, of several, or of whole folders: would a recovery have come home?")
    .argument("<paths...>", "log files (CSV, GPX), folders, or - for standard input")
    .addOption(formatOption())
    .option("--output <place>", "write there: a file, or a folder, whose name ends with /")
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

function formatOption(): Option {
  const names = REPORTERS.map(({ id }) => id).join(", ");
  return new Option("--format <formats>", `${names}; several with commas between`)
    .argParser(formatsOf(REPORTERS))
    .default(TEXT_ONLY, "text");
}

/** Audits and reports; the sum of what happened decides the exit code. */
export async function audit(paths: readonly string[], flags: AuditFlags): Promise<number> {
  const destinations = await planOutput(flags.format, flags.output);
  const logs = await findLogs(paths);
  const taken = new TakenFiles();
  for (const { path, error } of logs)
    if (path !== "-" && error === undefined) await taken.hold(path, `the log ${path}`);
  await claimAll(destinations, taken);
  if (flags.moments !== undefined) await taken.claim(flags.moments, "--moments");
  const moments = flags.moments === undefined ? undefined : new MomentsFile(flags.moments);
  const pages = pagesFor(destinations, logs, flags);
  await pages?.open();
  const reports = destinations
    .filter(({ reporter }) => reporter.id !== "html")
    .map((destination) => ({ destination, report: destination.reporter.begin() }));
  try {
    const { run, isBroken } = await auditAll(
      logs,
      flags,
      moments,
      reports.map(({ report }) => report),
      pages,
    );
    await moments?.close();
    // Where nothing could even be tried, standard error has said all there is.
    const isTried =
      run.logs.length === 0 || run.logs.some(({ problems }) => !problems.some(({ code }) => code === "settings-wrong"));
    if (isTried) {
      for (const one of reports) await write(run, flags, one, taken);
      await pages?.close(run);
    }
    return exitCode(run, isBroken);
  } catch (error) {
    await moments?.abandon();
    throw error;
  }
}

/** Pages are written log by log, not out of the run: a thousand of them would not fit into memory. */
function pagesFor(
  destinations: readonly Destination[],
  logs: readonly LogToAudit[],
  { units }: AuditFlags,
): HtmlPages | undefined {
  const place = destinations.find(({ reporter }) => reporter.id === "html");
  if (place === undefined) return undefined;
  const paths = logs.map(({ path }) => path);
  return new HtmlPages(place.folder ?? place.file, paths, { units, toolVersion: TOOL_VERSION });
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
  reports: readonly ReportInProgress[],
  pages: HtmlPages | undefined,
): Promise<Outcome> {
  const settings = new Settings(flags);
  const reader = await LogReader.of(logs, flags);
  const results: LogResult[] = [];
  const add = async (audit: AuditToShow): Promise<void> => {
    results.push(audit.result);
    await pages?.add(audit);
  };
  const configs = new Map<string, string>();
  let isBroken = false;
  for (const { path, error } of logs) {
    if (error !== undefined) {
      await add({ result: unreadLog(path, error), flights: [] });
      continue;
    }
    const setting = await settings.for(path);
    if (setting instanceof UserError) {
      isBroken = true;
      await add({ result: unreadLog(path, setting), flights: [] });
      continue;
    }
    if (isOperatorTrack(path, setting)) {
      reader.note(`${path} is the operator's own track, and was left out.`);
      continue;
    }
    for (const file of setting.config.files) configs.set(file.path, file.sha256);
    const audited = await settings.withSite(() => auditLog(reader.bytesOf(path), setting, { path: nameOf(path) }));
    if (audited instanceof UserError) {
      isBroken = true;
      await add({ result: unreadLog(path, audited), flights: [] });
      continue;
    }
    isBroken ||= audited.crashes.size > 0;
    await moments?.add(audited.result.path, audited.flights);
    for (const report of reports) report.add(audited);
    await add(audited);
  }
  reader.close();
  isBroken ||= isMapWrong(results);
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

async function write(
  run: RunResult,
  flags: AuditFlags,
  { destination, report }: { destination: Destination; report: ReportInProgress },
  taken: TakenFiles,
): Promise<void> {
  const isToTerminal = destination.file === undefined && destination.folder === undefined && process.stdout.isTTY;
  const files = report.finish(run, { look: lookOf(flags, isToTerminal), gate: flags.gate });
  await writeReport(destination, files, taken);
}

/** Of several 2 wins, then 3, then 1. */
function exitCode({ logs, summary }: RunResult, isBroken: boolean): number {
  if (isBroken) return EXIT.usage;
  const isJudged = logs.some(({ flights }) => flights.some(({ recoverable_share }) => recoverable_share !== null));
  if (summary.logs_unreadable > 0 || !isJudged) return EXIT.unreadable;
  return summary.gate.passed ? EXIT.passed : EXIT.gate;
}
