import { createGunzip } from "node:zlib";

/** How a gzip stream ended. */
export interface GzipEnd {
  /** `cut` if the stream ends too early, `damaged` if its bytes make no sense; what came before was read. */
  state: "whole" | "cut" | "damaged";
}

/** @returns true if the bytes begin as a gzip stream does */
export function isGzip(head: Uint8Array): boolean {
  return head[0] === 0x1f && head[1] === 0x8b && head[2] === 8;
}

/**
 * Unpacks a gzip stream piece by piece; a broken one yields what could be unpacked, so that a cut log is still read.
 *
 * @param blocks of the packed stream
 * @param end is told how the stream ended, before the last piece is handed out
 */
export async function* gunzip(blocks: AsyncIterable<Uint8Array>, end: GzipEnd): AsyncGenerator<Uint8Array, undefined> {
  const unpacker = createGunzip();
  const ready: Uint8Array[] = [];
  unpacker.on("data", (piece: Uint8Array) => ready.push(piece));
  const closed = new Promise<void>((resolve) => {
    unpacker.on("error", (error: NodeJS.ErrnoException) => {
      end.state = error.code === "Z_BUF_ERROR" ? "cut" : "damaged";
    });
    unpacker.on("close", resolve);
  });
  try {
    for await (const block of blocks) {
      // After an error zlib never calls back.
      await Promise.race([closed, new Promise<void>((resolve) => void unpacker.write(block, () => resolve()))]);
      yield* ready.splice(0);
      if (end.state !== "whole") break;
    }
    unpacker.end();
    await closed;
    yield* ready.splice(0);
  } finally {
    unpacker.destroy();
  }
  return undefined;
}
