import { findUnit, type Unit } from "../units.js";
import { UNREADABLE, type CellReader } from "../cell-readers.js";
import { cleanText } from "../clean-text.js";
import { IsoReader } from "../iso-reader.js";
import { DAY_US, readTimeText, SECOND_US, type DateOrder, type TimeText } from "../time-text.js";

/** How the cells of a column of time are written. */
export type TimeFormat =
  | { readonly kind: "number"; readonly unit: Unit; readonly isEpoch: boolean }
  /** A date with a time of day. */
  | { readonly kind: "stamp"; readonly order: DateOrder; readonly hasZone: boolean }
  | { readonly kind: "date"; readonly order: DateOrder }
  | { readonly kind: "clock"; readonly hasZone: boolean };

/** Why the format of a column cannot be told. */
export interface UnclearTime {
  readonly kind: "unclear";
  readonly why: string;
  /** What to state as its unit. */
  readonly unit: string;
  /** A date, of which the order is open. */
  readonly isDate: boolean;
}

/** Epoch times lie between 2001 and 2286, in units that their size tells. */
const EPOCH_S = { least: 1e9, most: 1e10 };
const DATE_ORDERS: readonly DateOrder[] = ["y-m-d", "d/m/y", "m/d/y"];

/** @returns the order of dates that someone stated as the unit of a column: `d/m/y` */
export function findDateOrder(text: string): DateOrder | undefined {
  const plain = text
    .toLowerCase()
    .replace(/[a-z]+/g, (letters) => letters.charAt(0))
    .replace(/[-./\s]+/g, "/");
  return DATE_ORDERS.find((order) => order.replaceAll("-", "/") === plain);
}

/**
 * Tells how a column of time is written.
 *
 * @param cells of the column, from a sample of the rows
 * @param unitText stated in the header or homeleg.yaml: a unit of time or an order of dates; undefined if nothing is
 * @returns undefined if the cells are no times at all, or all blank
 */
export function detectTimeFormat(
  cells: readonly string[],
  unitText: string | undefined,
  readNumber: CellReader,
): TimeFormat | UnclearTime | undefined {
  const texts = cells.map(cleanText).filter((text) => !Number.isNaN(readNumber(text)));
  if (texts.length === 0) return undefined;
  const numbers = texts.map(readNumber).filter((value) => value !== UNREADABLE);
  if (numbers.length * 2 > texts.length) return detectNumber(numbers, unitText);
  return detectText(texts, unitText);
}

function detectNumber(numbers: readonly number[], unitText: string | undefined): TimeFormat | UnclearTime {
  const typical = numbers.toSorted((a, b) => a - b)[numbers.length >> 1] ?? 0;
  const stated = unitText === undefined ? undefined : findUnit(unitText, "time");
  if (stated !== undefined) return { kind: "number", unit: stated, isEpoch: isEpoch(typical, stated) };
  const unit = ["s", "ms", "us"].map((name) => findUnit(name, "time")).find((unit) => unit && isEpoch(typical, unit));
  if (unit !== undefined) return { kind: "number", unit, isEpoch: true };
  return { kind: "unclear", why: "states no unit of time", unit: "s", isDate: false };
}

function isEpoch(value: number, { times, over }: Unit): boolean {
  const seconds = (value * times) / over;
  return seconds >= EPOCH_S.least && seconds < EPOCH_S.most;
}

function detectText(texts: readonly string[], unitText: string | undefined): TimeFormat | UnclearTime | undefined {
  const order = (unitText === undefined ? undefined : findDateOrder(unitText)) ?? sniffOrder(texts);
  const read = texts.flatMap((text) => readTimeText(text, order === "unclear" ? "d/m/y" : order) ?? []);
  if (read.length * 2 <= texts.length) return undefined;
  const typical = read[read.length >> 1];
  if (typical === undefined) return undefined;
  if (order === "unclear" && typical.date_us !== undefined) {
    return { kind: "unclear", why: "may be day first or month first", unit: "d/m/y", isDate: true };
  }
  return formatOf(
    typical,
    read.every(({ zone_us }) => zone_us !== undefined),
    order === "unclear" ? "y-m-d" : order,
  );
}

