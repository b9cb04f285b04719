import type { Place } from "../user-error.js";

/** Where a key or value was written, and the folder that paths in it are relative to. */
export interface Origin extends Place {
  readonly folder: string;
}

interface Written {
  readonly at: Origin;
  /** The source text, where it is one line. */
  readonly written: string | undefined;
}

/** A value of homeleg.yaml that remembers where it was written. Maps keep hostile keys such as `__proto__` harmless. */
export type Tree = Scalar | List | Mapping;

/** Text, a number, a flag or nothing. */
export interface Scalar extends Written {
  readonly kind: "scalar";
  readonly value: string | number | boolean | null;
}

/** Values in order. */
interface List extends Written {
  readonly kind: "list";
  readonly items: readonly Tree[];
}

/** Values by key. */
export interface Mapping extends Written {
  readonly kind: "mapping";
  readonly entries: Map<string, Entry>;
}

/** One `key: value`. */
export interface Entry {
  readonly key: Origin;
  readonly value: Tree;
}

/** Keys and list indices from the top of homeleg.yaml. */
export type TreePath = readonly (string | number)[];

/** @returns an empty mapping */
export function emptyMapping(at: Origin): Mapping {
  return { kind: "mapping", entries: new Map(), at, written: undefined };
}

/** @returns the value at a path; undefined when nothing stands there */
export function valueAt(tree: Tree, path: TreePath): Tree | undefined {
  return path.reduce<Tree | undefined>((node, step) => childOf(node, step), tree);
}

/** @returns where the key at a path was written; for an item of a list, where the item was */
export function keyAt(tree: Tree, path: TreePath): Origin {
  const step = path.at(-1);
  const parent = valueAt(tree, path.slice(0, -1));
  if (parent?.kind === "mapping" && step !== undefined) {
    const entry = parent.entries.get(String(step));
    if (entry !== undefined) return entry.key;
  }
  return (valueAt(tree, path) ?? tree).at;
}

/** Calls `visit` for every value below `tree` with its path, parents first. */
export function walk(tree: Tree, visit: (path: TreePath, value: Tree, key: Origin) => void, path: TreePath = []): void {
  if (tree.kind === "mapping") {
    for (const [name, { key, value }] of tree.entries) {
      visit([...path, name], value, key);
      walk(value, visit, [...path, name]);
    }
  } else if (tree.kind === "list") {
    for (const [index, item] of tree.items.entries()) {
      visit([...path, index], item, item.at);
      walk(item, visit, [...path, index]);
    }
  }
}

/** @returns plain objects without prototype, arrays and scalars, each scalar passed through `scalarOf` */
export function plainOf(
  tree: Tree,
  scalarOf: (scalar: Scalar, path: TreePath) => unknown,
  path: TreePath = [],
): unknown {
  if (tree.kind === "scalar") return scalarOf(tree, path);
  if (tree.kind === "list") return tree.items.map((item, index) => plainOf(item, scalarOf, [...path, index]));
  const plain: Record<string, unknown> = Object.create(null);
  for (const [name, { value }] of tree.entries) plain[name] = plainOf(value, scalarOf, [...path, name]);
  return plain;
}

function childOf(node: Tree | undefined, step: string | number): Tree | undefined {
  if (node?.kind === "mapping") return node.entries.get(String(step))?.value;
  return node?.kind === "list" ? node.items[Number(step)] : undefined;
}
