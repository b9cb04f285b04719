import type { Declared } from "../../config/declared.js";
import { numberReader, UNREADABLE } from "../cell-readers.js";
import { GrowingColumn } from "../growing-column.js";
import { IsoReader } from "../iso-reader.js";
import type { ProblemList } from "../problem-list.js";
import { quoteText } from "../quote-text.js";
import { readTimeText } from "../time-text.js";
import { readDecimal } from "../read-decimal.js";
import { localName } from "./local-name.js";
import { PointColumns } from "./point-columns.js";
import { FIRST_LEAF, type ScannedPoint } from "./scanned-point.js";

const REJECTED = {
  severity: "warning",
  code: "row-rejected",
  rest: (count: number) => `and ${count} more track ${count === 1 ? "point was" : "points were"} rejected.`,
} as const;

/** Longer texts are no values. */
const LONGEST_TEXT = 200;

const readNumber = numberReader("point");
/** The byte of the decimal mark. */
const POINT = 46;

/** Follows the elements of a GPX file and collects its track points. */
export class PointReader {
  readonly time_us: GrowingColumn;
  readonly latitudes = new GrowingColumn();
  readonly longitudes = new GrowingColumn();
  readonly columns: PointColumns;
  /** Rows at which a segment begins. */
  readonly segmentStarts: number[] = [];
  version: string | undefined;
  rows = 0;
  rowsRejected = 0;
  rowsWithoutTime = 0;
  tracks = 0;
  segments = 0;
  waypoints = 0;
  routes = 0;
  readonly #problems: ProblemList;
  readonly #iso = new IsoReader();
  readonly #number = new Float64Array(1);
  /** Local names of the open elements inside the point; undefined outside of points. */
  #open: string[] | undefined;
  #line = 0;
  #position: readonly [string, string] = ["", ""];
  #time = "";
  #text = "";
  #hasChildren = false;

  /** @param time_us column of the times, which says how many points there may be */
  constructor(mapped: Declared["columns"], problems: ProblemList, time_us: GrowingColumn) {
    this.time_us = time_us;
    this.columns = new PointColumns(mapped, problems);
    this.#problems = problems;
  }

  /** True between the tags of a track point. */
  get isInPoint(): boolean {
    return this.#open !== undefined;
  }

  openElement(name: string, attributes: Readonly<Record<string, string>>, line: number): void {
    const local = localName(name);
    if (this.#open !== undefined) {
      this.#open.push(local);
      this.#text = "";
      this.#hasChildren = false;
    } else if (local === "trkpt") {
      this.#open = [];
      this.#line = line;
      this.#time = "";
      this.#position = [attribute(attributes, "lat"), attribute(attributes, "lon")];
    } else {
      this.#openOutside(local, attributes);
    }
  }

