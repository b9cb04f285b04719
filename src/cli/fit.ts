import { resolve } from "node:path";
import { type Command, Option } from "commander";
import {
  type AircraftFit,
  aircraftYaml,
  fitAircraft,
  fitReport,
  jsonText,
  type LogEvidence,
  readFitLog,
  type Setting,
  sharedAircraft,
  unreadFitLog,
  UserError,
} from "../index.js";
import { EXIT } from "./exit.js";
import { findLogs, type LogToAudit } from "./find-logs.js";
import { bytesOf, nameOf } from "./log-bytes.js";
import { isOperatorTrack } from "./operator-track.js";
import { lookOptions, repeated } from "./options.js";
import { refuseToOverwrite } from "./refuse-to-overwrite.js";
import { Settings } from "./settings.js";
import { lookOf, type LookFlags } from "./terminal.js";
import { TOOL_VERSION } from "./tool-version.js";
import { writeWhole } from "./write-file.js";

/** What `fit` was asked. */
interface FitFlags extends Pick<LookFlags, "color" | "ascii"> {
  readonly format: "text" | "json";
  readonly output?: string;
  readonly force?: boolean;
  readonly check?: boolean;
  readonly config?: string;
  readonly set: readonly string[];
}

/** Adds `homeleg fit`. */
export function addFit(program: Command): void {
  const command = program
    .command("fit")
    .summary("drain rates of one aircraft from its logs")
    .description(
      "Fits drain rates from many logs of one aircraft, and writes a file that homeleg.yaml can point to. Logs that do not agree are named, not averaged.",
    )
    .argument("<paths...>", "log files (CSV, GPX), folders, or - for standard input")
    .option("-o, --output <file>", "write the rates there as YAML (- for standard output, in place of the report)")
    .option("--force", "overwrite a file that is there")
    .option("--check", "also predict each log from the others")
    .addOption(new Option("--format <format>", "of the report").choices(["text", "json"]).default("text"))
    .option("--config <file>", "settings, instead of the homeleg.yaml found upward from each log")
    .addOption(repeated("--set <key=value>", "one setting over the file"));
  for (const option of lookOptions()) command.addOption(option);
  command.action(async (paths: string[], flags: FitFlags) => {
    process.exitCode = await fit(await findLogs(paths), flags);
  });
}

async function fit(found: readonly LogToAudit[], flags: FitFlags): Promise<number> {
  const { output, force = false } = flags;
  if (output !== undefined && output !== "-") {
    refuseLog(output, found);
    await refuseToOverwrite(output, force);
  }
  const { logs, settings, configs, isBroken } = await readAll(found, flags);
  const [first] = settings;
  const result = fitAircraft(logs, {
    check: flags.check ?? false,
    ...(first === undefined ? {} : { upper_pct: first.policy.upper }),
  });
  if (isBroken) return EXIT.usage;
  await write(result, settings, configs, flags);
  return exitCode(result, logs);
}

/** What the logs of a run tell, and the settings they were read with. */
interface Read {
  readonly logs: readonly LogEvidence[];
  readonly settings: readonly Setting[];
  readonly configs: ReadonlyMap<string, string>;
  /** Some settings were wrong; standard error has said how. */
  readonly isBroken: boolean;
}

async function readAll(found: readonly LogToAudit[], flags: FitFlags): Promise<Read> {
  const settings = new Settings({ ...flags, units: "metric" });
  const used = new Set<Setting>();
  const configs = new Map<string, string>();
  const logs: LogEvidence[] = [];
  let isBroken = false;
  for (const { path, error } of found) {
    const setting = error ?? (await settings.for(path));
    if (setting instanceof UserError) {
      isBroken ||= error === undefined;
      logs.push(unreadFitLog(nameOf(path), setting));
      continue;
    }
    if (isOperatorTrack(path, setting)) {
      process.stderr.write(`homeleg: ${path} is the operator's own track, and was left out.\n`);
      continue;
    }
    used.add(setting);
    for (const file of setting.config.files) configs.set(file.path, file.sha256);
    logs.push(await readFitLog(bytesOf(path), setting, { path: nameOf(path) }));
  }
  return { logs, settings: [...used], configs, isBroken };
}

/** A log is the evidence, and stays, whatever --force says. */
function refuseLog(output: string, found: readonly LogToAudit[]): void {
  if (!found.some(({ path }) => path !== "-" && resolve(path) === resolve(output))) return;
  throw new UserError("output-is-log", `--output ${output} would be written over a log.`, {
    hint: "Nothing was done; choose another name.",
  });
}

async function write(
  result: AircraftFit,
  settings: readonly Setting[],
  configs: ReadonlyMap<string, string>,
  flags: FitFlags,
): Promise<void> {
  const { output, format } = flags;
  const yaml =
    output === undefined || result.drain === null
      ? undefined
      : aircraftYaml(result, { toolVersion: TOOL_VERSION, declared: sharedAircraft(settings) });
  if (output === "-" && yaml !== undefined) {
    process.stdout.write(yaml);
    return;
  }
  const run = {
    format: "homeleg-fit",
    format_version: 1,
    tool_version: TOOL_VERSION,
    config: [...configs].map(([path, sha256]) => ({ path, sha256 })),
    ...result,
  };
  const isToTerminal = process.stdout.isTTY;
  const report =
    format === "json"
      ? `${jsonText(run, 2)}\n`
      : fitReport(result, lookOf({ ...flags, units: "metric" }, isToTerminal));
  process.stdout.write(report);
  if (output === undefined) return;
  if (yaml === undefined) {
    process.stderr.write(`homeleg: ${output} was not written.\n`);
    return;
  }
  await writeWhole(output, [yaml]);
  process.stderr.write(
    `homeleg: ${output} is written; homeleg.yaml can point to it (aircraft: and its path from there).\n`,
  );
}

/** 3 for a log that could not be read or rates that could not be fitted, 1 for logs that do not agree. */
function exitCode({ drain, disagreement }: AircraftFit, logs: readonly LogEvidence[]): number {
  if (logs.some(({ problem }) => problem !== undefined)) return EXIT.unreadable;
  if (disagreement !== null) return EXIT.gate;
  return drain === null ? EXIT.unreadable : EXIT.passed;
}
