import { UserError } from "../user-error.js";
import type { Origin } from "./tree.js";

/** @returns a mistake in a settings file, without the bookkeeping of its origin */
export function mistake(code: string, message: string, { file, line, column }: Origin, hint?: string): UserError {
  const where = line === undefined ? { file } : { file, line, column };
  return new UserError(code, message, { where, hint });
}
