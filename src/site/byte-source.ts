/** The bytes of a file, read piece by piece. */
export interface ByteSource {
  /** Of the file, decompressed. */
  readonly size: number;
  /** @returns the bytes from an offset on; fewer than `length` where the file ends */
  read(offset: number, length: number): Promise<Uint8Array>;
}

/** @returns bytes in memory as a source */
export function bytesInMemory(bytes: Uint8Array): ByteSource {
  return {
    size: bytes.length,
    read: (offset, length) => Promise.resolve(bytes.subarray(offset, Math.min(bytes.length, offset + length))),
  };
}
