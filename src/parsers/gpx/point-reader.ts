import type { Declared } from "../../config/declared.js";
import { numberReader, UNREADABLE } from "../cell-readers.js";
import { GrowingColumn } from "../growing-column.js";
import type { ProblemList } from "../problem-list.js";
import { quoteText } from "../quote-text.js";
import { isoReader, readTimeText } from "../time-text.js";
import { PointColumns } from "./point-columns.js";

const REJECTED = {
  severity: "warning",
  code: "row-rejected",
  rest: (count: number) => `and ${count} more track ${count === 1 ? "point was" : "points were"} rejected.`,
} as const;

/** Longer texts are no values. */
const LONGEST_TEXT = 200;

const readNumber = numberReader("point");

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
  readonly #readIso = isoReader();
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
      this.#endPoint();
      this.#open = undefined;
      return;
    }
    if (!this.#hasChildren) this.#takeLeaf(local, this.#text.trim(), line);
    this.#hasChildren = true;
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

  #endPoint(): void {
    this.rows += 1;
    const [latitude, longitude] = this.#position.map(readNumber);
    const time_us = this.#readTime();
    const objection = this.#objection(time_us, latitude ?? NaN, longitude ?? NaN);
    this.columns.endPoint(objection === undefined);
    if (objection === undefined) {
      this.time_us.push(time_us);
      this.latitudes.push(latitude ?? NaN);
      this.longitudes.push(longitude ?? NaN);
    } else {
      this.rowsRejected += 1;
      this.#problems.count(REJECTED, this.#line, () => `Track point rejected: ${objection}`);
    }
  }

  /** @returns microseconds since 1970; the schema says that times are UTC */
  #readTime(): number {
    if (this.#time === "") return NaN;
    const quick_us = this.#readIso(this.#time);
    if (quick_us !== UNREADABLE) return quick_us;
    const read = readTimeText(this.#time, "y-m-d");
    if (read?.date_us === undefined || read.clock_us === undefined) return UNREADABLE;
    return read.date_us + read.clock_us - (read.zone_us ?? 0);
  }

  #objection(time_us: number, latitude: number, longitude: number): string | undefined {
    if (Number.isNaN(time_us)) {
      this.rowsWithoutTime += 1;
      return "it has no time.";
    }
    if (time_us === UNREADABLE) return `${quoteText(this.#time)} is no time.`;
    if (!(Math.abs(latitude) <= 90)) return `${quoteText(this.#position[0])} is no latitude.`;
    return Math.abs(longitude) <= 180 ? undefined : `${quoteText(this.#position[1])} is no longitude.`;
  }
}

function localName(name: string): string {
  const colon = name.lastIndexOf(":");
  return colon < 0 ? name : name.slice(colon + 1);
}

function attribute(attributes: Readonly<Record<string, string>>, local: string): string {
  const direct = attributes[local];
  if (direct !== undefined) return direct;
  const prefixed = Object.keys(attributes).find((name) => localName(name) === local);
  return prefixed === undefined ? "" : (attributes[prefixed] ?? "");
}
