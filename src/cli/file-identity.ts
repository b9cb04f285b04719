import { realpathSync, statSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";

/**
 * @returns what tells a file from any other, whatever it is called: links to it, soft or hard, give the same. For a name
 *   that is not there yet, the place where it would be; undefined for a device, a pipe or a folder
 */
export function fileIdentity(path: string): string | undefined {
  try {
    const facts = statSync(path, { bigint: true });
    return facts.isFile() ? `${facts.dev}:${facts.ino}` : undefined;
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
