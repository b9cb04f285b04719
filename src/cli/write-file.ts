import { randomUUID } from "node:crypto";
import { createWriteStream } from "node:fs";
import { rename, rm } from "node:fs/promises";
import { Readable } from "node:stream";
import { pipeline } from "node:stream/promises";
import { UserError } from "../index.js";
import { targetOf } from "./target.js";
import { begin, finish } from "./unfinished.js";

/**
 * Writes a file whole or not at all: to a temporary file beside it, then renamed. A device or a pipe is written to as it
 * is; `-` is standard output.
 * @throws UserError where it cannot be written; nothing is left behind
 */
export async function writeWhole(path: string, parts: Iterable<string> | AsyncIterable<string>): Promise<void> {
  if (path === "-") {
    for await (const part of parts) process.stdout.write(part);
    return;
  }
  // A container that was killed may have left one, and the next has the same process id.
  const temporary = `${path}.${randomUUID()}.part`;
  begin(temporary);
  try {
    const target = await targetOf(path);
    if (target.isStream) {
      await pipeline(Readable.from(parts), createWriteStream(target.path));
      return;
    }
    await pipeline(Readable.from(parts), createWriteStream(temporary, { flags: "wx" }));
    await rename(temporary, target.path);
  } catch (error) {
    await rm(temporary, { force: true });
    if (error instanceof Error && "code" in error && "syscall" in error) {
      throw new UserError("cannot-write", `Cannot write ${path} (${String(error.code)}).`, {
        hint: "Nothing was left there; choose another place.",
      });
    }
    throw error;
  } finally {
    finish(temporary);
  }
}
