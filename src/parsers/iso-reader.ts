import { UNREADABLE } from "./cell-readers.js";
import { readTimeText, SECOND_US } from "./time-text.js";

const SHORTEST = 20;
const LONGEST = 27;
const DAY_LENGTH = 10;
const COLON = 58;
const POWERS = [1, 10, 100, 1e3, 1e4, 1e5];

/**
 * Reads the commonest form of a time, `2024-05-01T10:20:30.123Z`, without a regular expression: microseconds since 1970, or
 * `UNREADABLE` for anything else, which may still be a time.
 */
export class IsoReader {
  readonly #bytes = new Uint8Array(LONGEST);
  /** The day read last: none at first, for the fifth byte of a day is its dash. */
  readonly #day = new Uint8Array(DAY_LENGTH);
  #day_us = Number.NaN;

  /** Reads a text. */
  read(text: string): number {
    const { length } = text;
    if (length < SHORTEST || length > LONGEST) return UNREADABLE;
    const bytes = this.#bytes;
    let bits = 0;
    for (let at = 0; at < length; at += 1) {
      const code = text.charCodeAt(at);
      bits |= code;
      bytes[at] = code;
    }
    return bits > 127 ? UNREADABLE : this.readBytes(bytes, 0, length);
  }

  /** Reads a text that stands in bytes. */
  readBytes(data: Uint8Array, from: number, to: number): number {
    const length = to - from;
    if (length < SHORTEST || length > LONGEST || data[to - 1] !== 90 || data[from + 4] !== 45) return UNREADABLE;
    const clock_us = isoClock(data, from, length);
    return clock_us >= 0 && (this.#isSameDay(data, from) || this.#readDay(data, from))
      ? this.#day_us + clock_us
      : UNREADABLE;
  }

  #isSameDay(data: Uint8Array, from: number): boolean {
    for (let at = 0; at < DAY_LENGTH; at += 1) if (data[from + at] !== this.#day[at]) return false;
    return true;
  }

  /** @returns whether there is such a day, which is remembered */
  #readDay(data: Uint8Array, from: number): boolean {
    const day = data.subarray(from, from + DAY_LENGTH);
    const day_us = readTimeText(String.fromCharCode(...day), "y-m-d")?.date_us;
    if (day_us === undefined) return false;
    this.#day.set(day);
    this.#day_us = day_us;
    return true;
  }
}

/** @returns microseconds since midnight of `…-..-..T10:20:30.123Z`; NaN for any other form */
function isoClock(data: Uint8Array, from: number, length: number): number {
  const separator = data[from + 10];
  if ((separator !== 84 && separator !== 32) || data[from + 13] !== COLON || data[from + 16] !== COLON)
    return Number.NaN;
  const hour = digits(data, from + 11, from + 13);
  const minute = digits(data, from + 14, from + 16);
  const second = digits(data, from + 17, from + 19);
  if (!(hour < 24 && minute < 60 && second <= 60)) return Number.NaN;
  const whole_us = ((hour * 60 + minute) * 60 + second) * SECOND_US;
  if (length === SHORTEST) return whole_us;
  const places = length - 21;
  if (data[from + 19] !== 46 || places === 0) return Number.NaN;
  return whole_us + digits(data, from + 20, from + length - 1) * (POWERS[6 - places] ?? Number.NaN);
}

function digits(data: Uint8Array, from: number, to: number): number {
  let value = 0;
  for (let at = from; at < to; at += 1) {
    const digit = (data[at] ?? 0) - 48;
    if (digit < 0 || digit > 9) return Number.NaN;
    value = value * 10 + digit;
  }
  return value;
}
