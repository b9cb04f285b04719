import { lstat } from "node:fs/promises";
import { UserError } from "../index.js";

/** @throws UserError where a file is there already and may not be overwritten */
export async function refuseToOverwrite(target: string, force: boolean): Promise<void> {
  if (force || !(await isThere(target))) return;
  throw new UserError("file-exists", `${target} is there already, and was left as it is.`, {
    hint: "--force overwrites it, --output FILE writes elsewhere.",
  });
}

/** A link that leads nowhere is there too. */
async function isThere(path: string): Promise<boolean> {
  try {
    await lstat(path);
    return true;
  } catch (error) {
    if (error instanceof Error && "code" in error && (error.code === "ENOENT" || error.code === "ENOTDIR"))
      return false;
    throw error;
  }
}
