import { createHash, hash, randomUUID } from "node:crypto";
import { closeSync, constants, fstatSync, openSync, readdirSync, readFileSync, readSync } from "node:fs";
import { mkdir, rename, rm, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { type LogResult, type Setting, signedFiles } from "../index.js";
import type { KeptAudit } from "./audited-log.js";
import type { AuditorOptions } from "./auditor-options.js";
import { entryOf, readEntry } from "./cache-entry.js";
import { temporaryIn } from "./unfinished.js";

/** What was audited, and whether it is a log. */
type AuditedBytes = Pick<LogResult, "sha256" | "parser">;

/**
 * Audits that were made before. An entry's name is the hash of all that can change its content: the bytes of the log and
 * its name, every settings file and file of the site by content, `--set`, units, formats, and the program itself. So an
 * entry never grows stale, several runs can share a folder, and what cannot be used is made again.
 */
export class AuditCache {
  readonly #folder: string;
  readonly #asked: readonly unknown[];
  readonly #settings = new WeakMap<Setting, Promise<string>>();

  constructor(folder: string, { set, units, formats, toolVersion, pageIndex }: Omit<AuditorOptions, "cache">) {
    this.#folder = folder;
    this.#asked = [programHash(), toolVersion, set, units, [...formats].sort(), pageIndex ?? null];
  }

  /** @returns the audit of a log; undefined where it is not there, or is damaged. Standard input is read but once. */
  async find(path: string, setting: Setting): Promise<KeptAudit | undefined> {
    const sha256 = path === "-" ? undefined : hashOfFile(path);
    return sha256 === undefined ? undefined : readFound(await this.#fileOf(path, setting, sha256));
  }

  /**
   * Keeps an audit, whole or not at all, under the hash of the bytes that were audited.
   * @returns what to say where that cannot be done: the run goes on without
   */
  async keep(
    path: string,
    setting: Setting,
    { sha256, parser }: AuditedBytes,
    audit: KeptAudit,
  ): Promise<string | undefined> {
    if (path === "-") return undefined;
    // What was no log may not have been read to its end.
    if (parser === null && hashOfFile(path) !== sha256) return undefined;
    return await this.#write(await this.#fileOf(path, setting, sha256), audit);
  }

  async #fileOf(path: string, setting: Setting, sha256: string): Promise<string> {
    const key = hashOf(JSON.stringify([this.#asked, await this.#settingsHash(setting), path, sha256]));
    return join(this.#folder, key.slice(0, 2), `${key}.json`);
  }

  #settingsHash(setting: Setting): Promise<string> {
    const known = this.#settings.get(setting);
    if (known !== undefined) return known;
    const made = signedFiles(setting, process.cwd()).then((files) => hashOf(JSON.stringify(files)));
    this.#settings.set(setting, made);
    return made;
  }

  async #write(file: string, audit: KeptAudit): Promise<string | undefined> {
    const temporary = temporaryIn(this.#folder, randomUUID());
    try {
      await mkdir(dirname(file), { recursive: true });
      await writeFile(temporary, entryOf(audit), { flag: "wx" });
      await rename(temporary, file);
      return undefined;
    } catch (error) {
      await removeIfThere(temporary);
      if (!(error instanceof Error && "code" in error && "syscall" in error)) throw error;
      return `Cannot write to the cache ${this.#folder} (${String(error.code)}): not every audit was kept for next time.`;
    }
  }
}

/** A cache that cannot be written to cannot always be cleaned either. */
async function removeIfThere(file: string): Promise<void> {
  try {
    await rm(file, { force: true });
  } catch (error) {
    if (!(error instanceof Error && "code" in error)) throw error;
  }
}

/**
 * Each call to the file system that is waited for costs more than reading a log, so that looking a log up does not wait.
 * @returns undefined for what is no file, and one that cannot be read: the audit meets the same error, and tells it
 */
function hashOfFile(path: string): string | undefined {
  try {
    // A pipe that nobody writes to would be waited for.
    const file = openSync(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
    try {
      if (!fstatSync(file).isFile()) return undefined;
      const first = fillBlock(file);
      if (first.length < block.length) return hash("sha256", first, "hex");
      const all = createHash("sha256").update(first);
      for (let next = fillBlock(file); next.length > 0; next = fillBlock(file)) all.update(next);
      return all.digest("hex");
    } finally {
      closeSync(file);
    }
  } catch (error) {
    if (error instanceof Error && "code" in error) return undefined;
    throw error;
  }
}

/** Fresh memory costs more than to read into it. */
const block = Buffer.allocUnsafeSlow(1 << 18);

/** @returns what comes next of a file, in `block`: less than that holds only at its end */
function fillBlock(file: number): Buffer {
  let filled = 0;
  for (let read = 1; read > 0 && filled < block.length; filled += read)
    read = readSync(file, block, filled, block.length - filled, null);
  return block.subarray(0, filled);
}

function readFound(file: string): KeptAudit | undefined {
  try {
    return readEntry(shortFile(file) ?? readFileSync(file));
  } catch (error) {
    // Not there, or not to be read: the audit is made again.
    if (error instanceof Error && "code" in error) return undefined;
    throw error;
  }
}

/** @returns its bytes, which the next read writes over; undefined for one that is longer than a block */
function shortFile(path: string): Buffer | undefined {
  const file = openSync(path, "r");
  try {
    const all = fillBlock(file);
    return all.length < block.length ? all : undefined;
  } finally {
    closeSync(file);
  }
}

/** @returns the hash of the program's own files: another build may judge otherwise, whatever its version says */
function programHash(): string {
  const folder = dirname(fileURLToPath(import.meta.url));
  const all = createHash("sha256");
  for (const name of readdirSync(folder).sort()) if (name.endsWith(".js")) all.update(readFileSync(join(folder, name)));
  return all.digest("hex");
}

function hashOf(text: string): string {
  return hash("sha256", text, "hex");
}
