import { isAbsolute, join } from "node:path";
import type { UserError } from "../user-error.js";
import type { Declared, NamedFile } from "./declared.js";
import { explain } from "./explain.js";
import { homelegSchema } from "./schema.js";
import { SET_ORIGIN } from "./sets.js";
import { toDeclared } from "./to-declared.js";
import { plainOf, type Mapping, type Scalar, type TreePath } from "./tree.js";

const PATH_PLACES = /^(?:site\.terrain(?:\.\d+)?(?:\.file)?|site\.(?:obstacles|zones)\.\d+|operator\.track)$/;

/** What a tree declares, or every mistake in it. */
export type Validated =
  | { readonly declared: Declared; readonly named: readonly NamedFile[]; readonly errors: readonly [] }
  | { readonly declared: undefined; readonly errors: readonly UserError[] };

/** Validates what was read; paths of files become relative to the working folder. Loads the schema library. */
export function validate(tree: Mapping): Validated {
  const named: NamedFile[] = [];
  const read = homelegSchema.safeParse(plainOf(tree, (scalar, path) => inWorkingFolder(scalar, path, named)));
  if (read.success) return { declared: toDeclared(read.data), named, errors: [] };
  return { declared: undefined, errors: read.error.issues.flatMap((issue) => explain(issue, tree)) };
}

function inWorkingFolder({ value, at }: Scalar, path: TreePath, named: NamedFile[]): unknown {
  const isPath = typeof value === "string" && value.trim() !== "" && PATH_PLACES.test(path.join("."));
  if (!isPath || value === "flat") return value;
  const file = isAbsolute(value) ? value : join(at.folder, value);
  if (at.file !== SET_ORIGIN.file) named.push({ path: file, folder: at.folder });
  return file;
}
