import { CLASSES, SPACE, TEXT } from "./byte-classes.js";
import { ByteCursor, STOP } from "./byte-cursor.js";
import { type ElementName, ElementNames, endOfName } from "./element-names.js";
import { PointPattern } from "./point-pattern.js";
import { FIRST_LEAF, type ScannedPoint } from "./scanned-point.js";

const SLASH = 47;
const LESS = 60;
const GREATER = 62;
const LATITUDE = Buffer.from("lat=");
const LONGITUDE = Buffer.from("lon=");
const EMPTY_END = Buffer.from("/>");

const MOST_VALUES = 64;
/** A text with more blanks around it, or a longer one, may be cut by the reader of elements. */
const MOST_BLANKS = 100;
const LONGEST_VALUE = 100;

/**
 * Finds the elements of track points in bytes: no string, no object a point.
 *
 * It knows tags without attributes, but for `lat` and `lon` of the point itself, and printable ASCII between them. Whatever
 * else XML has, and whatever breaks its rules, it does not follow: that is for a real XML parser.
 */
export class PointScan extends ByteCursor implements ScannedPoint {
  /** Where the point begins that was read last, or could not be read. */
  start = 0;
  /** Behind the last tag that opens and the last text. */
  pieceEnd = 0;
  firstLine = 1;
  values = 0;
  latitude = STOP;
  longitude = STOP;
  readonly from = new Int32Array(MOST_VALUES);
  readonly to = new Int32Array(MOST_VALUES);
  readonly lines = new Int32Array(MOST_VALUES);
  readonly names = Array.from({ length: MOST_VALUES }, () => "");
  readonly isOwn = new Uint8Array(MOST_VALUES);
  #name: Uint8Array = this.data;
  #deepest = 0;
  readonly #elementNames = new ElementNames();
  readonly #open: ElementName[] = [];
  readonly #pattern = new PointPattern(LONGEST_VALUE);
  /** Of the point of the pattern: line breaks in it; how far its last line and its last piece are from its end. */
  #breaks = 0;
  #lastLineLength = 0;
  #afterPiece = 0;
  /** Every value of the point has a text. */
  #isFilled = true;

