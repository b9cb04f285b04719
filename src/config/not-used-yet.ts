import type { Config } from "./declared.js";

/** Keys that this version accepts and validates, and does not use; none at present. A change that uses one deletes its line. */
const NOT_USED_YET: readonly string[] = [];

/** @returns the paths of homeleg.yaml that were declared and that this version does not use yet; none is the rule */
export function declaredNotUsedYet({ places }: Config): string[] {
  return NOT_USED_YET.filter((path) => places.has(path));
}