  addText(text: string): void {
    if (this.#open !== undefined && this.#text.length < LONGEST_TEXT) this.#text += text.slice(0, LONGEST_TEXT);
  }

  closeElement(line: number): void {
    if (this.#open === undefined) return;
    const local = this.#open.pop();
    if (local === undefined) {
      const [latitude, longitude] = this.#position;
      this.#endPoint(this.#readTime(this.#time), readNumber(latitude), readNumber(longitude));
      this.#open = undefined;
      return;
    }
    if (!this.#hasChildren) this.#takeLeaf(local, this.#text.trim(), line);
    this.#hasChildren = true;
  }

  /** Takes a whole point outside of any other: the same as its tags and texts one by one. */
  takePoint(point: ScannedPoint): void {
    const { data, values, names, isOwn, from, to, lines, firstLine, latitude, longitude } = point;
    let time = -1;
    for (let value = FIRST_LEAF; value < values; value += 1) {
      const name = names[value] ?? "";
      const own = isOwn[value] === 1;
      const start = from[value] ?? 0;
      const end = to[value] ?? 0;
      if (own && name === "time") time = value;
      else if (end > start) this.columns.takeBytes(name, own, data, start, end, firstLine + (lines[value] ?? 0));
    }
    const time_us = time < 0 ? Number.NaN : this.#timeOf(data, from[time] ?? 0, to[time] ?? 0);
    const latitude_deg = this.#degreesOf(data, from[latitude] ?? 0, to[latitude] ?? 0);
    const longitude_deg = this.#degreesOf(data, from[longitude] ?? 0, to[longitude] ?? 0);
    if (!isGood(time_us, latitude_deg, longitude_deg)) {
      const text = (value: number): string => textOf(data, from[value] ?? 0, to[value] ?? 0);
      this.#line = firstLine + (lines[0] ?? 0);
      this.#time = time < 0 ? "" : text(time);
      this.#position = [text(latitude), text(longitude)];
    }
    this.#endPoint(time_us, latitude_deg, longitude_deg);
  }

  #openOutside(local: string, attributes: Readonly<Record<string, string>>): void {
    if (local === "gpx") this.version = attribute(attributes, "version") || undefined;
    else if (local === "wpt") this.waypoints += 1;
    else if (local === "rte") this.routes += 1;
    else if (local === "trk") this.tracks += 1;
    else if (local === "trkseg") this.segments += 1;
    if ((local === "trk" || local === "trkseg") && this.time_us.length > 0)
      this.segmentStarts.push(this.time_us.length);
  }

  #takeLeaf(local: string, text: string, line: number): void {
    const isOwn = this.#open?.length === 0;
    if (isOwn && local === "time") this.#time = text;
    else if (text !== "") this.columns.take(local, isOwn, text, line);
  }

  #endPoint(time_us: number, latitude: number, longitude: number): void {
    this.rows += 1;
    const isKept = isGood(time_us, latitude, longitude);
    this.columns.endPoint(isKept);
    if (isKept) {
      this.time_us.push(time_us);
      this.latitudes.push(latitude);
      this.longitudes.push(longitude);
    } else {
      this.rowsRejected += 1;
      if (Number.isNaN(time_us)) this.rowsWithoutTime += 1;
      const rejected = (): string => `Track point rejected: ${this.#objection(time_us, latitude)}`;
      this.#problems.count(REJECTED, this.#line, rejected);
    }
  }

  /** @returns microseconds since 1970, NaN where there is none; the schema says that times are UTC */
  #readTime(text: string): number {
    if (text === "") return Number.NaN;
    const quick_us = this.#iso.read(text);
    if (quick_us !== UNREADABLE) return quick_us;
    const read = readTimeText(text, "y-m-d");
    if (read?.date_us === undefined || read.clock_us === undefined) return UNREADABLE;
    return read.date_us + read.clock_us - (read.zone_us ?? 0);
  }

  #timeOf(data: Buffer, from: number, to: number): number {
    const quick_us = this.#iso.readBytes(data, from, to);
    return quick_us === UNREADABLE ? this.#readTime(textOf(data, from, to)) : quick_us;
  }

  #degreesOf(data: Buffer, from: number, to: number): number {
    const isPlain = readDecimal(data, from, POINT, this.#number, 0) === to;
    return isPlain ? (this.#number[0] ?? Number.NaN) : readNumber(textOf(data, from, to));
  }

  /** @returns why the point is no good */
  #objection(time_us: number, latitude: number): string {
    if (Number.isNaN(time_us)) return "it has no time.";
    if (time_us === UNREADABLE) return `${quoteText(this.#time)} is no time.`;
    const [first, second] = this.#position;
    return Math.abs(latitude) <= 90 ? `${quoteText(second)} is no longitude.` : `${quoteText(first)} is no latitude.`;
  }
}

function isGood(time_us: number, latitude: number, longitude: number): boolean {
  return Number.isFinite(time_us) && Math.abs(latitude) <= 90 && Math.abs(longitude) <= 180;
}

function textOf(data: Buffer, from: number, to: number): string {
  return data.toString("latin1", from, to);
}

function attribute(attributes: Readonly<Record<string, string>>, local: string): string {
  const direct = attributes[local];
  if (direct !== undefined) return direct;
  const prefixed = Object.keys(attributes).find((name) => localName(name) === local);
  return prefixed === undefined ? "" : (attributes[prefixed] ?? "");
}