  /**
   * Says what to look for.
   *
   * @param name of track points
   * @param deepest how many elements may be open inside one
   */
  expect(name: Uint8Array, deepest: number): void {
    if (deepest !== this.#deepest) this.#pattern.forget();
    this.#name = name;
    this.#deepest = deepest;
  }

  /**
   * Reads the next point, with the blanks before it.
   *
   * @returns behind the point; −1 if what comes next is no plain and whole point
   */
  read(from: number): number {
    const start = this.passBlanks(from);
    this.start = start;
    this.firstLine = this.lineNow;
    const same = this.#pattern.match(this.data, start, this.from, this.to);
    if (same !== STOP) {
      this.lineNow += this.#breaks;
      if (this.#breaks > 0) this.lineFrom = same - this.#lastLineLength;
      this.pieceEnd = same - this.#afterPiece;
      return same;
    }
    this.#pattern.forget();
    const end = this.#point(start);
    if (end === STOP || !this.#isFilled) return end;
    this.#pattern.learn(this.data, start, end, this.values, this.from, this.to);
    this.#breaks = this.lineNow - this.firstLine;
    this.#lastLineLength = end - this.lineFrom;
    this.#afterPiece = end - this.pieceEnd;
    return end;
  }

  #point(start: number): number {
    if (this.data[start] !== LESS) return this.stop(start);
    const nameEnd = this.pass(start + 1, this.#name);
    const tagEnd = nameEnd === STOP ? STOP : this.#attributes(nameEnd);
    if (tagEnd === STOP) return STOP;
    this.lines[0] = this.lineNow - this.firstLine;
    return this.#elements(tagEnd);
  }

  /** @returns behind the last tag of the point */
  #elements(from: number): number {
    const { data } = this;
    let at = from;
    let depth = 0;
    let opened = 0;
    let isLeaf = false;
    this.pieceEnd = from;
    for (;;) {
      const start = at;
      at = this.passText(start);
      if (data[at] !== LESS) return this.stop(at);
      if (at > start) this.pieceEnd = at + 1;
      if (data[at + 1] === SLASH) {
        const element = depth === 0 ? undefined : this.#open[depth - 1];
        const end = this.pass(at + 2, element?.bytes ?? this.#name);
        if (end === STOP) return STOP;
        if (data[end] !== GREATER) return this.stop(end);
        if (element === undefined) return end + 1;
        if (isLeaf && !this.#addLeaf(element, depth === 1, start, at)) return this.stopAsOdd();
        isLeaf = false;
        depth -= 1;
        at = end + 1;
      } else {
        const element = this.#elementAt(at + 1, opened);
        if (element === undefined) return STOP;
        if (depth === this.#deepest) return this.stopAsOdd();
        const end = at + 1 + element.bytes.length;
        isLeaf = data[end] === GREATER;
        at = isLeaf ? end + 1 : this.pass(end, EMPTY_END);
        if (at === STOP) return STOP;
        if (isLeaf) this.#open[depth] = element;
        else if (!this.#addLeaf(element, depth === 0, end, end)) return this.stopAsOdd();
        depth += isLeaf ? 1 : 0;
        opened += 1;
        this.pieceEnd = at;
      }
    }
  }

  /** @returns behind the first tag of a point, from its name on */
  #attributes(from: number): number {
    const { data } = this;
    this.values = 0;
    this.latitude = STOP;
    this.longitude = STOP;
    this.#isFilled = true;
    let at = from;
    for (;;) {
      const next = this.passBlanks(at);
      if (data[next] === GREATER && this.values === FIRST_LEAF) return next + 1;
      if (next === at || this.values === FIRST_LEAF) return this.stop(next);
      at = this.#attribute(next);
      if (at === STOP) return STOP;
    }
  }

  #attribute(from: number): number {
    const { data } = this;
    const isLatitude = data[from + 1] === LATITUDE[1];
    const start = this.pass(from, isLatitude ? LATITUDE : LONGITUDE);
    if (start === STOP) return STOP;
    const quote = data[start];
    const isSecond = (isLatitude ? this.latitude : this.longitude) !== STOP;
    if ((quote !== 34 && quote !== 39) || isSecond) return this.stop(start);
    let at = start + 1;
    while (data[at] !== quote && CLASSES[data[at] ?? 0] === TEXT) at += 1;
    if (data[at] !== quote) return this.stop(at);
    if (isLatitude) this.latitude = this.values;
    else this.longitude = this.values;
    this.#addValue(start + 1, at);
    return at + 1;
  }

  #addValue(from: number, to: number): void {
    this.from[this.values] = from;
    this.to[this.values] = to;
    this.values += 1;
    if (to === from) this.#isFilled = false;
  }

  /** @returns the element whose name stands there; undefined where there is none, or one more than is kept */
  #elementAt(from: number, opened: number): ElementName | undefined {
    const known = this.#elementNames.find(this.data, from, opened);
    if (known !== undefined) return known;
    const end = endOfName(this.data, from);
    this.stop(end);
    return this.isCut ? undefined : this.#elementNames.add(this.data.toString("latin1", from, end));
  }

  /** @returns false for a text that is not plain, or too many of them */
  #addLeaf({ local }: ElementName, isOwn: boolean, from: number, to: number): boolean {
    const { data, values } = this;
    let start = from;
    let end = to;
    while (start < end && (data[start] ?? 0) <= SPACE) start += 1;
    while (start < end && (data[end - 1] ?? 0) <= SPACE) end -= 1;
    for (let at = start; at < end; at += 1) if ((data[at] ?? 0) < SPACE) return false;
    const length = end - start;
    if (length > LONGEST_VALUE || to - from - length > MOST_BLANKS || values === MOST_VALUES) return false;
    this.names[values] = local;
    this.isOwn[values] = isOwn ? 1 : 0;
    this.lines[values] = this.lineNow - this.firstLine;
    this.#addValue(start, end);
    return true;
  }
}
