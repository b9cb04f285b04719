import { UserError } from "../../src/user-error.js";

/** @returns the lines for people with which something was refused */
export async function lineOf(refused: Promise<unknown>): Promise<string> {
  try {
    await refused;
  } catch (error) {
    if (error instanceof UserError) return error.line;
    throw error;
  }
  throw new Error("it was taken");
}
