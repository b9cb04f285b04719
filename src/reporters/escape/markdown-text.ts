import { visible } from "./visible.js";

/** Signs with a meaning somewhere in CommonMark, in its tables, or in the HTML it lets through. */
const SIGNS = /[\\`*_{}[\]()<>#+!|~&$^=:@-]|(?<=\bwww)\./gi;

/** An escape within a word would only be noise to who reads the source. */
const HARMLESS_WITHIN = /(?<=[\p{L}\p{N}%.])\\([-+:=])(?=[\p{L}\p{N} ])/gu;

/**
 * @returns text as one line of Markdown that reads as it is: nothing in it becomes a link, an image, HTML, a heading, a
 *   list or the end of a table cell
 */
export function markdownText(text: string): string {
  return visible(text)
    .replace(SIGNS, (sign) => (sign === "<" ? "&lt;" : sign === "&" ? "&amp;" : `\\${sign}`))
    .replace(HARMLESS_WITHIN, "$1")
    .replace(/^(\d+)([.)])(?=\s|$)/, "$1\\$2");
}
