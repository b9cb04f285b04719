import { type UserError, visible } from "../index.js";

/** Prints a mistake that a person can mend on standard error: a line each, whatever a name in it holds. */
export function printError(error: UserError): void {
  for (const line of error.line.split("\n")) printNote(line);
}

/** Prints a line on standard error. */
export function printNote(text: string): void {
  process.stderr.write(`homeleg: ${visible(text)}\n`);
}
