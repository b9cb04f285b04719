import { UserErrors } from "../../src/user-error.js";

/** @returns the lines that a run's mistakes are printed as; none when it succeeds. Anything else thrown is a bug. */
export async function linesOf(run: Promise<unknown>): Promise<string[]> {
  try {
    await run;
    return [];
  } catch (error) {
    if (error instanceof UserErrors) return error.errors.map(({ line }) => line);
    throw error;
  }
}
