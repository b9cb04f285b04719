import type { Place } from "../user-error.js";
import { placeOf } from "./text-scan.js";

const MARKS = /"(?:[^"\\]|\\.)*"|[[\]{},]/gsu;

/**
 * Finds where a feature of a GeoJSON text begins, since a parsed value no longer tells.
 * @param text that is JSON
 * @param number 1-based; 0 for the text as a whole
 * @returns the file alone where there is no list of features
 */
export function featurePlace(text: string, file: string, number: number): Place {
  if (number < 1) return { file };
  let depth = 0;
  let count = 0;
  let key = "";
  for (const match of text.matchAll(MARKS)) {
    const [mark] = match;
    if (mark === "}" || mark === "]") depth -= 1;
    else if (mark === "{" || mark === "[") depth += 1;
    else if (mark !== "," && depth === 1) key = mark;
    const isFirst = mark === "[" && depth === 2 && key === '"features"';
    const isNext = mark === "," && depth === 2 && count > 0;
    if (mark === "]" && depth === 1) count = 0;
    if (!isFirst && !isNext) continue;
    count += 1;
    if (count === number) return placeAfter(text, file, match.index + 1);
  }
  return { file };
}

/** The place of the first character that is not white space. */
function placeAfter(text: string, file: string, from: number): Place {
  const offset = from + (/^\s*/.exec(text.slice(from))?.[0].length ?? 0);
  const { line } = placeOf(new TextEncoder().encode(text.slice(0, offset)), Number.MAX_SAFE_INTEGER);
  const before = Math.max(text.lastIndexOf("\n", offset - 1), text.lastIndexOf("\r", offset - 1));
  return { file, line, column: offset - before };
}
