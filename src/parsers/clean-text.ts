/**
 * @param cell as csv-parse gives it
 * @returns without the zero bytes that some loggers pad cells with, without blanks around, line breaks inside as blanks
 */
export function cleanText(cell: string): string {
  const text = cell.trim();
  return /[\0\r\n\uFEFF]/.test(text)
    ? text
        .replace(/[\0\uFEFF]/g, "")
        .replace(/[\r\n]+/g, " ")
        .trim()
    : text;
}
