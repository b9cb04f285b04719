import type { Declared } from "../../config/declared.js";
import { CHANNEL_KEYS, CHANNELS, type Channel } from "../../track/channels.js";
import { askMeaning, askUnit, idOf } from "../ask-column.js";
import type { Origin } from "../assemble-track.js";
import { numberReader, readFix, UNREADABLE, type CellReader } from "../cell-readers.js";
import { rangeOf, readerFor, readMode } from "../channel-readers.js";
import { GrowingColumn } from "../growing-column.js";
import type { ProblemList } from "../problem-list.js";
import { quoteText } from "../quote-text.js";
import { readDecimal } from "../read-decimal.js";
import { recogniseName } from "../recognise-name.js";
import { TextDictionary } from "../text-dictionary.js";
import { convert, dimensionOf, findUnit, ownUnit, type Unit } from "../units.js";

/** Where the values of one element go. */
export interface Slot {
  readonly channel: Channel;
  readonly origin: Origin;
  readonly unit: Unit;
  readonly read: CellReader;
  /** A plain number is read as such; else words and digits have meanings of their own. */
  readonly isNumber: boolean;
  readonly least: number;
  readonly most: number;
  readonly values: GrowingColumn;
  /** The value of the point being read. */
  pending: number;
}

/** Elements of the schema that a track point has as its own children and that are used; `speed` and `course` are those of GPX 1.0. */
export const SCHEMA_ELEMENTS: ReadonlyMap<string, Channel> = new Map<string, Channel>([
  ["ele", "altitude_m"],
  ["fix", "fixType"],
  ["sat", "satellites"],
  ["hdop", "hdop"],
  ["speed", "groundSpeed_ms"],
  ["course", "course_deg"],
]);

/** Elements of the schema that are known and not needed. */
const PLAIN_ELEMENTS: ReadonlySet<string> = new Set(
  "time magvar geoidheight name cmt desc src link url urlname text type sym vdop pdop ageofdgpsdata dgpsid".split(" "),
);

const UNREADABLE_VALUE = {
  severity: "warning",
  code: "cell-unreadable",
  rest: (count: number) => `and ${count} more ${count === 1 ? "value" : "values"} could not be read.`,
} as const;
const OUT_OF_RANGE = {
  severity: "note",
  code: "cell-out-of-range",
  rest: (count: number) => `and ${count} more ${count === 1 ? "value" : "values"} out of range taken as not recorded.`,
} as const;

const readNumber = numberReader("point");
/** The byte of the decimal mark. */
const POINT = 46;

/** The columns of a GPX log but time and position: they appear as elements are met. */
export class PointColumns {
  readonly slots = new Map<Channel, Slot>();
  mode: { readonly codes: GrowingColumn; readonly words: TextDictionary; readonly origin: Origin } | undefined;
  readonly unused = new Set<string>();
  /** Those of `slots`: going through a map makes objects. */
  readonly #filled: Slot[] = [];
  #pendingMode = 0;
  #rows = 0;
  /** By local name, of children of the point itself and of elements inside extensions; undefined where one is not used. */
  readonly #own = new Map<string, Slot | "mode" | undefined>();
  readonly #nested = new Map<string, Slot | "mode" | undefined>();
  readonly #mapped: Declared["columns"];
  readonly #problems: ProblemList;
  readonly #number = new Float64Array(1);

  constructor(mapped: Declared["columns"], problems: ProblemList) {
    this.#mapped = mapped;
    this.#problems = problems;
  }

  /**
   * Takes the text of an element of the point being read; of two for one channel the first in a point stays.
   *
   * @param isOwn true for a child of the point itself, false inside extensions
   */
  take(name: string, isOwn: boolean, text: string, line: number): void {
    this.#takeText(this.#slotOf(name, isOwn), text, line);
  }

