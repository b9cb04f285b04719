import { formatPlace } from "../user-error.js";
import { walk, type Mapping } from "./tree.js";

/** @returns by path in homeleg.yaml: where its key stands (`homeleg.yaml:14`, `--set`), and its value as written */
export function placesOf(tree: Mapping): { places: Map<string, string>; written: Map<string, string> } {
  const places = new Map<string, string>();
  const written = new Map<string, string>();
  walk(tree, (path, value, { file, line }) => {
    const key = path.join(".");
    places.set(key, formatPlace({ file, line }));
    if (value.written !== undefined) written.set(key, value.written);
  });
  return { places, written };
}
