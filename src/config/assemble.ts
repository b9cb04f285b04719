import { dirname, isAbsolute, join } from "node:path";
import { nearestWord } from "../num/edit-distance.js";
import type { UserError } from "../user-error.js";
import type { ConfigFile, NamedFile } from "./declared.js";
import { decodeUtf8, sha256 } from "./decode.js";
import { mistake } from "./mistake.js";
import { quoted } from "./quoted.js";
import { readYaml } from "./read-yaml.js";
import { isSection, SECTIONS, type Section } from "./sections.js";
import { readSet, SET_ORIGIN, type Assignment } from "./sets.js";
import { emptyMapping, type Entry, type Mapping, type Origin, type Tree } from "./tree.js";

/** Reads a file by its path, which is absolute or relative to the working folder. */
export type ReadFile = (path: string) => Promise<Uint8Array>;

/** A settings file that was read. */
export interface SourceFile {
  /** Absolute, or relative to the working folder. */
  readonly path: string;
  readonly bytes: Uint8Array;
}

/** Everything that was said, in one tree. */
export interface Assembled {
  readonly tree: Mapping;
  readonly files: readonly ConfigFile[];
  /** Files of sections. */
  readonly named: readonly NamedFile[];
  readonly errors: readonly UserError[];
}

/** Puts the settings file, the files that its sections name and `--set` together into one tree. */
export async function assemble(
  main: SourceFile | undefined,
  sets: readonly string[],
  readFile: ReadFile,
): Promise<Assembled> {
  const assembler = new Assembler(readFile);
  if (main !== undefined) assembler.addMain(main);
  for (const set of sets) await assembler.addSet(set);
  for (const section of SECTIONS) await assembler.include(section);
  return assembler;
}

class Assembler implements Assembled {
  tree: Mapping = emptyMapping(SET_ORIGIN);
  readonly files: ConfigFile[] = [];
  readonly named: NamedFile[] = [];
  readonly errors: UserError[] = [];
  private readonly readFile: ReadFile;

  constructor(readFile: ReadFile) {
    this.readFile = readFile;
  }

  addMain(file: SourceFile): void {
    const tree = this.parse(file);
    if (tree?.kind === "mapping") this.tree = tree;
    else if (tree !== undefined) {
      const hint = `It must hold keys, such as ${quoted("settings:")}.`;
      this.errors.push(mistake("config-no-keys", "This file holds no keys.", tree.at, hint));
    }
  }

  async addSet(text: string): Promise<void> {
    const { assignment, errors } = readSet(text);
    this.errors.push(...errors);
    if (assignment === undefined) return;
    const [section = "", ...steps] = assignment.path;
    if (steps.length > 0 && isSection(section)) await this.include(section);
    this.assign(assignment);
  }

  /** Replaces a section that is the path of a file by what the file holds; one without a value is none. */
  async include(section: Section): Promise<void> {
    const entry = this.tree.entries.get(section);
    if (entry?.value.kind !== "scalar") return;
    const { value, at } = entry.value;
    if (value === null) this.tree.entries.delete(section);
    if (typeof value !== "string" || value.trim() === "" || (section === "operator" && value === "at-takeoff")) return;
    const path = isAbsolute(value) ? value : join(at.folder, value);
    if (at.file !== SET_ORIGIN.file) this.named.push({ path, folder: at.folder });
    const tree = await this.readIncluded(path, value, section, at);
    if (tree === undefined) this.tree.entries.delete(section);
    else this.tree.entries.set(section, { key: entry.key, value: tree });
  }

  private async readIncluded(path: string, named: string, section: Section, at: Origin): Promise<Tree | undefined> {
    let bytes: Uint8Array;
    try {
      bytes = await this.readFile(path);
    } catch (error) {
      this.errors.push(unreadable(error, named, section, at));
      return undefined;
    }
    const tree = this.parse({ path, bytes });
    if (tree === undefined || tree.kind === "mapping") return tree;
    if (tree.kind === "list" && section === "recovery_point") return tree;
    const message = `This file must hold the keys of ${quoted(section)}.`;
    this.errors.push(mistake("config-no-keys", message, tree.at));
    return undefined;
  }

  private parse({ path, bytes }: SourceFile): Tree | undefined {
    if (!this.files.some((file) => file.path === path)) this.files.push({ path, sha256: sha256(bytes) });
    const text = decodeUtf8(bytes);
    const folder = dirname(path);
    if (text === undefined) {
      const hint = "Save it as UTF-8.";
      this.errors.push(mistake("config-encoding", "This file is not UTF-8 text.", { file: path, folder }, hint));
      return undefined;
    }
    const { tree, errors } = readYaml(text, { file: path, folder, isFile: true });
    this.errors.push(...errors);
    return tree;
  }

  private assign({ path, value }: Assignment): void {
    let group = this.tree;
    for (const step of path.slice(0, -1)) {
      const entry: Entry | undefined = group.entries.get(step);
      if (entry?.value.kind === "list") {
        const message = `${quoted(path.join("."))} is inside a list.`;
        this.errors.push(mistake("set-in-list", message, SET_ORIGIN, "Set the whole list."));
        return;
      }
      if (entry?.value.kind === "mapping") group = entry.value;
      else {
        const created = emptyMapping(SET_ORIGIN);
        group.entries.set(step, { key: SET_ORIGIN, value: created });
        group = created;
      }
    }
    group.entries.set(path.at(-1) ?? "", { key: SET_ORIGIN, value });
  }
}

function unreadable(error: unknown, named: string, section: Section, at: Origin): UserError {
  if (!(error instanceof Error) || !("code" in error)) throw error;
  const why = error.code === "ENOENT" ? "does not exist" : `cannot be read (${String(error.code)})`;
  const isAtTakeoff = section === "operator" && nearestWord(named, ["at-takeoff"]) !== undefined;
  const keys = `${quoted(section)} takes its keys, or the path of a file that holds them.`;
  const hint = isAtTakeoff ? "Did you mean `at-takeoff`?" : keys;
  return mistake("config-unreadable", `The file ${quoted(named)} ${why}.`, at, hint);
}