  /** The same for a text that stands in bytes, of which a text is made only where it is no plain number. */
  takeBytes(name: string, isOwn: boolean, data: Buffer, from: number, to: number, line: number): void {
    const slot = this.#slotOf(name, isOwn);
    if (slot === undefined) return;
    if (slot !== "mode" && slot.isNumber && readDecimal(data, from, POINT, this.#number, 0) === to) {
      if (takeNumber(slot, this.#number[0] ?? Number.NaN)) return;
    }
    this.#takeText(slot, data.toString("latin1", from, to), line);
  }

  #slotOf(name: string, isOwn: boolean): Slot | "mode" | undefined {
    const known = isOwn ? this.#own : this.#nested;
    let slot = known.get(name);
    if (slot === undefined && !known.has(name)) {
      slot = this.#findSlot(name, isOwn);
      known.set(name, slot);
    }
    return slot;
  }

  #takeText(slot: Slot | "mode" | undefined, text: string, line: number): void {
    if (slot === "mode") this.#pendingMode = this.mode?.words.code(readMode(text)) ?? 0;
    else if (slot !== undefined && Number.isNaN(slot.pending)) slot.pending = this.#readValue(slot, text, line);
  }

  /** Ends the point: its values are kept, or thrown away with it. */
  endPoint(isKept: boolean): void {
    for (const slot of this.#filled) {
      if (isKept) slot.values.push(slot.pending);
      slot.pending = Number.NaN;
    }
    if (isKept) {
      this.mode?.codes.push(this.#pendingMode);
      this.#rows += 1;
    }
    this.#pendingMode = 0;
  }

  #readValue({ read, unit, least, most, origin }: Slot, text: string, line: number): number {
    const raw = read(text);
    if (raw === UNREADABLE) {
      this.#problems.count(
        UNREADABLE_VALUE,
        line,
        () => `${quoteText(text)} in ${origin.source} cannot be read: taken as not recorded.`,
      );
      return Number.NaN;
    }
    const value = convert(raw, unit);
    if (!(value < least || value > most)) return value;
    this.#problems.count(
      OUT_OF_RANGE,
      line,
      () => `${quoteText(text)} in ${origin.source} is out of range: taken as not recorded.`,
    );
    return Number.NaN;
  }

  #findSlot(name: string, isOwn: boolean): Slot | "mode" | undefined {
    const mapped = Object.entries(this.#mapped).find(([, { column }]) => column.toLowerCase() === name.toLowerCase());
    if (mapped !== undefined) return this.#mappedSlot(name, mapped[0], mapped[1].unit);
    const schema = isOwn ? SCHEMA_ELEMENTS.get(name) : undefined;
    if (schema !== undefined) return this.#addSlot(schema, name, ownUnit(schema));
    return isOwn && PLAIN_ELEMENTS.has(name) ? undefined : this.#recognisedSlot(name);
  }

  #mappedSlot(name: string, id: string, unitText: string | undefined): Slot | "mode" | undefined {
    if (id === "mode") return this.#addMode(name);
    const channel = CHANNEL_KEYS.find((key) => CHANNELS[key].id === id);
    if (channel === undefined || channel === "time_s") return this.#leave(name);
    const reading = recogniseName(name);
    const stated = reading?.kind === "channel" ? reading.unit : undefined;
    const unit = unitText === undefined ? stated : findUnit(unitText, dimensionOf(channel));
    if (unit?.dimension === dimensionOf(channel)) return this.#addSlot(channel, name, unit);
    askUnit("Element", name, channel, unitText, this.#problems);
    return this.#leave(name);
  }

  #recognisedSlot(name: string): Slot | "mode" | undefined {
    const reading = recogniseName(name);
    if (reading === undefined || reading.kind === "time") return this.#leave(name);
    if (reading.kind === "unclear") {
      const isCovered = reading.channels.some((channel) => this.slots.has(channel));
      askMeaning("Element", name, reading, isCovered, this.#problems);
      return this.#leave(name);
    }
    const { channel, unitless } = reading.words;
    if (channel === "mode") return this.#addMode(name);
    if (channel === "latitude_deg" || channel === "longitude_deg") return this.#leave(name);
    const unit = reading.unit ?? (unitless === "own" ? ownUnit(channel) : undefined);
    if (unit !== undefined) return this.#addSlot(channel, name, unit);
    askUnit("Element", name, channel, reading.strangeUnit, this.#problems);
    return this.#leave(name);
  }

  #leave(name: string): undefined {
    this.unused.add(name);
    return undefined;
  }

  #addMode(name: string): "mode" | undefined {
    if (this.mode !== undefined) return this.#tie("mode", name);
    const codes = new GrowingColumn();
    for (let row = 0; row < this.#rows; row += 1) codes.push(0);
    this.mode = { codes, words: new TextDictionary(), origin: { source: name, unit: "text" } };
    return "mode";
  }

  #addSlot(channel: Channel, name: string, unit: Unit): Slot | undefined {
    if (this.slots.has(channel)) return this.#tie(channel, name);
    const values = new GrowingColumn();
    for (let row = 0; row < this.#rows; row += 1) values.push(Number.NaN);
    const [least, most] = rangeOf(channel);
    const read = channel === "fixType" ? readFix : readerFor(channel, readNumber);
    const isNumber = !["flag", "fix"].includes(dimensionOf(channel));
    const origin = { source: name, unit: unit.name };
    const slot = { channel, origin, unit, read, isNumber, least, most, values, pending: Number.NaN };
    this.slots.set(channel, slot);
    this.#filled.push(slot);
    return slot;
  }

  #tie(channel: Channel | "mode", name: string): undefined {
    const first = channel === "mode" ? this.mode?.origin.source : this.slots.get(channel)?.origin.source;
    this.#problems.add(
      "note",
      "element-second",
      `Element ${quoteText(name)} may be ${idOf(channel)} too: ${quoteText(first ?? "")}, which came first, is used.`,
    );
    return this.#leave(name);
  }
}

/** @returns false for a number with anything to tell about it */
function takeNumber(slot: Slot, raw: number): boolean {
  if (!Number.isNaN(slot.pending)) return true;
  const value = convert(raw, slot.unit);
  if (value < slot.least || value > slot.most) return false;
  slot.pending = value;
  return true;
}
