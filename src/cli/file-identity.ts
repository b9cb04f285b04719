import { realpath, stat } from "node:fs/promises";
import { basename, dirname, join, resolve } from "node:path";

/**
 * @returns what tells a file from any other, whatever it is called: links to it, soft or hard, give the same. For a name
 *   that is not there yet, the place where it would be; undefined for a device, a pipe or a folder
 */
export async function fileIdentity(path: string): Promise<string | undefined> {
  try {
    const { dev, ino, isFile } = await factsOf(path);
    return isFile ? `${dev}:${ino}` : undefined;
  } catch (error) {
    if (!isAbsent(error)) throw error;
    return join(await realFolder(dirname(resolve(path))), basename(path));
  }
}

async function factsOf(path: string): Promise<{ dev: bigint; ino: bigint; isFile: boolean }> {
  const facts = await stat(path, { bigint: true });
  return { dev: facts.dev, ino: facts.ino, isFile: facts.isFile() };
}

async function realFolder(folder: string): Promise<string> {
  try {
    return await realpath(folder);
  } catch (error) {
    if (!isAbsent(error)) throw error;
    return folder;
  }
}

function isAbsent(error: unknown): boolean {
  return error instanceof Error && "code" in error && ["ENOENT", "ENOTDIR", "ELOOP"].includes(String(error.code));
}
