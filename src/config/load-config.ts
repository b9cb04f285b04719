import { resolve } from "node:path";
import { readWhole, UnreadableFile } from "../plain-file.js";
import { UserError, UserErrors } from "../user-error.js";
import type { ReadFile, SourceFile } from "./assemble.js";
import type { Config, Declared } from "./declared.js";
import { findConfig } from "./find-config.js";
import { placesOf } from "./places.js";
import { toDeclared } from "./to-declared.js";

/** What is declared where there is no settings file: nothing, every key undefined or empty. */
export const NOTHING_DECLARED: Declared = toDeclared({});

/** Nobody writes as much by hand; the reader of YAML looks closer. */
const MOST_BYTES = 1_000_000;

/** Where settings come from. */
export interface ConfigOptions {
  /** homeleg.yaml is looked for here and upward; undefined looks nowhere. Absolute, or relative to `cwd`. */
  readonly startFolder?: string | undefined;
  /** A settings file that replaces the one found. Absolute, or relative to `cwd`. */
  readonly configPath?: string | undefined;
  /** `key=value`, over the file, in order: the last one of a key counts. */
  readonly sets: readonly string[];
  /** The working folder, absolute: paths in `sets` are relative to it. */
  readonly cwd: string;
}

/**
 * Finds and reads homeleg.yaml, the files that its sections name, and `--set` over them.
 * @returns what was declared in SI units, with its places; `NOTHING_DECLARED` when there is no file
 * @throws UserErrors every mistake at once, in the order of files and lines
 */
export async function loadConfig({ startFolder, configPath, sets, cwd }: ConfigOptions): Promise<Config> {
  const found = configPath ?? (startFolder === undefined ? undefined : await findConfig(startFolder, cwd));
  const read: ReadFile = (path) => readWhole(resolve(cwd, path), MOST_BYTES, () => new UnreadableFile("over 1 MB"));
  return configOf(found === undefined ? undefined : await readMain(found, read), sets, read);
}

/**
 * Reads settings from a text instead of a file.
 * @param file the path by which mistakes and places name it
 * @param options `sets` as in `loadConfig`; `readFile` reads the files that sections name
 * @throws UserErrors every mistake at once
 */
export async function parseConfig(
  text: string,
  file: string,
  { sets = [], readFile = noFile }: { sets?: readonly string[]; readFile?: ReadFile } = {},
): Promise<Config> {
  return configOf({ path: file, bytes: new TextEncoder().encode(text) }, sets, readFile);
}

async function configOf(main: SourceFile | undefined, sets: readonly string[], read: ReadFile): Promise<Config> {
  if (main === undefined && sets.length === 0) {
    return { declared: NOTHING_DECLARED, places: new Map(), written: new Map(), files: [] };
  }
  // The YAML and schema libraries take tens of milliseconds to load: only where there is something to read.
  const { assemble } = await import("./assemble.js");
  const { tree, files, named, errors } = await assemble(main, sets, read);
  const places = placesOf(tree);
  if (tree.entries.size === 0 && errors.length === 0) return { declared: NOTHING_DECLARED, ...places, files };
  const { validate } = await import("./validate.js");
  const validated = validate(tree);
  const mistakes = [...errors, ...validated.errors];
  if (validated.declared === undefined || mistakes.length > 0) {
    throw new UserErrors(
      inOrder(
        mistakes,
        files.map(({ path }) => path),
      ),
    );
  }
  return { declared: validated.declared, ...places, files, named: [...named, ...validated.named] };
}

async function readMain(path: string, read: ReadFile): Promise<SourceFile> {
  try {
    return { path, bytes: await read(path) };
  } catch (error) {
    if (!(error instanceof Error) || !("code" in error)) throw error;
    const why = error.code === "ENOENT" ? "does not exist" : `cannot be read (${String(error.code)})`;
    throw new UserErrors([new UserError("config-unreadable", `The settings file ${path} ${why}.`)]);
  }
}

/** By file in the order of reading, `--set` last, then by line and column. */
function inOrder(errors: readonly UserError[], files: readonly string[]): UserError[] {
  const rank = ({ where }: UserError): number => {
    const index = files.indexOf(where?.file ?? "");
    return index < 0 ? files.length : index;
  };
  return [...errors].sort(
    (a, b) =>
      rank(a) - rank(b) ||
      (a.where?.line ?? 0) - (b.where?.line ?? 0) ||
      (a.where?.column ?? 0) - (b.where?.column ?? 0),
  );
}

function noFile(path: string): Promise<Uint8Array> {
  return Promise.reject(Object.assign(new Error(`There is no ${path}.`), { code: "ENOENT" }));
}
