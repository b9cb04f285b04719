import { readFileSync } from "node:fs";
import { readLog, type ReadLogOptions, type ReadLogResult } from "../../src/parsers/read-log.js";
import { UserError } from "../../src/user-error.js";

const FOLDER = new URL("../../fixtures/parsers/", import.meta.url);

/** @returns the bytes of a fixture */
export function fixture(name: string): Uint8Array {
  return readFileSync(new URL(name, FOLDER));
}

/** Reads a log given whole. */
export function read(content: string | Uint8Array, options: Partial<ReadLogOptions> = {}): Promise<ReadLogResult> {
  const bytes = typeof content === "string" ? Buffer.from(content) : content;
  return readLog([bytes], { path: "flight.csv", ...options });
}

/** @returns the line that a user sees for a log that cannot be read */
export async function refusal(content: string | Uint8Array, options: Partial<ReadLogOptions> = {}): Promise<string> {
  try {
    await read(content, options);
  } catch (error) {
    if (error instanceof UserError) return `[${error.code}] ${error.line}`;
    throw error;
  }
  throw new Error("the log was read");
}

/** @returns problems as `code:line message` */
export function said({ problems }: ReadLogResult): string[] {
  return problems.map(({ code, line, message }) => `${code}${line === undefined ? "" : `:${line}`} ${message}`);
}
