import { createHash } from "node:crypto";

/** The bytes of a log: whole, or in pieces as they are read. */
export type LogBytes = Uint8Array | AsyncIterable<Uint8Array> | Iterable<Uint8Array>;

/** The bytes as stored, hashed and counted as the parser draws them. */
export class StoredBytes implements AsyncIterable<Uint8Array> {
  readonly #chunks: AsyncIterator<Uint8Array> | Iterator<Uint8Array>;
  readonly #hash = createHash("sha256");
  readonly #most: number;
  #bytes = 0;

  /** @param most bytes after which `drain` gives up: some streams never end */
  constructor(bytes: LogBytes, most: number) {
    this.#most = most;
    if (bytes instanceof Uint8Array) this.#chunks = [bytes][Symbol.iterator]();
    else if (Symbol.asyncIterator in bytes) this.#chunks = bytes[Symbol.asyncIterator]();
    else this.#chunks = bytes[Symbol.iterator]();
  }

  [Symbol.asyncIterator](): AsyncIterator<Uint8Array> {
    return {
      next: async () => {
        const step = await this.#chunks.next();
        if (step.done !== true) {
          this.#hash.update(step.value);
          this.#bytes += step.value.length;
        }
        return step;
      },
    };
  }

  /**
   * Reads what a parser that gave up left, so that hash and size are those of the whole file; of one that is larger than
   * any log they are those of what was read.
   */
  async drain(): Promise<void> {
    for await (const _chunk of this) {
      if (this.#bytes <= this.#most) continue;
      await this.#chunks.return?.();
      return;
    }
  }

  facts(): { sha256: string; bytes: number } {
    return { sha256: this.#hash.copy().digest("hex"), bytes: this.#bytes };
  }
}