function formatOf({ date_us, clock_us }: TimeText, hasZone: boolean, order: DateOrder): TimeFormat {
  if (clock_us === undefined) return { kind: "date", order };
  return date_us === undefined ? { kind: "clock", hasZone } : { kind: "stamp", order, hasZone };
}

/** A dot says that the day comes first, a number over 12 settles the rest. */
function sniffOrder(texts: readonly string[]): DateOrder | "unclear" {
  const pairs = texts.flatMap((text) => {
    const match = /^(\d{1,2})[-/](\d{1,2})[-/]\d{4}/.exec(text);
    return match === null ? [] : [[Number(match[1]), Number(match[2])] as const];
  });
  if (pairs.length === 0) return texts.some((text) => /^\d{1,2}\.\d{1,2}\.\d{4}/.test(text)) ? "d/m/y" : "y-m-d";
  const isDayFirst = pairs.some(([first]) => first > 12);
  const isMonthFirst = pairs.some(([, second]) => second > 12);
  if (isDayFirst === isMonthFirst) return "unclear";
  return isDayFirst ? "d/m/y" : "m/d/y";
}

/** @returns a name of the format for people: `ISO 8601`, `epoch ms`, `s` */
export function formatName(format: TimeFormat): string {
  if (format.kind === "number") return format.isEpoch ? `epoch ${format.unit.name}` : format.unit.name;
  if (format.kind === "clock") return "hh:mm:ss";
  if (format.kind === "date") return format.order;
  return format.order === "y-m-d" ? "ISO 8601" : `${format.order} hh:mm:ss`;
}

/**
 * @returns a reader of cells of this format: whole microseconds since 1970 or since some start; NaN where the cell is
 *   blank, `UNREADABLE` where it is no time. A time without a zone is taken as UTC.
 */
export function timeReader(format: TimeFormat, readNumber: CellReader): CellReader {
  if (format.kind === "number") {
    const { unit } = format;
    return (cell) => microsecondsOf(readNumber(cell), unit);
  }
  const order = format.kind === "clock" ? "y-m-d" : format.order;
  const iso = new IsoReader();
  return (cell) => {
    const quick = format.kind === "stamp" ? iso.read(cell) : UNREADABLE;
    if (quick !== UNREADABLE) return quick;
    const text = cleanText(cell);
    const read = readTimeText(text, order);
    if (read === undefined) return Number.isNaN(readNumber(text)) ? Number.NaN : UNREADABLE;
    return toMicroseconds(read, format.kind);
  };
}

/** @returns whole microseconds; NaN for NaN, `UNREADABLE` for what is too great to be a time */
export function microsecondsOf(value: number, { times, over }: Unit): number {
  const time_us = Math.round((value * (SECOND_US * times)) / over);
  // Greater ones are not whole microseconds any more.
  return Math.abs(time_us) > Number.MAX_SAFE_INTEGER ? UNREADABLE : time_us;
}

function toMicroseconds({ date_us, clock_us, zone_us }: TimeText, kind: "stamp" | "date" | "clock"): number {
  if ((kind !== "clock") !== (date_us !== undefined)) return UNREADABLE;
  if (kind === "stamp" && clock_us === undefined) return UNREADABLE;
  return (date_us ?? 0) + (clock_us ?? 0) - (zone_us ?? 0);
}

/**
 * Follows a time of day past midnight: a step back of more than half a day is the next day, and a step forward of more
 * than half a day is a late row of the day before.
 *
 * @returns a function to be called row by row; NaN and ±Infinity pass through
 */
export function midnightFollower(): (clock_us: number) => number {
  let last = Number.NaN;
  let days = 0;
  return (clock_us) => {
    if (!Number.isFinite(clock_us)) return clock_us;
    if (clock_us + days * DAY_US < last - DAY_US / 2) days += 1;
    else if (days > 0 && clock_us + days * DAY_US > last + DAY_US / 2) days -= 1;
    last = clock_us + days * DAY_US;
    return last;
  };
}
