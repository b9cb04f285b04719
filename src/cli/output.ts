import { mkdir, stat } from "node:fs/promises";
import { join } from "node:path";
import { UserError } from "../index.js";
import { fileIdentity } from "./file-identity.js";
import { writeWhole } from "./write-file.js";

/** What must be known of a format to decide where it goes. */
export interface Placed {
  /** What `--format` calls it. */
  readonly id: string;
  /** Of its principal file, in a folder. */
  readonly fileName: string;
  /** Other files of which the names are known, in a folder. */
  readonly others?: readonly string[];
  /** True: its files belong together, so that several of them want a folder. Else the principal one stands alone. */
  readonly isOneWork?: boolean;
}

/** A text, or the pieces of one that may be longer than a string can be. */
export type ReportText = string | Iterable<string>;

/** Files of a report by name, the principal one first. */
export type ReportFiles = ReadonlyMap<string, ReportText>;

/** Where one report goes. */
export interface Destination<Format extends Placed> {
  readonly reporter: Format;
  /** undefined is standard output. */
  readonly file?: string;
  /** All of its files, by their own names. */
  readonly folder?: string;
}

/**
 * Decides where each format goes. One format goes to standard output, or to the file or folder of `--output`. Of several,
 * text goes to standard output and each other one into the folder, or the only other one into the file.
 * @throws UserError where several formats would share one place
 */
export async function planOutput<Format extends Placed>(
  reporters: readonly Format[],
  output: string | undefined,
): Promise<Destination<Format>[]> {
  const [only] = reporters;
  const place = output === "-" ? undefined : output;
  if (place !== undefined && (await isFolder(place))) {
    return reporters.map((reporter) => {
      const isToRead = reporters.length > 1 && reporter.id === "text";
      return isToRead ? { reporter } : { reporter, folder: place };
    });
  }
  if (only !== undefined && reporters.length === 1) {
    return [place === undefined ? { reporter: only } : { reporter: only, file: place }];
  }
  const names = reporters.map(({ id }) => id).join(", ");
  if (place === undefined) {
    throw new UserError("formats-want-folder", `Several formats (${names}) cannot share standard output.`, {
      hint: "Name a folder, with a / at its end: --output results/.",
    });
  }
  if (reporters.filter(({ id }) => id !== "text").length > 1) {
    throw new UserError("formats-want-folder", `Several formats (${names}) cannot share the file ${place}.`, {
      hint: `Name a folder, with a / at its end: --output ${place}/.`,
    });
  }
  return reporters.map((reporter) => (reporter.id === "text" ? { reporter } : { reporter, file: place }));
}

async function isFolder(path: string): Promise<boolean> {
  if (/[\\/]$/.test(path)) return true;
  try {
    return (await stat(path)).isDirectory();
  } catch (error) {
    if (error instanceof Error && "code" in error && (error.code === "ENOENT" || error.code === "ENOTDIR"))
      return false;
    throw error;
  }
}

/** Files that may not be written over, by what they are; each output that is claimed becomes one too. */
export class TakenFiles {
  readonly #holders = new Map<string, string>();

  /**
   * @param holder what the file is: `the log a.csv`
   * @param identity of the file, where it is known already
   */
  hold(path: string, holder: string, identity: string | undefined = fileIdentity(path)): void {
    if (identity !== undefined && !this.#holders.has(identity)) this.#holders.set(identity, holder);
  }

  /** @throws UserError where the file is held by something else than `option` */
  claim(path: string, option: string): void {
    const identity = fileIdentity(path);
    if (identity === undefined) return;
    const holder = this.#holders.get(identity);
    const claimer = `what ${option} writes`;
    if (holder !== undefined && holder !== claimer) {
      throw new UserError("output-taken", `${option} ${path} would be written over ${holder}.`, {
        hint: "Nothing was written there; choose another name.",
      });
    }
    this.#holders.set(identity, claimer);
  }
}

/** Claims the files whose names are known before the run, so that a clash is told before the work is done. */
export async function claimAll(destinations: readonly Destination<Placed>[], taken: TakenFiles): Promise<void> {
  for (const { reporter, file, folder } of destinations) {
    if (file !== undefined) taken.claim(file, "--output");
    if (folder === undefined) continue;
    for (const name of [reporter.fileName, ...(reporter.others ?? [])]) taken.claim(join(folder, name), "--output");
  }
}

/**
 * Writes a report where it goes, each of its files whole or not at all.
 * @throws UserError where a file cannot be written, or is one that may not be written over
 */
export async function writeReport(
  { reporter, file, folder }: Destination<Placed>,
  files: ReportFiles,
  taken: TakenFiles,
): Promise<void> {
  const [principal = ""] = files.values();
  if (folder !== undefined) {
    await makeFolder(folder);
    for (const [name, text] of files) {
      const path = join(folder, name);
      taken.claim(path, "--output");
      await writeWhole(path, piecesOf(text));
    }
    return;
  }
  if (reporter.isOneWork === true && files.size > 1) {
    throw new UserError("format-wants-folder", `The ${reporter.id} report of this run has ${files.size} files.`, {
      hint: "Name a folder, with a / at its end: --output results/.",
    });
  }
  await writeWhole(file ?? "-", piecesOf(principal));
}

/** Each call to write costs as much as some ten kilobytes do. */
const PIECE_LEAST = 65_536;

function* piecesOf(text: ReportText): Generator<string> {
  let piece = "";
  for (const part of typeof text === "string" ? [text] : text) {
    piece += part;
    if (piece.length < PIECE_LEAST) continue;
    yield piece;
    piece = "";
  }
  if (piece !== "") yield piece;
}

async function makeFolder(folder: string): Promise<void> {
  try {
    await mkdir(folder, { recursive: true });
  } catch (error) {
    if (!(error instanceof Error) || !("code" in error)) throw error;
    throw new UserError("cannot-write", `Cannot make the folder ${folder} (${String(error.code)}).`, {
      hint: "Choose another place with --output.",
    });
  }
}
