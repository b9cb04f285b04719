import type { RunResult } from "./score/result.js";
import { UserError } from "./user-error.js";

/**
 * Reads a result as `audit --format json` wrote it.
 * @throws UserError where it is no such result, or of a later version
 */
export async function parseRunResult(text: string, file: string): Promise<RunResult> {
  const fail = (message: string): UserError =>
    new UserError("result-unreadable", message, {
      where: { file },
      hint: "Give the JSON that `homeleg audit --format json` wrote.",
    });
  let read: unknown;
  try {
    read = JSON.parse(text);
  } catch (error) {
    if (error instanceof SyntaxError) throw fail("This is no JSON, or not all of it.");
    throw error;
  }
  const format = typeof read === "object" && read !== null && "format" in read ? read.format : undefined;
  if (format !== "homeleg-result") throw fail("This is no result of an audit.");
  const { RUN_SCHEMA } = await import("./reporters/schemas/result-schema.js");
  const { success, error } = RUN_SCHEMA.safeParse(read);
  const [issue] = error?.issues ?? [];
  if (!success)
    throw fail(`The result is otherwise than it was written, at ${issue?.path.join(".")}: ${issue?.message}.`);
  // As it was read, keys in their order; the schema has looked at it just now.
  return read as RunResult;
}
