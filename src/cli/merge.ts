import { join } from "node:path";
import type { Command } from "commander";
import {
  type GateOptions,
  htmlIndex,
  type MergedRun,
  mergeRuns,
  pageNamer,
  parseRunResult,
  type RunResult,
  UserError,
} from "../index.js";
import { exitCode } from "./exit.js";
import { formatOption } from "./formats.js";
import { isRunBroken } from "./is-map-wrong.js";
import { gateOptions, textOptions } from "./options.js";
import { claimAll, type Destination, planOutput, TakenFiles, writeReport } from "./output.js";
import { readText } from "./read-text.js";
import { type Reporter, REPORTERS } from "./reporters.js";
import { lookOf, type LookFlags } from "./terminal.js";
import { TOOL_VERSION } from "./tool-version.js";
import { writeWhole } from "./write-file.js";

interface MergeFlags extends LookFlags {
  readonly format: readonly Reporter[];
  readonly output?: string;
  readonly gate?: "fail" | "thin";
  readonly minScore?: number;
  readonly minCoverage?: number;
}

/** Adds `homeleg merge`. */
export function addMerge(program: Command): void {
  const command = program
    .command("merge")
    .summary("join the results of several runs into one")
    .description(
      "Joins results that audit --format json wrote: the parts of one run (--shard), which give what it would have given\n" +
        "on one machine, or whole runs one after the other.",
    )
    .argument("<results...>", "files that audit --format json wrote")
    .addOption(formatOption(MERGED))
    .option("--output <place>", "write there: a file, or a folder, whose name ends with /");
  for (const option of [...gateOptions(), ...textOptions()]) command.addOption(option);
  command.action(async (files: string[], flags: MergeFlags) => {
    process.exitCode = await merge(files, flags);
  });
}

/** Formats that need no more than the result; of pages it is their index. */
const MERGED = REPORTERS.filter(({ id, take }) => take === undefined || id === "html");

async function merge(files: readonly string[], flags: MergeFlags): Promise<number> {
  const destinations = await planOutput(flags.format, flags.output);
  const taken = new TakenFiles();
  for (const file of files) taken.hold(file, `the result ${file}`);
  await claimAll(destinations, taken);
  const runs: { run: RunResult; file: string }[] = [];
  for (const file of files)
    runs.push({
      file,
      run: await parseRunResult(await readText(file, `The result ${file}`, "result-unreadable"), file),
    });
  const merged = mergeRuns(runs, askedGate(flags));
  for (const destination of destinations) await write(merged, destination, flags, taken);
  return exitCode(merged.run, merged.run.logs, isRunBroken(merged.run.logs));
}

/** What is asked anew; undefined leaves it to the parts, or to the defaults. */
function askedGate({ gate, minScore, minCoverage }: MergeFlags): GateOptions | undefined {
  if (gate === undefined && minScore === undefined && minCoverage === undefined) return undefined;
  return { gate: gate ?? "fail", minScore, minCoverage };
}

async function write(
  merged: MergedRun,
  destination: Destination<Reporter>,
  flags: MergeFlags,
  taken: TakenFiles,
): Promise<void> {
  const { reporter, file, folder } = destination;
  if (reporter.id === "html") {
    await writeIndex(merged, folder ?? file, flags);
    return;
  }
  const isToTerminal = file === undefined && folder === undefined && process.stdout.isTTY;
  const context = { look: lookOf(flags, isToTerminal), gate: merged.gate.gate };
  await writeReport(destination, reporter.render(merged.run, context, []), taken);
}

/** The pages are there already: each part has written its own. */
async function writeIndex({ run, paths }: MergedRun, folder: string | undefined, { units }: MergeFlags): Promise<void> {
  if (folder === undefined || folder === "-") {
    throw new UserError("format-wants-folder", "The index links to the pages that the parts wrote.", {
      hint: "Name their folder, with a / at its end: --output pages/.",
    });
  }
  const named = paths.map(pageNamer());
  const logs = new Set(run.logs.map(({ path }) => path));
  const names = named.filter((_name, i) => logs.has(paths[i] ?? ""));
  await writeWhole(join(folder, "index.html"), [await htmlIndex(run, names, { units, toolVersion: TOOL_VERSION })]);
}
