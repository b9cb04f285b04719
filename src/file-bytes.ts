import { open, readFile } from "node:fs/promises";
import { promisify } from "node:util";
import { gunzip } from "node:zlib";
import { type ByteSource, bytesInMemory } from "./site/byte-source.js";
import type { NamedTerrain } from "./site/terrain-file.js";
import { UserError } from "./user-error.js";

/** A gzip file cannot be read from the middle: all of it is in memory while it is used. */
const MOST_UNPACKED_BYTES = 1_000_000_000;

/**
 * @param path of the file
 * @param named its name in messages
 * @returns what reads it, piece by piece, decompressed where it is gzip
 */
export function fileAccess(path: string, named: string): Pick<NamedTerrain, "withBytes" | "beside"> {
  return {
    withBytes: async (use) => {
      const file = await open(path);
      try {
        const magic = new Uint8Array(2);
        await file.read(magic, 0, 2, 0);
        if (magic[0] === 0x1f && magic[1] === 0x8b) return await use(bytesInMemory(await unpacked(path, named)));
        const { size } = await file.stat();
        const source: ByteSource = {
          size,
          read: async (offset, length) => {
            const bytes = new Uint8Array(Math.max(0, Math.min(length, size - offset)));
            const { bytesRead } = await file.read(bytes, 0, bytes.length, offset);
            return bytes.subarray(0, bytesRead);
          },
        };
        return await use(source);
      } finally {
        await file.close();
      }
    },
    beside: async (ending) => {
      const other = path.replace(/\.gz$/i, "").replace(/\.[^./\\]*$/, "") + ending;
      try {
        return await readFile(other);
      } catch (error) {
        if (error instanceof Error && "code" in error && error.code === "ENOENT") return undefined;
        throw error;
      }
    },
  };
}

async function unpacked(path: string, named: string): Promise<Uint8Array> {
  const packed = await readFile(path);
  try {
    return await promisify(gunzip)(packed, { maxOutputLength: MOST_UNPACKED_BYTES });
  } catch (error) {
    if (!(error instanceof Error)) throw error;
    const isBig = "code" in error && error.code === "ERR_BUFFER_TOO_LARGE";
    throw new UserError(
      isBig ? "terrain-too-big" : "terrain-damaged",
      isBig ? `This gzip file holds more than ${MOST_UNPACKED_BYTES} bytes.` : "This gzip file is damaged or cut off.",
      { where: { file: named }, hint: isBig ? "Unpack it." : "Fetch it again." },
    );
  }
}
