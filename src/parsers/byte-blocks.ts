/** Bytes are handed on in blocks of this size, so that nothing depends on how they arrived. */
export const BLOCK_BYTES = 65_536;

/** A stream of blocks of which the first was looked at already. */
export interface PeekedBlocks {
  /** The first block; empty for an empty stream. */
  readonly head: Uint8Array;
  /** True if there is nothing after `head`. */
  readonly isWhole: boolean;
  /** All blocks, `head` included. */
  readonly blocks: AsyncIterable<Uint8Array>;
}

/**
 * Cuts a stream into blocks of `BLOCK_BYTES`, the last one shorter, however it was cut before.
 *
 * @param chunks bytes in order, not to be written over later; empty chunks are allowed
 * @returns no block is empty
 */
export async function* toBlocks(
  chunks: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
): AsyncGenerator<Uint8Array, undefined> {
  let block = Buffer.allocUnsafe(BLOCK_BYTES);
  let used = 0;
  for await (const chunk of chunks) {
    for (let from = 0; from < chunk.length;) {
      if (used === 0 && chunk.length - from >= BLOCK_BYTES) {
        yield chunk.subarray(from, from + BLOCK_BYTES);
        from += BLOCK_BYTES;
        continue;
      }
      const taken = Math.min(BLOCK_BYTES - used, chunk.length - from);
      block.set(chunk.subarray(from, from + taken), used);
      from += taken;
      used += taken;
      if (used === BLOCK_BYTES) {
        yield block;
        block = Buffer.allocUnsafe(BLOCK_BYTES);
        used = 0;
      }
    }
  }
  if (used > 0) yield block.subarray(0, used);
  return undefined;
}

/**
 * Reads the first block of a stream ahead of the rest.
 *
 * @param blocks is used up through the result's `blocks` from now on
 */
export async function peekBlocks(blocks: AsyncGenerator<Uint8Array, undefined>): Promise<PeekedBlocks> {
  const first = await blocks.next();
  const second = first.done === true ? first : await blocks.next();
  const ahead = [first, second].flatMap((step) => (step.done === true ? [] : [step.value]));
  return {
    head: ahead[0] ?? new Uint8Array(),
    isWhole: second.done === true,
    blocks: chain(ahead, blocks),
  };
}

async function* chain(ahead: readonly Uint8Array[], rest: AsyncIterable<Uint8Array>): AsyncGenerator<Uint8Array> {
  yield* ahead;
  yield* rest;
}
