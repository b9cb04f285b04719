import { BLOCK_BYTES } from "./byte-blocks.js";

const END_ZEROS = 2;

/** What is left of the blocks before and the next one, in one piece of memory used again and again: new ones cost more. */
export class ByteWindow {
  #bytes = Buffer.alloc(2 * BLOCK_BYTES);
  #used = 0;

  /** All of the memory: behind what was added stand two zeros at least. Who stops at a zero need not look for the end. */
  get memory(): Buffer {
    return this.#bytes;
  }

  /** What the last block left. */
  get rest(): Buffer {
    return this.#bytes.subarray(0, this.#used);
  }

  /** @returns the rest and the block behind it, until the next call */
  add(block: Uint8Array): Buffer {
    const all = this.#used + block.length;
    if (all + END_ZEROS > this.#bytes.length) this.#bytes = Buffer.concat([this.rest], 2 * all);
    this.#bytes.set(block, this.#used);
    this.#bytes.fill(0, all, all + END_ZEROS);
    this.#used = all;
    return this.rest;
  }

  /** Lets go of what stands before a place. */
  keepFrom(from: number): void {
    this.#bytes.copyWithin(0, from, this.#used);
    this.#used -= from;
  }
}
