import { visible } from "./visible.js";

/** What a spreadsheet takes for the beginning of a formula, with the wide forms that some turn into them. */
const FORMULA = /^\s*[=+\-@＝＋－＠]/u;

/**
 * @param value null is an empty cell
 * @returns a cell of RFC 4180; text that a spreadsheet would run as a formula begins with an apostrophe, and control
 *   characters are written out. Numbers stay as they are
 */
export function csvCell(value: number | string | boolean | null): string {
  if (value === null) return "";
  if (typeof value !== "string") return String(value);
  const text = visible(value);
  const safe = FORMULA.test(text) ? `'${text}` : text;
  return /[",']/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/** @returns a line of cells with its end (CR LF, as RFC 4180 has it) */
export function csvLine(cells: readonly (number | string | boolean | null)[]): string {
  return `${cells.map(csvCell).join(",")}\r\n`;
}
