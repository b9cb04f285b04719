import { isAlias, isMap, isScalar, isSeq, LineCounter, parseDocument, type Document, type YAMLError } from "yaml";
import type { UserError } from "../user-error.js";
import { mistake } from "./mistake.js";
import { quoted } from "./quoted.js";
import type { Entry, Mapping, Origin, Tree } from "./tree.js";

/** More aliases than this in one file are a bomb, not a configuration. */
const MAX_ALIASES = 100;
/** So are more values than this, those behind aliases counted each time. */
const MAX_VALUES = 10_000;
/** homeleg.yaml itself is five levels deep. */
const MAX_DEPTH = 16;
const MAX_LENGTH = 200_000;

/** Tags of the core schema of YAML 1.2. */
const PLAIN_TAG = /^tag:yaml\.org,2002:(?:str|int|float|bool|null|map|seq)$/;
const SPLIT_HINT = "Sections may be files of their own.";

/** A YAML text as a tree, and every mistake in it. */
export interface YamlRead {
  /** Undefined when the text is empty, null or no YAML. */
  readonly tree: Tree | undefined;
  readonly errors: readonly UserError[];
}

/**
 * Reads YAML 1.2 into a tree that knows its places. Custom tags, merge keys, doubled keys and alias bombs are mistakes.
 * @param source the file as it is to be named, and the folder that its paths are relative to; `isFile` false for an
 *   option, which has no lines
 */
export function readYaml(text: string, source: { file: string; folder: string; isFile: boolean }): YamlRead {
  const lines = new LineCounter();
  const placeAt = (offset: number): Origin => {
    const { file, folder } = source;
    if (!source.isFile) return { file, folder };
    const { line, col } = lines.linePos(offset);
    return { file, folder, line, column: col };
  };
  if (text.length > MAX_LENGTH) {
    const error = mistake("config-too-large", "This is too large for a configuration.", source, SPLIT_HINT);
    return { tree: undefined, errors: [error] };
  }
  const document = parseDocument(text, {
    lineCounter: lines,
    prettyErrors: false,
    uniqueKeys: false,
    schema: "core",
    merge: false,
  });
  const broken = document.errors[0] ?? document.warnings[0];
  if (broken !== undefined) return { tree: undefined, errors: [syntaxError(broken, text, placeAt)] };
  const reader = new TreeReader(document, text, placeAt);
  const tree = document.contents === null ? undefined : reader.read(document.contents, 0);
  const isEmpty = tree?.kind === "scalar" && tree.value === null;
  return { tree: isEmpty || reader.isHostile ? undefined : tree, errors: reader.errors };
}

class TreeReader {
  readonly errors: UserError[] = [];
  /** The tree was cut short: what is left of it says nothing. */
  isHostile = false;
  private readonly document: Document.Parsed;
  private readonly text: string;
  private readonly placeAt: (offset: number) => Origin;
  private aliases = 0;
  private values = 0;

  constructor(document: Document.Parsed, text: string, placeAt: (offset: number) => Origin) {
    this.document = document;
    this.text = text;
    this.placeAt = placeAt;
  }

  read(node: unknown, offset: number, depth = 0): Tree {
    if (isAlias(node)) return this.readAlias(node, depth);
    const [start, end] = rangeOf(node) ?? [offset, offset];
    const at = this.placeAt(start);
    const slice = this.text.slice(start, end).trim();
    const written = slice === "" || slice.includes("\n") ? undefined : slice;
    this.values += 1;
    if (depth > MAX_DEPTH) {
      this.refuse("config-too-deep", "This is nested too deeply for a configuration.", at);
    } else if (this.values > MAX_VALUES) {
      this.refuse("config-too-large", `There are more than ${MAX_VALUES} values.`, at, SPLIT_HINT);
    } else if (hasOddTag(node)) {
      this.fail("config-syntax", `The tag ${quoted(node.tag)} is not read.`, at, "Write a plain value.");
    } else if (isMap(node)) {
      const entries = this.readEntries(node.items, start, depth);
      return { kind: "mapping", entries, at, written };
    } else if (isSeq(node)) {
      const items = node.items.map((item) => this.read(item, start, depth + 1));
      return { kind: "list", items, at, written };
    } else if (isScalar(node)) {
      const { value, source } = node;
      return { kind: "scalar", value: scalarOf(value), at, written: written === undefined ? undefined : source };
    }
    return { kind: "scalar", value: null, at, written: undefined };
  }

