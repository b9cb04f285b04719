import { UserError } from "../user-error.js";
import type { ByteSource } from "./byte-source.js";

const CHUNK_BYTES = 1 << 20;

/** @returns the place of the next byte that is not white space, or the end */
export function skipSpace(bytes: Uint8Array, from: number): number {
  let at = from;
  while (at < bytes.length && (bytes[at] ?? 0) <= 32) at += 1;
  return at;
}

/** @returns the place of the next white space, or the end */
export function tokenEnd(bytes: Uint8Array, from: number): number {
  let at = from;
  while (at < bytes.length && (bytes[at] ?? 0) > 32) at += 1;
  return at;
}

/** @returns 1-based line and column of a byte; LF, CR and CRLF each end one line */
export function placeOf(bytes: Uint8Array, offset: number): { line: number; column: number } {
  let line = 1;
  let lineStart = 0;
  for (let at = 0; at < Math.min(offset, bytes.length); at += 1) {
    const isEnd = bytes[at] === 10 || (bytes[at] === 13 && bytes[at + 1] !== 10);
    if (!isEnd) continue;
    line += 1;
    lineStart = at + 1;
  }
  return { line, column: offset - lineStart + 1 };
}

/** @returns a mistake in a file, with the line and column of the byte */
export function failAt(
  bytes: Uint8Array,
  file: string,
  offset: number,
  code: string,
  message: string,
  { hint }: { hint: string },
): UserError {
  return new UserError(code, message, { where: { file, ...placeOf(bytes, offset) }, hint });
}

/** @returns as `placeOf`, for a file that is not in memory */
export async function placeIn(source: ByteSource, offset: number): Promise<{ line: number; column: number }> {
  let line = 1;
  let lineStart = 0;
  for (let from = 0; from < offset; from += CHUNK_BYTES) {
    // A byte more, so that no CRLF is torn.
    const length = Math.min(CHUNK_BYTES, offset - from);
    const bytes = await source.read(from, length + 1);
    const { line: lines, column } = placeOf(bytes, length);
    line += lines - 1;
    if (lines > 1) lineStart = from + length - (column - 1);
  }
  return { line, column: offset - lineStart + 1 };
}
