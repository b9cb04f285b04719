import { BREAK, CLASSES, SPACE, TEXT } from "./byte-classes.js";

const LF = 10;
const CR = 13;

/** What stands there is not plain, or not whole. */
export const STOP = -1;

/** Steps through the bytes of plain XML, and counts lines as it does. */
export class ByteCursor {
  data: Buffer = Buffer.alloc(0);
  /** The line being read, and where in the data it begins; −1 if that was before. */
  lineNow = 1;
  lineFrom = -1;
  /** Nothing was odd when it stopped: the data ended. */
  isCut = false;
  #end = 0;

  /**
   * Begins with other data, at a place in this line.
   *
   * @param end where they end; two zeros stand behind it, so that no read goes beyond the memory, which would be slow
   */
  begin(data: Buffer, end: number, line: number): void {
    this.data = data;
    this.#end = end;
    this.lineNow = line;
    this.lineFrom = -1;
  }

  /** @returns behind a text */
  protected passText(from: number): number {
    const { data } = this;
    let at = from;
    for (;;) {
      let byte = data[at] ?? 0;
      while (CLASSES[byte] === TEXT) byte = data[(at += 1)] ?? 0;
      if (CLASSES[byte] !== BREAK) return at;
      this.#countBreak(at, byte);
      at += 1;
    }
  }

  /** @returns behind blanks */
  protected passBlanks(from: number): number {
    const { data } = this;
    let at = from;
    for (;;) {
      const byte = data[at] ?? 0;
      if (byte !== SPACE && CLASSES[byte] !== BREAK) return at;
      this.#countBreak(at, byte);
      at += 1;
    }
  }

  /** CRLF is one break. */
  #countBreak(at: number, byte: number): void {
    if (byte !== LF && byte !== CR) return;
    if (byte === CR || this.data[at - 1] !== CR) this.lineNow += 1;
    this.lineFrom = at + 1;
  }

  /** @returns behind these bytes, if that is what stands there */
  protected pass(from: number, bytes: Uint8Array): number {
    const { data } = this;
    for (let at = 0; at < bytes.length; at += 1) if (data[from + at] !== bytes[at]) return this.stop(from + at);
    return from + bytes.length;
  }

  /** @param at where it cannot go on */
  protected stop(at: number): typeof STOP {
    this.isCut = at >= this.#end;
    return STOP;
  }

  /** Stops at something that is not plain. */
  protected stopAsOdd(): typeof STOP {
    this.isCut = false;
    return STOP;
  }
}
