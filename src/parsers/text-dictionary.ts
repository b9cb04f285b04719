import type { TextColumn } from "../track/track.js";

const MOST_WORDS = 65_536;

/** Codes texts as small numbers; code 0 is the empty text (missing). */
export class TextDictionary {
  readonly #codes = new Map<string, number>([["", 0]]);
  /** Texts that found no room: after 65,535 different ones a column is no list of modes any more. */
  overflow = 0;

  /** @returns the code of `text`, 0 if there is no room for another */
  code(text: string): number {
    const known = this.#codes.get(text);
    if (known !== undefined) return known;
    if (this.#codes.size === MOST_WORDS) {
      this.overflow += 1;
      return 0;
    }
    // A slice of a cell may hold the whole file's text alive: the copy does not.
    const own = Buffer.from(text).toString();
    this.#codes.set(own, this.#codes.size);
    return this.#codes.size - 1;
  }

  /** @returns the column; `codes` are whole numbers below 65,536 */
  column(codes: Float64Array): TextColumn {
    return { codes: Uint16Array.from(codes), words: [...this.#codes.keys()] };
  }
}
