import type { RecordHandler, RecordOptions } from "./record-reader.js";

/** @returns whether a text has no quotes, so that line breaks and delimiters are all there is to it */
export function isPlain(text: string): boolean {
  return !text.includes('"');
}

/**
 * The records of a text without quotes, as csv-parse reads them, which tests hold it to: empty lines and comments are
 * left out. For the beginning of a file, of which csv-parse is hardly done being loaded when this has ended.
 *
 * @param text for which `isPlain` is true, from the start of a line on
 * @param firstLine the number of its first line
 */
export function readPlainRecords(
  text: string,
  { delimiter, comment }: Pick<RecordOptions, "delimiter" | "comment">,
  firstLine: number,
  handle: RecordHandler,
): void {
  text.split(/\r\n|\n|\r/).forEach((line, index) => {
    if (line === "" || (comment !== undefined && line.startsWith(comment))) return;
    handle(line.split(delimiter), firstLine + index);
  });
}
