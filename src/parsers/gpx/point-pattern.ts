import { CLASSES, SPACE, TEXT } from "./byte-classes.js";

const MOST_BYTES = 4096;
const MOST_VALUES = 64;

/**
 * Everything but the values of one track point: mostly the next one has the same, and is read by comparing bytes.
 *
 * What it matches is as plain as the point that it was learned from, for values have no markup in them.
 */
export class PointPattern {
  readonly #bytes = new Uint8Array(MOST_BYTES);
  /** How many bytes stand before each value, all in all, and behind the last. */
  readonly #ends = new Int32Array(MOST_VALUES + 1);
  #values = 0;
  readonly #longest: number;

  /** @param longest longer values are not taken */
  constructor(longest: number) {
    this.#longest = longest;
  }

  /** Matches nothing any more. */
  forget(): void {
    this.#values = 0;
  }

  /**
   * Takes over a point.
   *
   * @param start where it begins
   * @param end where it ends
   * @param values how many it has; where they stand: `from` and `to`
   */
  learn(data: Buffer, start: number, end: number, values: number, from: Int32Array, to: Int32Array): void {
    this.#values = 0;
    if (end - start > MOST_BYTES || values > MOST_VALUES) return;
    let at = start;
    let used = 0;
    for (let value = 0; value <= values; value += 1) {
      const next = value === values ? end : (from[value] ?? 0);
      this.#bytes.set(data.subarray(at, next), used);
      used += next - at;
      this.#ends[value] = used;
      at = to[value] ?? 0;
    }
    this.#values = values;
  }

  /** @returns behind the point, with its values in `from` and `to`; −1 if another stands there */
  match(data: Buffer, start: number, from: Int32Array, to: Int32Array): number {
    if (this.#values === 0) return -1;
    const bytes = this.#bytes;
    const values = this.#values;
    const longest = this.#longest;
    let at = start;
    let place = 0;
    for (let value = 0; ; value += 1) {
      const end = this.#ends[value] ?? 0;
      while (place < end) {
        if (data[at] !== bytes[place]) return -1;
        at += 1;
        place += 1;
      }
      if (value === values) return at;
      // A quote, or what ends a text.
      const stop = bytes[place] ?? 0;
      const first = at;
      let byte = data[at] ?? 0;
      while (byte !== stop && CLASSES[byte] === TEXT) byte = data[(at += 1)] ?? 0;
      if (at === first || at - first > longest || data[first] === SPACE || data[at - 1] === SPACE) return -1;
      from[value] = first;
      to[value] = at;
    }
  }
}
