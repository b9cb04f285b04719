import { homelegJsonSchema, type JsonSchema } from "./schema.js";
import type { TreePath } from "./tree.js";

/** Made at the first mistake: it takes milliseconds, and most runs have none. */
let made: JsonSchema | undefined;

type Part = JsonSchema | boolean | undefined;

/** @returns the keys that homeleg.yaml knows under a path, in the order of the schema; none for what is no group */
export function knownKeys(path: TreePath): string[] {
  let parts: Part[] = alternativesOf(schema());
  for (const step of path) parts = parts.flatMap((part) => alternativesOf(childOf(part, step)));
  return parts.flatMap((part) => Object.keys(propertiesOf(part)));
}

/** @returns the groups, such as `settings` or `aircraft.speeds`, that have a key of this name */
export function groupsWith(key: string): string[] {
  const found: string[] = [];
  const search = (part: Part, path: readonly string[]): void => {
    for (const alternative of alternativesOf(part)) {
      const properties = propertiesOf(alternative);
      if (path.length > 0 && Object.hasOwn(properties, key)) found.push(path.join("."));
      for (const [name, child] of Object.entries(properties)) search(child, [...path, name]);
    }
  };
  search(schema(), []);
  return found;
}

function schema(): JsonSchema {
  made ??= homelegJsonSchema();
  return made;
}

function alternativesOf(part: Part): Part[] {
  if (typeof part !== "object" || part.anyOf === undefined) return [part];
  return part.anyOf.flatMap(alternativesOf);
}

function propertiesOf(part: Part): Readonly<Record<string, Part>> {
  return typeof part === "object" ? (part.properties ?? {}) : {};
}

function childOf(part: Part, step: string | number): Part {
  if (typeof step === "string") {
    const properties = propertiesOf(part);
    return Object.hasOwn(properties, step) ? properties[step] : undefined;
  }
  const items = typeof part === "object" ? part.items : undefined;
  return Array.isArray(items) ? undefined : items;
}
