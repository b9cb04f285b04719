import { markdownText } from "./escape/markdown-text.js";

/** @returns a table with what is between its bars escaped; a blank line follows */
export function markdownTable(heads: readonly string[], rows: readonly (readonly string[])[]): string[] {
  const line = (cells: readonly string[]): string => `| ${cells.join(" | ")} |`;
  return [line(heads), line(heads.map(() => "---")), ...rows.map((row) => line(row.map(markdownText))), ""];
}
