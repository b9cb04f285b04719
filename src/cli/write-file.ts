import { createWriteStream } from "node:fs";
import { rename, rm } from "node:fs/promises";
import { Readable } from "node:stream";
import { pipeline } from "node:stream/promises";
import { UserError } from "../index.js";

/**
 * Writes a file whole or not at all: to a temporary file beside it, then renamed.
 * @throws UserError where it cannot be written; nothing is left behind
 */
export async function writeWhole(path: string, parts: Iterable<string> | AsyncIterable<string>): Promise<void> {
  const temporary = `${path}.${process.pid}.part`;
  try {
    await pipeline(Readable.from(parts), createWriteStream(temporary, { flags: "wx" }));
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { force: true });
    if (error instanceof Error && "code" in error && "syscall" in error) {
      throw new UserError("cannot-write", `Cannot write ${path} (${String(error.code)}).`, {
        hint: "Nothing was left there; choose another place with --output or --moments.",
      });
    }
    throw error;
  }
}
