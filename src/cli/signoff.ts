import { type Command, InvalidArgumentError, Option } from "commander";
import {
  auditLog,
  compareSignoffs,
  findConfig,
  loadSetting,
  type LogResult,
  parseSignoffRecord,
  type Setting,
  signedFiles,
  signOff,
  type SignoffRecord,
  unreadLog,
  UserError,
} from "../index.js";
import { EXIT } from "./exit.js";
import { findLogs } from "./find-logs.js";
import { formatsOf } from "./formats.js";
import { bytesOf, nameOf } from "./log-bytes.js";
import { lookOptions, repeated } from "./options.js";
import { readText } from "./read-text.js";
import { claimAll, planOutput, TakenFiles, writeReport } from "./output.js";
import { SIGNOFF_FORMATS, type SignoffFormat } from "./signoff-formats.js";
import { lookOf, type LookFlags } from "./terminal.js";
import { TOOL_VERSION } from "./tool-version.js";

/** What `signoff` was asked. */
interface SignoffFlags extends LookFlags {
  readonly policy?: string;
  readonly set: readonly string[];
  readonly asOf?: string;
  readonly trainee?: string;
  readonly instructor?: string;
  readonly remark?: string;
  readonly format: readonly SignoffFormat[];
  readonly output?: string;
  readonly verify?: string;
}

/** Adds `homeleg signoff`. */
export function addSignoff(program: Command): void {
  const command = program
    .command("signoff")
    .summary("judge a trainee's flights by a policy")
    .description(
      "Judges a trainee's logs against the requirements of one policy, and writes a record that can be shown and verified later.",
    )
    .argument("[paths...]", "log files (CSV, GPX), folders")
    .option("--policy <file>", "the homeleg.yaml for all logs, instead of the one found upward from here")
    .addOption(repeated("--set <key=value>", "one setting over the file, such as --set policy.signoff.flights=3"))
    .option("--as-of <date>", "the day that recency counts from, such as 2026-05-20; today by default", day)
    .option("--trainee <text>", "who flew, for the record")
    .option("--instructor <text>", "who signs, for the record")
    .option("--remark <text>", "anything else, for the record")
    .addOption(
      new Option("--format <formats>", `${SIGNOFF_FORMATS.map(({ id }) => id).join(", ")}; several with commas between`)
        .argParser(formatsOf(SIGNOFF_FORMATS))
        .default(SIGNOFF_FORMATS.slice(0, 1), "text"),
    )
    .option("--output <place>", "write there: a file, or a folder, whose name ends with /")
    .option("--verify <record>", "read the logs of a record again and say what no longer matches");
  for (const option of lookOptions()) command.addOption(option);
  command.action(async (paths: string[], flags: SignoffFlags) => {
    process.exitCode = flags.verify === undefined ? await signoff(paths, flags) : await verify(flags.verify, paths);
  });
}

/** @returns a day that is one: 2026-02-30 is none */
function day(text: string): string {
  const date = new Date(`${text}T00:00:00Z`);
  const isDay = /^\d{4}-\d\d-\d\d$/.test(text) && !Number.isNaN(date.getTime());
  if (!isDay || date.toISOString().slice(0, 10) !== text) {
    throw new InvalidArgumentError("It must be a day such as 2026-05-20.");
  }
  return text;
}

async function signoff(paths: readonly string[], flags: SignoffFlags): Promise<number> {
  if (paths.length === 0) {
    throw new UserError("no-paths", "There is no log to judge.", {
      hint: "Name the trainee's logs, or a record with --verify.",
    });
  }
  const destinations = await planOutput(flags.format, flags.output);
  const setting = await settingOf(flags.policy ?? (await findConfig(".", process.cwd())), flags.set);
  const logs = await findLogs(paths);
  const taken = new TakenFiles();
  for (const { path, error } of logs) if (error === undefined) taken.hold(path, `the log ${path}`);
  await claimAll(destinations, taken);
  const { results, isBroken } = await auditAll(logs, setting);
  const record = await recordOf(results, setting, {
    ...flags,
    // The one place where the clock is read, and it is kept in the record.
    asOf: flags.asOf ?? new Date().toISOString().slice(0, 10),
    sets: flags.set,
  });
  for (const destination of destinations) {
    const { reporter, file, folder } = destination;
    const isToTerminal = file === undefined && folder === undefined && process.stdout.isTTY;
    const text = await reporter.render(record, lookOf(flags, isToTerminal));
    await writeReport(destination, new Map([[reporter.fileName, text]]), taken);
  }
  if (isBroken) return EXIT.usage;
  if (results.some(({ parser }) => parser === null)) return EXIT.unreadable;
  return record.passed ? EXIT.passed : EXIT.gate;
}

async function verify(path: string, paths: readonly string[]): Promise<number> {
  if (paths.length > 0) {
    throw new UserError("verify-with-paths", "--verify reads the logs that the record names, and takes no others.", {
      hint: "Leave the paths out.",
    });
  }
  const record = parseSignoffRecord(await readText(path, `The record ${path}`, "record-unreadable"), path);
  const setting = await settingOf(record.policy_file ?? undefined, record.sets);
  const { results, isBroken } = await auditAll(
    record.logs.map((log) => ({ path: log.path })),
    setting,
  );
  const fresh = await recordOf(results, setting, {
    asOf: record.as_of,
    trainee: record.trainee ?? undefined,
    instructor: record.instructor ?? undefined,
    remark: record.remark ?? undefined,
    sets: record.sets,
  });
  const changes = compareSignoffs(record, fresh);
  const said = changes.length === 0 ? [`Everything that ${path} names is as it was.`] : changes;
  const verdict = `The sign-off is ${fresh.passed ? "met" : "not met"}, as of ${record.as_of}.`;
  process.stdout.write(`${[...said, verdict].join("\n")}\n`);
  if (isBroken) return EXIT.usage;
  return changes.length === 0 && record.passed ? EXIT.passed : EXIT.gate;
}

function settingOf(configPath: string | undefined, sets: readonly string[]): Promise<Setting> {
  return loadSetting({ configPath, sets });
}

async function auditAll(
  logs: readonly { readonly path: string; readonly error?: UserError }[],
  setting: Setting,
): Promise<{ results: LogResult[]; isBroken: boolean }> {
  const results: LogResult[] = [];
  let isBroken = false;
  for (const { path, error } of logs) {
    if (error !== undefined) {
      results.push(unreadLog(path, error));
      continue;
    }
    const { result, crashes } = await auditLog(bytesOf(path), setting, { path: nameOf(path), moments: false });
    isBroken ||= crashes.size > 0;
    results.push(result);
  }
  return { results, isBroken };
}

async function recordOf(
  results: readonly LogResult[],
  setting: Setting,
  notes: {
    asOf: string;
    trainee?: string | undefined;
    instructor?: string | undefined;
    remark?: string | undefined;
    sets: readonly string[];
  },
): Promise<SignoffRecord> {
  const { asOf, trainee, instructor, remark, sets } = notes;
  const files = await signedFiles(setting, process.cwd());
  return signOff(results, setting, { asOf, trainee, instructor, remark, sets, toolVersion: TOOL_VERSION, files });
}
