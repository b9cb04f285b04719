import { raiseHint, type Reading, sizeText } from "../config/reading.js";
import { UserError } from "../user-error.js";
import { GrowingColumn } from "./growing-column.js";

/** @returns a column for the times of a log, which refuses a row more than a log may have */
export function timeColumn({ path, reading }: { readonly path: string; readonly reading: Reading }): GrowingColumn {
  return new GrowingColumn(reading.rows, () => {
    const message = `This log has more than ${reading.rows} rows.`;
    return new UserError("log-too-big", message, { where: { file: path }, hint: raiseHint("rows") });
  });
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