  private readEntries(
    items: readonly { key: unknown; value: unknown }[],
    offset: number,
    depth: number,
  ): Mapping["entries"] {
    const entries = new Map<string, Entry>();
    for (const { key, value } of items) {
      const [start, end] = rangeOf(key) ?? [offset, offset];
      const at = this.placeAt(start);
      const name = isScalar(key) && key.value !== null ? key.source : undefined;
      if (name === undefined) {
        this.fail("config-key", "A key must be a word.", at);
        continue;
      }
      const before = entries.get(name);
      if (before !== undefined) {
        const first = before.key.line === undefined ? "" : `, first in line ${before.key.line}`;
        this.fail("config-key-twice", `${quoted(name)} is given twice${first}.`, at, "Keep one of them.");
      }
      entries.set(name, { key: at, value: this.read(value, end, depth + 1) });
    }
    return entries;
  }

  private readAlias(node: { source: string; range?: readonly number[] | null }, depth: number): Tree {
    const at = this.placeAt(node.range?.[0] ?? 0);
    this.aliases += 1;
    const nothing: Tree = { kind: "scalar", value: null, at, written: undefined };
    if (this.aliases > MAX_ALIASES) {
      this.refuse("config-aliases", `There are more than ${MAX_ALIASES} aliases.`, at, "Write the values out.");
      return nothing;
    }
    const anchored = isAlias(node) ? node.resolve(this.document) : undefined;
    if (anchored !== undefined) return this.read(anchored, 0, depth + 1);
    this.fail("config-syntax", `The alias ${quoted(`*${node.source}`)} has no anchor before it.`, at);
    return nothing;
  }

  /** One complaint is enough for what no one writes by hand. */
  private refuse(code: string, message: string, where: Origin, hint?: string): void {
    if (!this.isHostile) this.fail(code, message, where, hint);
    this.isHostile = true;
  }

  private fail(code: string, message: string, where: Origin, hint?: string): void {
    this.errors.push(mistake(code, message, where, hint));
  }
}

/** Tags that the library knows, and whose values are no text, number, flag, list or group. */
function hasOddTag(node: unknown): node is { readonly tag: string } {
  const isNode = typeof node === "object" && node !== null && "tag" in node;
  return isNode && typeof node.tag === "string" && !PLAIN_TAG.test(node.tag);
}

function rangeOf(node: unknown): readonly [number, number] | undefined {
  if (typeof node !== "object" || node === null || !("range" in node) || !Array.isArray(node.range)) return undefined;
  const [start, end]: unknown[] = node.range;
  return typeof start === "number" && typeof end === "number" ? [start, end] : undefined;
}

function scalarOf(value: unknown): string | number | boolean | null {
  const isPlain = typeof value === "string" || typeof value === "number" || typeof value === "boolean";
  return isPlain ? value : null;
}

function syntaxError(error: YAMLError, text: string, placeAt: (offset: number) => Origin): UserError {
  const where = placeAt(error.pos[0]);
  switch (error.code) {
    case "TAB_AS_INDENT":
      return mistake("config-syntax", "A tab is used for indentation.", where, "Use spaces.");
    case "TAG_RESOLVE_FAILED": {
      const tag = quoted(text.slice(error.pos[0], error.pos[1]).trim());
      return mistake("config-syntax", `The tag ${tag} is not read.`, where, "Write a plain value.");
    }
    case "MULTIPLE_DOCS":
      return mistake("config-syntax", "A second document begins here.", where, "Keep one in a file.");
    case "RESOURCE_EXHAUSTION":
      return mistake("config-too-deep", "This is nested too deeply for a configuration.", where);
    default:
      return mistake("config-syntax", `This cannot be read as YAML: ${error.message.split("\n", 1)[0] ?? ""}.`, where);
  }
}
