import type { UserError } from "../index.js";

/** Prints a mistake that a person can mend on standard error: a line each. */
export function printError(error: UserError): void {
  process.stderr.write(`homeleg: ${error.line.split("\n").join("\nhomeleg: ")}\n`);
}
