import type * as z from "zod";
import { editDistance, nearestWord } from "../num/edit-distance.js";
import type { UserError } from "../user-error.js";
import { knownKeys, groupsWith } from "./known-keys.js";
import { mistake } from "./mistake.js";
import { quoted } from "./quoted.js";
import { keyAt, valueAt, type Mapping, type Tree, type TreePath } from "./tree.js";

type Issue = z.core.$ZodIssue;

/**
 * Turns what the schema complains of into mistakes with their place, what was read, and what to write instead.
 * @param tree what was validated, with its places
 */
export function explain(issue: Issue, tree: Mapping, base: TreePath = []): UserError[] {
  const path = [...base, ...issue.path.map((step) => (typeof step === "number" ? step : String(step)))];
  if (issue.code === "unrecognized_keys") return issue.keys.map((key) => unknownKey(tree, path, key));
  const value = valueAt(tree, path);
  if (value === undefined) return [missingKey(tree, path, issue.message)];
  if (value.kind === "scalar" && value.value === null) return [emptyValue(tree, path, issue.message)];
  if (issue.code === "invalid_union") {
    const branch = issue.errors.find((errors) => !errors.some(isWrongKind));
    if (branch !== undefined) return branch.flatMap((inner) => explain(inner, tree, path));
  }
  const said = issue.code === "custom" ? saidBy(issue) : undefined;
  const message = said ?? `${quoted(path.join("."))} is ${describe(value)}.`;
  return [mistake("config-value", message, value.at, meant(issue, value) + issue.message)];
}

/** A branch of a union that wants another kind of value altogether was not meant. */
function isWrongKind({ code, path }: Issue): boolean {
  return path.length === 0 && (code === "invalid_type" || code === "invalid_value" || code === "invalid_union");
}

function saidBy({ params }: z.core.$ZodIssueCustom): string | undefined {
  const said: unknown = params?.["said"];
  return typeof said === "string" ? said : undefined;
}

function describe(value: Tree): string {
  if (value.kind === "list") return "a list";
  if (value.kind === "mapping") return "a group of keys";
  return value.value === "" ? "empty" : quoted(value.written ?? String(value.value));
}

function meant(issue: Issue, value: Tree): string {
  if (issue.code !== "invalid_value" || value.kind !== "scalar") return "";
  const words = issue.values.filter((word) => typeof word === "string");
  const nearest = nearestWord(String(value.value), words);
  return nearest === undefined ? "" : `Did you mean ${quoted(nearest)}? `;
}

function unknownKey(tree: Mapping, path: TreePath, key: string): UserError {
  const full = [...path, key];
  const message = `${quoted(full.join("."))} is not a known key.`;
  return mistake("config-unknown-key", message, keyAt(tree, full), hintFor(key, knownKeys(path)));
}

/** A slip of one letter is the likeliest, then a key that stands in the wrong group, then a worse slip. */
function hintFor(key: string, known: readonly string[]): string {
  const nearest = nearestWord(key, known);
  const homes = groupsWith(key);
  const isSlip = nearest !== undefined && (homes.length === 0 || editDistance(key, nearest) <= 1);
  if (isSlip) return `Did you mean ${quoted(nearest)}?`;
  if (homes.length > 0) return `It belongs under ${homes.map(quoted).join(" or ")}.`;
  return `Known here: ${known.map(quoted).join(", ")}.`;
}

function missingKey(tree: Mapping, path: TreePath, hint: string): UserError {
  const parent = path.slice(0, -1);
  const message = `${quoted(parent.join("."))} needs ${quoted(String(path.at(-1)))}.`;
  return mistake("config-missing-key", message, keyAt(tree, parent), hint);
}

function emptyValue(tree: Mapping, path: TreePath, hint: string): UserError {
  return mistake("config-no-value", `${quoted(path.join("."))} has no value.`, keyAt(tree, path), hint);
}
