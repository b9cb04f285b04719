/** @returns lines as a text, each with its line feed; none is no text */
export function linesText(lines: readonly string[]): string {
  return lines.length === 0 ? "" : `${lines.join("\n")}\n`;
}
