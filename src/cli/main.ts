import { CommanderError } from "commander";
import { UserError } from "../user-error.js";
import { EXIT } from "./exit.js";
import { buildProgram } from "./program.js";
import { printError } from "./print-error.js";
import { cleanUpWhenInterrupted } from "./unfinished.js";
import { systemFailure, watchOutput } from "./watch-output.js";
import { TOOL_VERSION } from "./tool-version.js";

/**
 * Runs the command line and sets the exit code; never calls `process.exit`, which would cut what is still being written.
 * @param argv as `process.argv`
 */
export async function main(argv: readonly string[]): Promise<void> {
  watchOutput();
  cleanUpWhenInterrupted();
  try {
    const program = await buildProgram(TOOL_VERSION, argv.slice(2));
    await program.parseAsync([...argv]);
  } catch (error) {
    process.exitCode = report(error);
  }
}

function report(error: unknown): number {
  if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.passed : EXIT.usage;
  const told = error instanceof UserError ? error : systemFailure(error);
  if (told !== undefined) {
    printError(told);
    return EXIT.usage;
  }
  const stack = error instanceof Error ? (error.stack ?? error.message) : String(error);
  process.stderr.write(`homeleg: this is a bug in homeleg, please report it.\n${stack}\n`);
  return EXIT.usage;
}
