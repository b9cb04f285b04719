import { UserError } from "../index.js";
import { EXIT } from "./exit.js";
import { printError } from "./print-error.js";

/** Errors of the system that are no fault of the program: what is full, used up, or gone. */
const OF_THE_SYSTEM: ReadonlyMap<string, string> = new Map([
  ["ENOSPC", "There is no space left to write to"],
  ["EDQUOT", "There is no space left to write to"],
  ["EIO", "The device failed"],
  ["EROFS", "Nothing can be written there"],
  ["EMFILE", "Too many files are open at a time; raise the limit (ulimit -n)"],
  ["ENFILE", "Too many files are open at a time on this machine"],
  ["ENOMEM", "There is no memory left"],
]);

/** @returns the line for people where the system is at its end; undefined for what is a bug */
export function systemFailure(error: unknown): UserError | undefined {
  if (!(error instanceof Error) || !("code" in error)) return undefined;
  const code = String(error.code);
  const why = OF_THE_SYSTEM.get(code);
  return why === undefined ? undefined : new UserError("system-failure", `${why} (${code}).`);
}

/**
 * Looks after standard output and error: a reader that has seen enough (`| head`) is no error; where nothing can be
 * written, one line says so, and the status does.
 */
export function watchOutput(): void {
  process.stderr.on("error", (error: NodeJS.ErrnoException) => {
    // There is nowhere left to say it.
    if (error.code !== "EPIPE") process.once("exit", failed);
  });
  process.stdout.on("error", (error: NodeJS.ErrnoException) => {
    if (error.code === "EPIPE") return;
    const failure = systemFailure(error);
    if (failure === undefined) throw error;
    if (process.listeners("exit").includes(failed)) return;
    process.once("exit", failed);
    printError(new UserError(failure.code, `Standard output: ${failure.message}`));
  });
}

/** Whatever the run comes to, its report did not get out. */
function failed(): void {
  process.exitCode = EXIT.usage;
}
