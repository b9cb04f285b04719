/** A record longer than this is an open quote that swallows the rest of the file. */
export const LONGEST_RECORD = 1 << 20;

/** @returns the stream without its first bytes */
export async function* skipBytes(blocks: AsyncIterable<Uint8Array>, count_bytes: number): AsyncGenerator<Uint8Array> {
  let left = count_bytes;
  for await (const block of blocks) {
    if (block.length > left) yield left === 0 ? block : block.subarray(left);
    left = Math.max(0, left - block.length);
  }
}

/** Remembers the last byte of a stream: a file whose last line has no end may have been cut there. */
export class LastByte {
  #last: number | undefined;

  /** @returns the same blocks */
  async *watch(blocks: AsyncIterable<Uint8Array>): AsyncGenerator<Uint8Array> {
    for await (const block of blocks) {
      this.#last = block.at(-1) ?? this.#last;
      yield block;
    }
  }

  /** True if the stream ended with LF or CR. */
  get isLineBreak(): boolean {
    return this.#last === 10 || this.#last === 13;
  }
}

/** @returns the byte at which the 1-based line begins */
export function offsetOfLine(bytes: Uint8Array, line: number): number {
  let current = 1;
  let offset = 0;
  while (current < line && offset < bytes.length) {
    const byte = bytes[offset];
    const isBreak = byte === 10 || (byte === 13 && bytes[offset + 1] !== 10);
    if (isBreak) current += 1;
    offset += 1;
  }
  return offset;
}

/** @returns how many line breaks there are, CRLF being one */
export function countLines(bytes: Uint8Array): number {
  let count = 0;
  for (let at = 0; at < bytes.length; at += 1) {
    const byte = bytes[at];
    if (byte === 10 || (byte === 13 && bytes[at + 1] !== 10)) count += 1;
  }
  return count;
}
