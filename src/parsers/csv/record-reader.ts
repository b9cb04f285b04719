import { CsvError, Parser } from "csv-parse";
import { LONGEST_RECORD } from "./feed.js";

/** How the text is cut into records. */
export interface RecordOptions {
  readonly delimiter: string;
  /** The mark that lines of comment begin with; undefined if there are none. */
  readonly comment: string | undefined;
  /** The text comes from the middle of a file: a byte order mark at its start is none. */
  readonly isMiddle?: boolean;
}

/**
 * Takes one record.
 *
 * @param cells as strings, untrimmed
 * @param line 1-based line on which the record begins, counted from the start of what was fed in
 */
export type RecordHandler = (cells: readonly string[], line: number) => void;

/** Where reading broke off. */
export interface RecordBreak {
  /** The line on which the unfinished record begins. */
  readonly line: number;
  /** The last line read. */
  readonly lastLine: number;
  /** The record is longer than any is read. */
  readonly isTooLong: boolean;
}

/** How reading ended. */
export interface RecordEnd {
  /** Where it broke off; undefined if all was read. */
  readonly broken: RecordBreak | undefined;
  /** It broke off because a quote is still open where the text ends: more text may close it. */
  readonly isOpen: boolean;
  /** Neither a comment nor an empty line follows the last record, nor a line break at the very end. */
  readonly endsInRecord: boolean;
}

const LINE_BREAK = /\r\n|\n|\r/g;

/**
 * csv-parse in array mode, handing each record straight to a function: no queue of records, no object a row.
 *
 * Lines are counted here, since csv-parse counts a CRLF inside quotes twice and its `info: true` costs an object a
 * record: its own count is only compared, and when it did not move by one the cells are searched for line breaks.
 */
class HandlingParser extends Parser {
  readonly #handle: RecordHandler;
  #nextLine: number;
  #seenLines = 0;
  #seenSkipped = 0;

  constructor({ delimiter, comment, isMiddle = false }: RecordOptions, firstLine: number, handle: RecordHandler) {
    super({
      delimiter,
      ...(comment === undefined ? {} : { comment, comment_no_infix: true }),
      record_delimiter: ["\r\n", "\n", "\r"],
      relax_column_count: true,
      relax_quotes: true,
      skip_empty_lines: true,
      bom: !isMiddle,
      max_record_size: LONGEST_RECORD,
    });
    this.#handle = handle;
    this.#nextLine = firstLine;
  }

  /** The line on which the next record begins. */
  get nextLine(): number {
    return this.#nextLine + this.info.comment_lines + this.info.empty_lines - this.#seenSkipped;
  }

  /** Neither a comment nor an empty line came after the last record. */
  get endsInRecord(): boolean {
    return this.info.comment_lines + this.info.empty_lines === this.#seenSkipped;
  }

  /** The line being read; inside quotes a CRLF may count twice. */
  get currentLine(): number {
    return this.nextLine + Math.max(0, this.info.lines - this.#seenLines - 1);
  }

  override push(record: readonly string[] | null): boolean {
    if (record === null) return super.push(null);
    const { lines } = this.info;
    const line = this.nextLine;
    const isOneLine = lines - this.#seenLines === 1;
    this.#nextLine = line + 1 + (isOneLine ? 0 : countLineBreaks(record));
    this.#seenLines = lines;
    this.#seenSkipped = this.info.comment_lines + this.info.empty_lines;
    this.#handle(record, line);
    return true;
  }
}

function countLineBreaks(cells: readonly string[]): number {
  return cells.reduce((sum, cell) => sum + (cell.match(LINE_BREAK)?.length ?? 0), 0);
}

/**
 * Reads records until the end, or until the handler throws.
 *
 * @param blocks UTF-8 text
 * @param firstLine the number of the first line fed in
 * @returns where reading broke off (a quote that is never closed), undefined if all was read
 */
export async function readRecords(
  blocks: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
  options: RecordOptions,
  firstLine: number,
  handle: RecordHandler,
): Promise<RecordBreak | undefined> {
  return (await readRecordsToEnd(blocks, options, firstLine, handle)).broken;
}

/** The same, and all there is to know about the end. */
export async function readRecordsToEnd(
  blocks: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
  options: RecordOptions,
  firstLine: number,
  handle: RecordHandler,
): Promise<RecordEnd> {
  const parser = new HandlingParser(options, firstLine, handle);
  const ended = new Promise<Error | undefined>((resolve) => {
    parser.on("error", resolve);
    parser.on("end", () => resolve(undefined));
  });
  parser.resume();
  for await (const block of blocks) {
    await new Promise<void>((resolve) => void parser.write(asBuffer(block), () => resolve()));
    if (parser.errored !== null) break;
  }
  parser.end();
  const error = await ended;
  const { nextLine, endsInRecord } = parser;
  if (error === undefined) return { broken: undefined, isOpen: false, endsInRecord };
  if (!(error instanceof CsvError)) throw error;
  const broken = {
    line: nextLine,
    lastLine: parser.currentLine,
    isTooLong: error.code === "CSV_MAX_RECORD_SIZE",
  };
  return { broken, isOpen: error.code === "CSV_QUOTE_NOT_CLOSED", endsInRecord };
}

function asBuffer(bytes: Uint8Array): Buffer {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length);
}
