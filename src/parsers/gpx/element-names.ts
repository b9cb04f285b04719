import { localName } from "./local-name.js";

const MOST_NAMES = 64;
const LONGEST_NAME = 100;
const IS_PART = Uint8Array.from({ length: 128 }, (_, byte) => (/[\w:.-]/.test(String.fromCharCode(byte)) ? 1 : 0));

/** The name of an element: as it is written, and without its prefix. */
export interface ElementName {
  readonly bytes: Uint8Array;
  readonly local: string;
}

/** The names of elements in bytes, each made a text once: of ASCII, since only an XML parser knows what else is a letter. */
export class ElementNames {
  readonly #known: ElementName[] = [];
  /** The elements of the last point in the order of their first tags: those of the next are mostly the same. */
  readonly #order: ElementName[] = [];

  /**
   * @param opened how many elements of the point began before
   * @returns the known name that stands there; undefined where it is none of those
   */
  find(data: Uint8Array, from: number, opened: number): ElementName | undefined {
    const expected = this.#order[opened];
    if (expected !== undefined && isNamed(data, from, expected)) return expected;
    const known = this.#known.find((name) => isNamed(data, from, name));
    if (known !== undefined) this.#order[opened] = known;
    return known;
  }

  /** @returns undefined where it is no name, or one too many */
  add(name: string): ElementName | undefined {
    if (!/^[A-Za-z_:]/.test(name) || name.length > LONGEST_NAME || this.#known.length === MOST_NAMES) return undefined;
    const added = { bytes: Buffer.from(name), local: localName(name) };
    this.#known.push(added);
    return added;
  }
}

/** @returns behind what may be part of a name */
export function endOfName(data: Uint8Array, from: number): number {
  let end = from;
  while (IS_PART[data[end] ?? 0] === 1) end += 1;
  return end;
}

function isNamed(data: Uint8Array, from: number, { bytes }: ElementName): boolean {
  for (let at = 0; at < bytes.length; at += 1) if (data[from + at] !== bytes[at]) return false;
  return IS_PART[data[from + bytes.length] ?? 0] !== 1;
}
