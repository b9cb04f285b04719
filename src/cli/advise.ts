import { type Command, InvalidArgumentError, Option } from "commander";
import { adviseReport, adviseSite, auditLog, jsonText, type LogAudit, parseQuantity, UserError } from "../index.js";
import { EXIT } from "./exit.js";
import { findLogs } from "./find-logs.js";
import { bytesOf, nameOf } from "./log-bytes.js";
import { lookOptions, repeated } from "./options.js";
import { printError } from "./print-error.js";
import { Settings } from "./settings.js";
import { lookOf, type LookFlags } from "./terminal.js";
import { TOOL_VERSION } from "./tool-version.js";
import { writeWhole } from "./write-file.js";

interface AdviseFlags extends Pick<LookFlags, "color" | "ascii" | "units"> {
  readonly format: "text" | "json";
  readonly radius?: number;
  readonly output?: string;
  readonly config?: string;
  readonly set: readonly string[];
}

/** Adds `homeleg advise`. */
export function addAdvise(program: Command): void {
  const command = program
    .command("advise")
    .summary("what to set for the next flight at a site")
    .description(
      "Says for the next flight at this site: the least safe recovery height, the battery with which to turn back, and the lost-link action.",
    )
    .argument("<paths...>", "logs of flights made there (CSV, GPX), folders, or - for standard input")
    .option("--radius <length>", "also everywhere this near to the recovery point, such as 500m", lengthOf)
    .addOption(new Option("--format <format>", "what to write").choices(["text", "json"]).default("text"))
    .option("--output <file>", "write the advice there instead of to standard output")
    .option("--config <file>", "settings, instead of the homeleg.yaml found upward from each log")
    .addOption(repeated("--set <key=value>", "one setting over the file, such as --set wind.speed=8m/s"))
    .addOption(new Option("--units <system>", "units of the prose").choices(["metric", "imperial"]).default("metric"));
  for (const option of lookOptions()) command.addOption(option);
  command.action(async (paths: string[], flags: AdviseFlags) => {
    process.exitCode = await advise(paths, flags);
  });
}

function lengthOf(text: string): number {
  try {
    const radius_m = parseQuantity(text, "length");
    if (radius_m > 0 && radius_m <= 100_000) return radius_m;
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    throw new InvalidArgumentError(error.line);
  }
  throw new InvalidArgumentError("It must be more than 0 m and at most 100 km.");
}

/** What was read cannot be written over; what could not be read is said, and stops nothing else. */
async function advise(paths: readonly string[], flags: AdviseFlags): Promise<number> {
  const settings = new Settings(flags);
  const audits: LogAudit[] = [];
  let isBroken = false;
  for (const { path, error } of await findLogs(paths)) {
    const setting = error ?? (await settings.for(path));
    if (setting instanceof UserError) {
      if (error === undefined) isBroken = true;
      else printError(error);
      continue;
    }
    const audit = await auditLog(bytesOf(path), setting, { path: nameOf(path), around_m: flags.radius });
    const [problem] = audit.result.problems;
    if (audit.result.parser !== null) audits.push(audit);
    else printError(new UserError("log-unreadable", `${nameOf(path)}: ${problem?.message ?? "could not be read."}`));
  }
  if (isBroken) return EXIT.usage;
  if (audits.every(({ flights }) => flights.length === 0)) {
    printError(
      new UserError("no-flights", "There is no flight to advise from.", { hint: "Name logs of flights made there." }),
    );
    return EXIT.unreadable;
  }
  const advice = adviseSite(audits, { radius_m: flags.radius });
  const isToTerminal = flags.output === undefined && process.stdout.isTTY;
  const report =
    flags.format === "json"
      ? `${jsonText({ ...advice, tool_version: TOOL_VERSION }, 2)}\n`
      : adviseReport(advice, lookOf(flags, isToTerminal));
  if (flags.output === undefined) process.stdout.write(report);
  else await writeWhole(flags.output, [report]);
  return EXIT.passed;
}
