import { deflateRawSync, inflateRawSync } from "node:zlib";
import { pack, type Packed, unpack } from "./packed.js";

/** The first ones are kept as they come: what is one or a few needs no packing. */
const AS_THEY_COME = 16;

/** So much text stays as it is: an engine grows by more than that before it tidies up, and deflating costs time. */
const PLAIN_BYTES = 8_388_608;

/** So much is deflated together: the results of a season have most of their text in common. */
const BLOCK_BYTES = 65_536;

/** Fast, and not far from what more work would save. */
const LEVEL = 3;

const LINE_FEED = 0x0a;

/**
 * Plain data of any number of logs in little memory. Iterating makes each value anew, one block of them at a time, so that
 * all of them are never there together.
 */
export class PackedList<T> implements Iterable<T> {
  readonly #first: Packed<T>[] = [];
  readonly #plain: Uint8Array[] = [];
  #plain_bytes = 0;
  readonly #deflated: Uint8Array[] = [];
  /** JSON texts, a line each, in memory that is used again: small pieces of it would be given back late. */
  #open: Uint8Array | undefined;
  #open_bytes = 0;

  add(one: Packed<T>): void {
    if (this.#first.length < AS_THEY_COME) {
      this.#first.push(one);
      return;
    }
    const { json } = pack(one);
    if (this.#open_bytes + json.length >= BLOCK_BYTES) this.#close();
    if (json.length >= BLOCK_BYTES) {
      this.#put(json);
      return;
    }
    this.#open ??= new Uint8Array(BLOCK_BYTES);
    this.#open.set(json, this.#open_bytes);
    this.#open_bytes += json.length;
    this.#open[this.#open_bytes] = LINE_FEED;
    this.#open_bytes += 1;
  }

  *[Symbol.iterator](): Generator<T> {
    for (const one of this.#first) yield unpack(one);
    for (const block of this.#plain) yield* valuesOf<T>(block);
    for (const block of this.#deflated) yield* valuesOf<T>(inflateRawSync(block));
    yield* valuesOf<T>(this.#filled());
  }

  #close(): void {
    if (this.#open_bytes > 0) this.#put(this.#filled());
    this.#open_bytes = 0;
  }

  /** Copies a block: what deflating gives is a small part of a large piece of memory, too. */
  #put(block: Uint8Array): void {
    if (this.#plain_bytes >= PLAIN_BYTES) {
      this.#deflated.push(new Uint8Array(deflateRawSync(block, { level: LEVEL })));
      return;
    }
    this.#plain.push(new Uint8Array(block));
    this.#plain_bytes += block.length;
  }

  #filled(): Uint8Array {
    return (this.#open ?? new Uint8Array()).subarray(0, this.#open_bytes);
  }
}

/** Line by line: a text of all of them would be too long to be given back soon. */
function* valuesOf<T>(lines: Uint8Array): Generator<T> {
  for (let start = 0; start < lines.length;) {
    const found = lines.indexOf(LINE_FEED, start);
    const end = found < 0 ? lines.length : found;
    yield unpack<T>({ json: lines.subarray(start, end) });
    start = end + 1;
  }
}
