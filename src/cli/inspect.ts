import { type Command, Option } from "commander";
import {
  inspectionReport,
  type InspectionRun,
  inspectLog,
  type LogInspection,
  uninspectedLog,
  UserError,
} from "../index.js";
import { EXIT } from "./exit.js";
import { findLogs, type LogToAudit } from "./find-logs.js";
import { bytesOf, nameOf } from "./log-bytes.js";
import { collect, lookOptions } from "./options.js";
import { Settings } from "./settings.js";
import { lookOf, type LookFlags } from "./terminal.js";
import { TOOL_VERSION } from "./tool-version.js";
import { writeWhole } from "./write-file.js";

/** What `inspect` was asked. */
interface InspectFlags extends Pick<LookFlags, "color" | "ascii"> {
  readonly format: "text" | "json";
  readonly output?: string;
  readonly config?: string;
  readonly set: readonly string[];
}

/** Adds `homeleg inspect`. */
export function addInspect(program: Command): void {
  const command = program
    .command("inspect")
    .summary("tell how a log was understood, and what is missing")
    .description("Tells how logs were understood: dialect, columns, flights, what is missing and what that costs.")
    .argument("<paths...>", "log files (CSV, GPX), folders, or - for standard input")
    .addOption(new Option("--format <format>", "what to write").choices(["text", "json"]).default("text"))
    .option("--output <file>", "write the report there instead of to standard output")
    .option("--config <file>", "settings, instead of the homeleg.yaml found upward from each log")
    .option("--set <key=value>", "one setting over the file", collect, []);
  for (const option of lookOptions()) command.addOption(option);
  command.action(async (paths: string[], flags: InspectFlags) => {
    process.exitCode = await inspect(await findLogs(paths), flags);
  });
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
  if (isBroken) return EXIT.usage;
  return logs.some(({ parser }) => parser === null) ? EXIT.unreadable : EXIT.passed;
}

async function write({ run, flags }: { run: InspectionRun; flags: InspectFlags }): Promise<void> {
  const isToTerminal = flags.output === undefined && process.stdout.isTTY;
  const report =
    flags.format === "json"
      ? `${JSON.stringify(run, null, 2)}\n`
      : inspectionReport(run.logs, lookOf({ ...flags, units: "metric" }, isToTerminal));
  if (flags.output === undefined) process.stdout.write(report);
  else await writeWhole(flags.output, [report]);
}
