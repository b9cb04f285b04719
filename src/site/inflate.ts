/**
 * Unpacks a zlib stream, as far as it is wanted: the library's own reader unpacks all of it, and a block of some kilobytes
 * can hold gigabytes.
 * @param most bytes that are wanted; what goes on after them is left
 * @returns at most that many bytes
 * @throws Error for a stream that is damaged before
 */
export async function inflate(packed: Uint8Array, most: number): Promise<Uint8Array> {
  const unpacker = new DecompressionStream("deflate");
  const writer = unpacker.writable.getWriter();
  // What goes wrong in the stream is met where it is read.
  const written = Promise.allSettled([writer.write(packed), writer.close()]);
  const reader: ReadableStreamDefaultReader<Uint8Array> = unpacker.readable.getReader();
  const parts: Uint8Array[] = [];
  let size = 0;
  while (size < most) {
    const { done, value } = await reader.read();
    if (done) break;
    parts.push(value);
    size += value.length;
  }
  await reader.cancel();
  await written;
  const bytes = new Uint8Array(Math.min(size, most));
  let at = 0;
  for (const part of parts) {
    const fits = part.subarray(0, bytes.length - at);
    bytes.set(fits, at);
    at += fits.length;
  }
  return bytes;
}
