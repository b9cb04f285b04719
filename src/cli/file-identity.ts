import { type BigIntStats, realpathSync, statSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";

/** What is known of a file without opening it. */
export interface FileFacts {
  /** See `fileIdentity`. */
  readonly identity: string;
  readonly size_bytes: number;
}

/** @returns nothing for a device, a pipe or a folder */
export function fileFacts(facts: BigIntStats): FileFacts | undefined {
  if (!facts.isFile()) return undefined;
  return { identity: `${facts.dev}:${facts.ino}`, size_bytes: Number(facts.size) };
}

/**
 * @returns what tells a file from any other, whatever it is called: links to it, soft or hard, give the same. For a name
 *   that is not there yet, the place where it would be; undefined for a device, a pipe or a folder
 */
export function fileIdentity(path: string): string | undefined {
  try {
    return fileFacts(statSync(path, { bigint: true }))?.identity;
  } catch (error) {
    if (!isAbsent(error)) throw error;
    return join(realFolder(dirname(resolve(path))), basename(path));
  }
}

function realFolder(folder: string): string {
  try {
    return realpathSync(folder);
  } catch (error) {
    if (!isAbsent(error)) throw error;
    return folder;
  }
}

function isAbsent(error: unknown): boolean {
  return error instanceof Error && "code" in error && ["ENOENT", "ENOTDIR", "ELOOP"].includes(String(error.code));
}
