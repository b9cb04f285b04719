import type { UserError } from "../user-error.js";
import { mistake } from "./mistake.js";
import { quoted } from "./quoted.js";
import { readYaml } from "./read-yaml.js";
import type { Origin, Tree } from "./tree.js";

/** Where a `--set` stands: it has no lines, and its paths are relative to the working folder. */
export const SET_ORIGIN: Origin = { file: "--set", folder: "" };

const EXAMPLE = "Write `key=value`, such as `settings.recovery_height=50 m`.";

/** One `--set`. */
export interface Assignment {
  /** At least one key. */
  readonly path: readonly string[];
  readonly value: Tree;
}

/** @returns what `key=value` assigns, the value being YAML; undefined, with the mistakes, when it cannot be read */
export function readSet(text: string): { assignment: Assignment | undefined; errors: readonly UserError[] } {
  const split = text.indexOf("=");
  const path = text.slice(0, Math.max(split, 0)).trim().split(".");
  if (split < 0 || path.some((step) => step.trim() === "")) {
    const message = `${quoted(text)} is not an assignment.`;
    return { assignment: undefined, errors: [mistake("set-syntax", message, SET_ORIGIN, EXAMPLE)] };
  }
  const { tree, errors } = readYaml(text.slice(split + 1), { ...SET_ORIGIN, isFile: false });
  const isBroken = tree === undefined && errors.length > 0;
  const nothing: Tree = { kind: "scalar", value: null, at: SET_ORIGIN, written: undefined };
  return { assignment: isBroken ? undefined : { path, value: tree ?? nothing }, errors };
}
