import { promisify } from "node:util";
import { gunzip } from "node:zlib";
import { sizeText } from "./config/reading.js";
import { openFile, readWhole, UnreadableFile } from "./plain-file.js";
import { type ByteSource, bytesInMemory } from "./site/byte-source.js";
import type { NamedTerrain } from "./site/terrain-file.js";
import { UserError } from "./user-error.js";

/** A file beside a terrain says in some lines in what system it is. */
const MOST_BESIDE_BYTES = 1_000_000;

/**
 * @param path of the file
 * @param named its name in messages
 * @param most bytes that a gzip file may unpack to: it cannot be read from the middle, so that all of it is in memory
 * @returns what reads it, piece by piece, decompressed where it is gzip
 */
export function fileAccess(path: string, named: string, most: number): Pick<NamedTerrain, "withBytes" | "beside"> {
  return {
    withBytes: async (use) => {
      const file = await openFile(path);
      try {
        const magic = new Uint8Array(2);
        await file.read(magic, 0, 2, 0);
        if (magic[0] === 0x1f && magic[1] === 0x8b) return await use(bytesInMemory(await unpacked(path, named, most)));
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
        return await readWhole(other, MOST_BESIDE_BYTES, () => new UnreadableFile(`over 1 MB: ${ending}`));
      } catch (error) {
        if (error instanceof Error && "code" in error && error.code === "ENOENT") return undefined;
        throw error;
      }
    },
  };
}

async function unpacked(path: string, named: string, most: number): Promise<Uint8Array> {
  const where = { file: named };
  const tooBig = (): UserError =>
    new UserError("terrain-too-big", `This gzip file holds more than ${sizeText(most)}.`, {
      where,
      hint: "Unpack it, or raise `reading.terrain`.",
    });
  const packed = await readWhole(path, most, tooBig);
  try {
    return await promisify(gunzip)(packed, { maxOutputLength: most });
  } catch (error) {
    if (!(error instanceof Error)) throw error;
    if ("code" in error && error.code === "ERR_BUFFER_TOO_LARGE") throw tooBig();
    throw new UserError("terrain-damaged", "This gzip file is damaged or cut off.", { where, hint: "Fetch it again." });
  }
}
