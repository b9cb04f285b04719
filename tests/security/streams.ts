import { readLog, type ReadLogOptions, type ReadLogResult } from "../../src/parsers/read-log.js";
import { UserError } from "../../src/user-error.js";

/** What became of a stream that nobody would want whole in memory. */
export interface Drawn {
  readonly log: ReadLogResult | undefined;
  /** The one line for people, where it was refused. */
  readonly line: string | undefined;
  /** How much was asked for before the reader had enough. */
  readonly drawn_bytes: number;
}

/**
 * Reads a stream that is made as it is read.
 * @param head before it
 * @param piece of which it then is
 * @param size_bytes after which it ends: a gigabyte, unless the reader gives up before
 */
export async function draw(
  head: string,
  piece: string,
  options: Partial<ReadLogOptions> = {},
  size_bytes: number = 1e9,
): Promise<Drawn> {
  let drawn_bytes = 0;
  const part = Buffer.from(piece.repeat(Math.ceil(65_536 / piece.length)));
  async function* stream(): AsyncGenerator<Uint8Array> {
    yield Buffer.from(head);
    for (drawn_bytes = head.length; drawn_bytes < size_bytes; drawn_bytes += part.length) yield part;
  }
  try {
    return { log: await readLog(stream(), { path: "sent.log", ...options }), line: undefined, drawn_bytes };
  } catch (error) {
    if (error instanceof UserError) return { log: undefined, line: error.line, drawn_bytes };
    throw error;
  }
}

/** What a reader may ask for before it gives up on a piece that does not end. */
export const FEW_BYTES = 8_000_000;
