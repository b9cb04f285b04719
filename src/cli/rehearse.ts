import { dirname } from "node:path";
import { type Command, Option } from "commander";
import {
  jsonText,
  loadSetting,
  rehearsalHtml,
  type RehearsalResult,
  rehearsalSvg,
  rehearsalText,
  rehearse,
  type Setting,
  SettingError,
  UserError,
} from "../index.js";
import { EXIT } from "./exit.js";
import { formatsOf } from "./formats.js";
import { bytesOf, nameOf } from "./log-bytes.js";
import { lookOptions, numberIn, repeated } from "./options.js";
import { TakenFiles } from "./output.js";
import { printError } from "./print-error.js";
import { lookOf, type LookFlags } from "./terminal.js";
import { TOOL_VERSION } from "./tool-version.js";
import { writeWhole } from "./write-file.js";

interface RehearseFlags extends LookFlags {
  readonly at: string;
  readonly flight?: number;
  readonly format: readonly RehearsalFormat[];
  readonly output?: string;
  readonly config?: string;
  readonly set: readonly string[];
}

interface RehearsalFormat {
  readonly id: string;
  readonly render: (rehearsal: RehearsalResult, flags: RehearseFlags) => string | Promise<string>;
}

const FORMATS: readonly RehearsalFormat[] = [
  {
    id: "text",
    render: (rehearsal, flags) =>
      rehearsalText(rehearsal, lookOf(flags, flags.output === undefined && process.stdout.isTTY)),
  },
  {
    id: "json",
    render: (rehearsal) => `${jsonText({ ...rehearsal, tool_version: TOOL_VERSION }, 2)}\n`,
  },
  { id: "svg", render: (rehearsal, { units }) => rehearsalSvg(rehearsal, { units }) },
  { id: "html", render: (rehearsal, { units }) => rehearsalHtml(rehearsal, { units, toolVersion: TOOL_VERSION }) },
];

/** Adds `homeleg rehearse`. */
export function addRehearse(program: Command): void {
  const command = program
    .command("rehearse")
    .summary("show one recovery of a log, phase by phase")
    .description("Shows one recovery, phase by phase: the one that the audit judges at that moment.")
    .argument("<file>", "a log (CSV, GPX), or - for standard input")
    .requiredOption("--at <time>", "when: 412, 6:52 or 0:06:52 from the log's first sample, or UTC in ISO 8601")
    .option("--flight <number>", "the flight that the time must be in", numberIn(1, 1e6, "a number"))
    .addOption(
      new Option("--format <format>", FORMATS.map(({ id }) => id).join(", "))
        .argParser(formatsOf(FORMATS))
        .default(FORMATS.slice(0, 1), "text"),
    )
    .option("--output <file>", "write it there instead of to standard output")
    .option("--config <file>", "settings, instead of the homeleg.yaml found upward from the log")
    .addOption(repeated("--set <key=value>", "one setting over the file"))
    .addOption(new Option("--units <system>", "units of the prose").choices(["metric", "imperial"]).default("metric"));
  for (const option of lookOptions()) command.addOption(option);
  command.action(async (path: string, flags: RehearseFlags) => {
    process.exitCode = await show(path, flags);
  });
}

async function show(path: string, flags: RehearseFlags): Promise<number> {
  const [format, another] = flags.format;
  if (format === undefined || another !== undefined) {
    throw new UserError("formats-several", "rehearse writes one format at a time.");
  }
  const taken = new TakenFiles();
  if (path !== "-") taken.hold(path, `the log ${path}`);
  if (flags.output !== undefined && flags.output !== "-") taken.claim(flags.output, "--output");
  const setting = await settingFor(path, flags);
  let rehearsal: RehearsalResult;
  try {
    rehearsal = await rehearse(bytesOf(path), setting, { path: nameOf(path), at: flags.at, flight: flags.flight });
  } catch (error) {
    if (!(error instanceof UserError) || error instanceof SettingError) throw error;
    printError(error);
    // What was asked can be mended on the command line; the rest is about the log.
    return error.code.startsWith("time-") || error.code === "log-without-utc" ? EXIT.usage : EXIT.unreadable;
  }
  const text = await format.render(rehearsal, flags);
  if (flags.output === undefined) process.stdout.write(text);
  else await writeWhole(flags.output, [text]);
  return EXIT.passed;
}

async function settingFor(path: string, { config, set, units }: RehearseFlags): Promise<Setting> {
  const startFolder = path === "-" ? "." : dirname(path);
  return loadSetting({ startFolder, configPath: config, sets: set, units });
}
