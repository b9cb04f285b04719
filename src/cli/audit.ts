import type { Command } from "commander";
import type { LogFacts, RunToReport } from "../index.js";
import type { AuditFlags } from "./audit-flags.js";
import { auditRun, type Outcome } from "./audit-run.js";
import { EXIT, exitCode } from "./exit.js";
import { pathsOf } from "./files-from.js";
import { findLogs, type LogToAudit } from "./find-logs.js";
import { formatOption } from "./formats.js";
import { HtmlPages } from "./html-pages.js";
import { nameOf } from "./log-bytes.js";
import { MomentsFile, momentsPlace } from "./moments-file.js";
import { gateOptions, repeated, textOptions, wholeFrom } from "./options.js";
import { claimAll, type Destination, planOutput, TakenFiles, writeReport } from "./output.js";
import { type Reporter, REPORTERS } from "./reporters.js";
import { partOf, shardOf } from "./shard.js";
import { lookOf } from "./terminal.js";
import { TOOL_VERSION } from "./tool-version.js";

/** Adds `homeleg audit`. */
export function addAudit(program: Command): void {
  const command = program
    .command("audit")
    .summary("judge every moment of a log, or of a folder")
    .description("Judges every moment of one log, of several, or of whole folders: would a recovery have come home?")
    .argument("[paths...]", "log files (CSV, GPX), folders, or - for standard input")
    .option("--files-from <list>", "also the paths in this file, one a line; - reads them from standard input")
    .addOption(formatOption(REPORTERS))
    .option("--output <place>", "write there: a file, or a folder, whose name ends with /")
    .option("--moments <file>", "also write every moment with its numbers and verdicts (.csv or .ndjson)")
    .option("--config <file>", "settings, instead of the homeleg.yaml found upward from each log")
    .addOption(repeated("--set <key=value>", "one setting over the file, such as --set policy.clearance=15m"))
    .option("--jobs <number>", "logs at a time at the most (default: as many as there are cores)", wholeFrom(1, 1024))
    .option("--cache <folder>", "keep audits there, and make only those again of which something has changed")
    .option("--shard <part>", "only this part of the logs, such as 2/8, for `homeleg merge`", shardOf);
  for (const option of [...gateOptions(), ...textOptions()]) command.addOption(option);
  command.action(async (paths: string[], flags: AuditFlags) => {
    process.exitCode = await audit(paths, flags);
  });
}

/** Audits and reports; the sum of what happened decides the exit code. */
export async function audit(paths: readonly string[], flags: AuditFlags): Promise<number> {
  const destinations = await planOutput(flags.format, flags.output);
  const found = await findLogs(await pathsOf(paths, flags.filesFrom));
  const logs = partOf(found, flags.shard);
  const taken = new TakenFiles();
  for (const { path, error, file } of found) {
    if (path !== "-" && error === undefined) taken.hold(path, `the log ${path}`, file?.identity);
  }
  await claimAll(destinations, taken);
  if (flags.moments !== undefined) taken.claim(flags.moments, "--moments");
  const moments = flags.moments === undefined ? undefined : new MomentsFile(momentsPlace(flags.moments));
  const pages = pagesFor(destinations, found, flags);
  await pages?.open();
  try {
    const { run, facts, parts, isBroken, isInterrupted } = await auditRun({ found, logs, flags, moments, pages });
    if (isInterrupted && facts.length === 0) {
      await moments?.abandon();
      return EXIT.interrupted;
    }
    await moments?.close();
    if (flags.shard !== undefined || isTried(facts)) {
      const context = { flags, parts, taken };
      for (const destination of destinations.filter(({ reporter }) => reporter.id !== "html"))
        await write(run, destination, context);
      await pages?.close(run);
    }
    return isInterrupted ? EXIT.interrupted : exitCode(run, facts, isBroken);
  } catch (error) {
    await moments?.abandon();
    throw error;
  }
}

/** Where nothing could even be tried, standard error has said all there is. */
function isTried(logs: readonly LogFacts[]): boolean {
  return logs.length === 0 || logs.some(({ problems }) => !problems.some(({ code }) => code === "settings-wrong"));
}

/** Pages are written log by log, not out of the run: a thousand of them would not fit into memory. */
function pagesFor(
  destinations: readonly Destination<Reporter>[],
  logs: readonly LogToAudit[],
  { units }: AuditFlags,
): HtmlPages | undefined {
  const place = destinations.find(({ reporter }) => reporter.id === "html");
  if (place === undefined) return undefined;
  const paths = logs.map(({ path }) => nameOf(path));
  return new HtmlPages(place.folder ?? place.file, paths, { units, toolVersion: TOOL_VERSION });
}

async function write(
  run: RunToReport,
  destination: Destination<Reporter>,
  {
    flags,
    parts,
    taken,
  }: {
    readonly flags: AuditFlags;
    readonly parts: Outcome["parts"];
    readonly taken: TakenFiles;
  },
): Promise<void> {
  const { reporter, file, folder } = destination;
  const isToTerminal = file === undefined && folder === undefined && process.stdout.isTTY;
  const context = { look: lookOf(flags, isToTerminal), gate: flags.gate ?? "fail" };
  await writeReport(destination, reporter.render(run, context, parts.get(reporter.id) ?? []), taken);
}
