import { bytesOfFile, UserError } from "../index.js";

/** @returns a log's name in messages and results */
export function nameOf(path: string): string {
  return path === "-" ? "standard input" : path;
}

/**
 * @param path of a file, or `-` for standard input
 * @returns its bytes as they are read
 * @throws UserError (while they are read) for what the file system says: a line for people
 */
export async function* bytesOf(path: string): AsyncGenerator<Uint8Array> {
  try {
    const bytes: AsyncIterable<Uint8Array> = path === "-" ? process.stdin : bytesOfFile(path);
    yield* bytes;
  } catch (error) {
    if (!(error instanceof Error) || !("code" in error) || !("syscall" in error)) throw error;
    throw new UserError("log-unreadable", `${nameOf(path)} cannot be read (${String(error.code)}).`, {
      hint: "Check that the file is still there and that you may read it.",
    });
  }
}
