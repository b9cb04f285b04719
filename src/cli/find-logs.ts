import { type Dirent, statSync } from "node:fs";
import { readdir, realpath, stat } from "node:fs/promises";
import { join } from "node:path";
import { UserError } from "../index.js";
import { fileFacts, type FileFacts } from "./file-identity.js";
import { printNote } from "./print-error.js";

/** Names that logs in a folder have; a file named on the command line is tried whatever it is called. */
const LOG_NAME = /\.(csv|tsv|txt|gpx)(\.gz)?$/i;

/** A log to audit: a file, or standard input (`-`); or a path that led to none, with what to say of it. */
export interface LogToAudit {
  readonly path: string;
  readonly error?: UserError;
  /** As it was found; nothing for what is no file. */
  readonly file?: FileFacts;
}

/**
 * Turns the paths of a command line into logs: files as they are, folders searched downward in the order of names,
 * hidden entries left out, folders reached twice (links) searched once. A path that leads nowhere, or a folder without
 * logs, is an entry with its error, so that it stops nothing else. A log reached twice is taken once, which standard
 * error says: counted twice, it would move the median and every sum.
 */
export async function findLogs(paths: readonly string[]): Promise<LogToAudit[]> {
  const logs: LogToAudit[] = [];
  const folders = new Set<string>();
  const seen = new Map<string, string>();
  for (const path of paths) {
    for (const log of await logsAt(path, folders)) {
      const identity = identityOf(log);
      const first = seen.get(identity);
      if (first === undefined) {
        seen.set(identity, log.path);
        logs.push(log);
        continue;
      }
      const also = first === log.path ? "is given twice" : `is the same file as ${first}`;
      printNote(`${log.path} ${also}, and is taken once.`);
    }
  }
  return logs;
}

/** A pipe has no identity of its own to compare; one that was read is empty, so its name must do. */
function identityOf({ path, file }: LogToAudit): string {
  return file?.identity ?? path;
}

async function logsAt(path: string, seen: Set<string>): Promise<LogToAudit[]> {
  if (path === "-") return [{ path }];
  try {
    // Of thousands of files: to wait for each costs more than to ask.
    const facts = statSync(path, { bigint: true });
    if (!facts.isDirectory()) return [logOf(path, fileFacts(facts))];
    // Searched already, as part of another one: its logs are there.
    if (seen.has(await realpath(path))) return [];
    const found = await searchFolder(path, seen);
    if (found.length > 0) return found;
    const hint = "Logs there are files named .csv, .tsv, .txt or .gpx, also with .gz; name any other file itself.";
    return [{ path, error: new UserError("no-logs", `There is no log in the folder ${path}.`, { hint }) }];
  } catch (error) {
    if (!(error instanceof Error) || !("code" in error)) throw error;
    return [{ path, error: unusable(path, error.code) }];
  }
}

function logOf(path: string, file: FileFacts | undefined): LogToAudit {
  return file === undefined ? { path } : { path, file };
}

/** @returns a file that a folder lists; if nothing can be known of it now, its audit tells why */
function listedLog(path: string): LogToAudit {
  try {
    return logOf(path, fileFacts(statSync(path, { bigint: true })));
  } catch (error) {
    if (error instanceof Error && "code" in error) return { path };
    throw error;
  }
}

/** How a name in bytes that are no UTF-8 comes from the system; no path leads back to its file. */
const NO_UTF8 = "\uFFFD";

function unusable(path: string, code: unknown): UserError {
  const why = code === "ENOENT" ? "There is no file or folder" : `Cannot look at (${String(code)})`;
  const hint = path.includes(NO_UTF8) ? "Its name is not UTF-8: give it another one." : "Check the path.";
  return new UserError("path-unusable", `${why} ${path}.`, { hint });
}

async function searchFolder(folder: string, seen: Set<string>): Promise<LogToAudit[]> {
  const real = await realpath(folder);
  if (seen.has(real)) return [];
  seen.add(real);
  const entries = await entriesOf(folder);
  if (entries instanceof UserError) return [{ path: folder, error: entries }];
  // By code point: the order must not depend on the machine's language.
  entries.sort((a, b) => (a.name < b.name ? -1 : 1));
  const logs: LogToAudit[] = [];
  for (const entry of entries) {
    if (entry.name.startsWith(".")) continue;
    const path = join(folder, entry.name);
    const kind = entry.isSymbolicLink() ? await kindOfLink(path) : entry;
    if (entry.name.includes(NO_UTF8) && (await kindOfLink(path)) === undefined) {
      if (LOG_NAME.test(entry.name) || entry.isDirectory()) logs.push({ path, error: unusable(path, "ENOENT") });
      continue;
    }
    if (kind?.isDirectory() === true) logs.push(...(await searchFolder(path, seen)));
    else if (kind?.isFile() === true && LOG_NAME.test(entry.name)) logs.push(listedLog(path));
  }
  return logs;
}

/** A folder that cannot be read is told, and does not stop those beside it. */
async function entriesOf(folder: string): Promise<Dirent[] | UserError> {
  try {
    return await readdir(folder, { withFileTypes: true });
  } catch (error) {
    if (error instanceof Error && "code" in error) return unusable(folder, error.code);
    throw error;
  }
}

/** What a link leads to; nothing for one that leads nowhere. */
async function kindOfLink(path: string): Promise<{ isDirectory(): boolean; isFile(): boolean } | undefined> {
  try {
    return await stat(path);
  } catch (error) {
    if (error instanceof Error && "code" in error && (error.code === "ENOENT" || error.code === "ELOOP"))
      return undefined;
    throw error;
  }
}
