import { raiseHint, type Reading, sizeText } from "../config/reading.js";
import { UserError } from "../user-error.js";

/** @returns how many rows a log may have, and what to say at one more */
export function mostRows({ path, reading }: { readonly path: string; readonly reading: Reading }): {
  readonly most: number;
  readonly full: () => UserError;
} {
  const full = (): UserError => {
    const message = `This log has more than ${reading.rows} rows.`;
    return new UserError("log-too-big", message, { where: { file: path }, hint: raiseHint("rows") });
  };
  return { most: reading.rows, full };
}

/**
 * @param blocks of a log, unpacked
 * @returns the same
 * @throws UserError (while they are read) at more bytes than a log may have: a packed one can unpack to any size
 */
export async function* atMost(
  blocks: AsyncIterable<Uint8Array>,
  { path, reading }: { readonly path: string; readonly reading: Reading },
): AsyncGenerator<Uint8Array, undefined> {
  let read_bytes = 0;
  for await (const block of blocks) {
    read_bytes += block.length;
    if (read_bytes > reading.log) {
      const message = `This log holds more than ${sizeText(reading.log)}, unpacked: it was not read to its end.`;
      throw new UserError("log-too-big", message, { where: { file: path }, hint: raiseHint("log") });
    }
    yield block;
  }
  return undefined;
}
