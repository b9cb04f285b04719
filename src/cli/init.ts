import { basename, dirname, join, resolve } from "node:path";
import type { Command } from "commander";
import { findConfig, inspectLog, loadSetting, type LogInspection, starterConfig, UserError } from "../index.js";
import { EXIT } from "./exit.js";
import { bytesOf, nameOf } from "./log-bytes.js";
import { printError } from "./print-error.js";
import { refuseToOverwrite } from "./refuse-to-overwrite.js";
import { writeWhole } from "./write-file.js";

const CONFIG_NAME = "homeleg.yaml";
/** Logs that a line under `columns:` can make readable. */
const MENDABLE: ReadonlySet<string> = new Set(["log-no-time", "log-no-position"]);

interface InitFlags {
  readonly output?: string;
  readonly force?: boolean;
}

/** Adds `homeleg init`. */
export function addInit(program: Command): void {
  program
    .command("init")
    .summary("write a homeleg.yaml to fill in, fitted to a log")
    .description(
      "Writes a homeleg.yaml fitted to a log: every setting a comment with an example, columns to settle included.",
    )
    .argument("<file>", "a log (CSV, GPX), or - for standard input")
    .option("--output <file>", "where to write; by default homeleg.yaml beside the log; - for standard output")
    .option("--force", "overwrite a file that is there")
    .action(async (path: string, flags: InitFlags) => {
      process.exitCode = await init(path, flags);
    });
}

async function init(path: string, { output, force = false }: InitFlags): Promise<number> {
  const target = output ?? (path === "-" ? CONFIG_NAME : join(dirname(path), CONFIG_NAME));
  const isToFile = target !== "-";
  refuseTheLog(target, path);
  // Without any settings: the file is to stand alone, and what is open must not be hidden by one that it replaces.
  const inspection = await inspectLog(bytesOf(path), await loadSetting(), { path: nameOf(path) });
  const isRead = inspection.parser !== null;
  if (!isRead) printError(reasonOf(inspection));
  if (!isRead && !isMendable(inspection)) return EXIT.unreadable;
  if (isToFile) await refuseToOverwrite(target, force);
  if (isToFile) await writeFile(target, inspection);
  else process.stdout.write(starterConfig(inspection));
  return isRead ? EXIT.passed : EXIT.unreadable;
}

async function writeFile(target: string, inspection: LogInspection): Promise<void> {
  const hidden = basename(target) === CONFIG_NAME ? await findConfig(dirname(target), process.cwd()) : undefined;
  await writeWhole(target, [starterConfig(inspection)]);
  process.stdout.write(`${target} is written. Every setting in it is still a comment: fill it in.\n`);
  if (hidden !== undefined && resolve(hidden) !== resolve(target)) {
    process.stderr.write(`homeleg: ${hidden} no longer counts for the logs beside ${target}.\n`);
  }
}

/** @throws UserError for the log itself, which is never overwritten */
function refuseTheLog(target: string, path: string): void {
  if (path === "-" || resolve(target) !== resolve(path)) return;
  throw new UserError("output-is-log", `${target} is the log itself.`, { hint: "Choose another --output." });
}

function reasonOf({ path, problems }: LogInspection): UserError {
  const { code = "log-unreadable", message = "", line = null } = problems[0] ?? {};
  // What the file system says names the file itself.
  const where = code === "log-unreadable" ? undefined : { file: path, line: line ?? undefined };
  return new UserError(code, message, { where });
}

function isMendable({ problems }: LogInspection): boolean {
  return problems.some(({ code }) => MENDABLE.has(code));
}
