import { type Command, Option } from "commander";
import {
  auditLog,
  inspectionReport,
  type InspectionRun,
  inspectLog,
  inspectSite,
  jsonText,
  type LogAudit,
  type LogInspection,
  siteReport,
  uninspectedLog,
  UserError,
} from "../index.js";
import { EXIT } from "./exit.js";
import { isMapWrong } from "./is-map-wrong.js";
import { findLogs, type LogToAudit } from "./find-logs.js";
import { bytesOf, nameOf } from "./log-bytes.js";
import { lookOptions, repeated } from "./options.js";
import { printError } from "./print-error.js";
import { Settings } from "./settings.js";
import { lookOf, type LookFlags } from "./terminal.js";
import { TOOL_VERSION } from "./tool-version.js";
import { writeWhole } from "./write-file.js";

/** What `inspect` was asked. */
interface InspectFlags extends Pick<LookFlags, "color" | "ascii"> {
  readonly format: "text" | "json";
  readonly output?: string;
  readonly config?: string;
  readonly site?: string;
  readonly set: readonly string[];
}

/** Adds `homeleg inspect`. */
export function addInspect(program: Command): void {
  const command = program
    .command("inspect")
    .summary("tell how a log, or a site, was understood")
    .description("Tells how logs were understood: dialect, columns, flights, what is missing and what that costs.")
    .argument("[paths...]", "log files (CSV, GPX), folders, or - for standard input")
    .addOption(new Option("--format <format>", "what to write").choices(["text", "json"]).default("text"))
    .option("--output <file>", "write the report there instead of to standard output")
    .option("--site <file>", "tell how the site of this homeleg.yaml was understood, and whether it covers the logs")
    .option("--config <file>", "settings, instead of the homeleg.yaml found upward from each log")
    .addOption(repeated("--set <key=value>", "one setting over the file"));
  for (const option of lookOptions()) command.addOption(option);
  command.action(async (paths: string[], flags: InspectFlags) => {
    process.exitCode =
      flags.site === undefined
        ? await inspect(await logsOf(paths), flags)
        : await inspectTheSite(paths, flags.site, flags);
  });
}

async function logsOf(paths: readonly string[]): Promise<LogToAudit[]> {
  if (paths.length > 0) return findLogs(paths);
  throw new UserError("no-paths", "There is nothing to inspect.", {
    hint: "Name a log or a folder, or the settings of a site with --site.",
  });
}

/** The site of a homeleg.yaml, and how much of the flights given it covers. */
async function inspectTheSite(paths: readonly string[], configPath: string, flags: InspectFlags): Promise<number> {
  const settings = new Settings({ ...flags, config: configPath, units: "metric" });
  const setting = await settings.for(configPath);
  if (setting instanceof UserError) return EXIT.usage;
  const audits: LogAudit[] = [];
  let isUnread = false;
  for (const { path, error } of await findLogs(paths)) {
    const audit = error ?? (await settings.withSite(() => auditLog(bytesOf(path), setting, { path: nameOf(path) })));
    if (audit instanceof UserError) {
      if (error === undefined) return EXIT.usage;
      printError(audit);
      isUnread = true;
      continue;
    }
    if (audit.result.parser === null) {
      printError(
        new UserError(
          "log-unreadable",
          `${nameOf(path)}: ${audit.result.problems[0]?.message ?? "could not be read."}`,
        ),
      );
      isUnread = true;
    }
    audits.push(audit);
  }
  const site = await settings.withSite(() => inspectSite(setting, audits));
  if (site instanceof UserError) return EXIT.usage;
  const { files } = setting.config;
  const run = {
    format: "homeleg-site-inspection",
    format_version: 1,
    tool_version: TOOL_VERSION,
    config: files,
    ...site,
  };
  const isToTerminal = flags.output === undefined && process.stdout.isTTY;
  const report =
    flags.format === "json"
      ? `${jsonText(run, 2)}\n`
      : siteReport(site, lookOf({ ...flags, units: "metric" }, isToTerminal));
  await writeWhole(flags.output ?? "-", [report]);
  return isUnread ? EXIT.unreadable : EXIT.passed;
}

async function inspect(found: readonly LogToAudit[], flags: InspectFlags): Promise<number> {
  const settings = new Settings({ ...flags, units: "metric" });
  const logs: LogInspection[] = [];
  const configs = new Map<string, string>();
  let isBroken = false;
  for (const { path, error } of found) {
    const setting = error ?? (await settings.for(path));
    if (setting instanceof UserError) {
      isBroken ||= error === undefined;
      logs.push(uninspectedLog(nameOf(path), setting));
      continue;
    }
    for (const file of setting.config.files) configs.set(file.path, file.sha256);
    const inspected = await settings.withSite(() => inspectLog(bytesOf(path), setting, { path: nameOf(path) }));
    isBroken ||= inspected instanceof UserError;
    logs.push(inspected instanceof UserError ? uninspectedLog(nameOf(path), inspected) : inspected);
  }
  await write({
    run: {
      format: "homeleg-inspection",
      format_version: 1,
      tool_version: TOOL_VERSION,
      config: [...configs].map(([path, sha256]) => ({ path, sha256 })),
      logs,
    },
    flags,
  });
  if (isBroken || isMapWrong(logs)) return EXIT.usage;
  return logs.some(({ parser }) => parser === null) ? EXIT.unreadable : EXIT.passed;
}

async function write({ run, flags }: { run: InspectionRun; flags: InspectFlags }): Promise<void> {
  const isToTerminal = flags.output === undefined && process.stdout.isTTY;
  const report =
    flags.format === "json"
      ? `${jsonText(run, 2)}\n`
      : inspectionReport(run.logs, lookOf({ ...flags, units: "metric" }, isToTerminal));
  if (flags.output === undefined) process.stdout.write(report);
  else await writeWhole(flags.output, [report]);
}
