import { realpath, stat } from "node:fs/promises";

/** Where an output goes. */
export interface Target {
  /** The file itself, links followed: writing must not turn a link into a file. */
  readonly path: string;
  /** A device or a pipe: it is written to, and never replaced by a file. */
  readonly isStream: boolean;
}

/** @returns where a path leads; a path that does not exist yet is a new file */
export async function targetOf(path: string): Promise<Target> {
  try {
    const facts = await stat(path);
    return { path: await realpath(path), isStream: !facts.isFile() && !facts.isDirectory() };
  } catch (error) {
    // A file where a folder should be is found out when it is written.
    const isNew = error instanceof Error && "code" in error && (error.code === "ENOENT" || error.code === "ENOTDIR");
    if (isNew) return { path, isStream: false };
    throw error;
  }
}
