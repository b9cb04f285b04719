import { UserError } from "../../user-error.js";
import { columnsSnippet } from "../columns-snippet.js";
import { quoteText } from "../quote-text.js";
import type { CellReader } from "../cell-readers.js";
import type { Unit } from "../units.js";
import {
  detectTimeFormat,
  formatName,
  midnightFollower,
  timeReader,
  type TimeFormat,
  type UnclearTime,
} from "./time-format.js";

/** A column whose name says that it is a time. */
export interface TimeColumn {
  readonly index: number;
  readonly name: string;
  /** A unit or an order of dates that the header or homeleg.yaml states. */
  readonly unitText: string | undefined;
  readonly isUtc: boolean;
  /** Named by homeleg.yaml: then no other is the main one. */
  readonly isMapped: boolean;
}

/** How the time of a row is read, from one column or from a date and a time of day. */
export interface TimeSource {
  readonly columns: readonly TimeColumn[];
  readonly unitName: string;
  /** Since 1970, UTC; else since some start. */
  readonly isAbsolute: boolean;
  /** A zone is stated nowhere, so UTC was taken. */
  readonly isZoneAssumed: boolean;
  /** @returns whole microseconds, NaN where blank, `UNREADABLE` where it is no time */
  readonly read: (cells: readonly string[]) => number;
  /** Where the time is a plain number: its unit, so that no text need be made of it. */
  readonly numberUnit: Unit | undefined;
}

/** The time of the rows, and where it counts from a start only, another column that tells the date. */
export interface TimePlan {
  readonly main: TimeSource;
  readonly utc: TimeSource | undefined;
  /** A column of dates whose order cannot be told, where nothing else tells the day. */
  readonly unclearDate: { readonly name: string; readonly why: string; readonly unit: string } | undefined;
}

interface ReadColumn {
  readonly column: TimeColumn;
  readonly format: TimeFormat;
}

/**
 * Decides which columns tell the time. Of several the one that changes most often wins (a date to the second beside
 * elapsed milliseconds would make ten rows one), then one that tells the date, then the first.
 *
 * @param candidates columns with a word for time in their name, or the one that homeleg.yaml names
 * @param sample rows
 * @throws UserError `log-no-time` if none can be read
 */
export function planTime(
  candidates: readonly TimeColumn[],
  names: readonly string[],
  sample: readonly (readonly string[])[],
  readNumber: CellReader,
  path: string,
): TimePlan {
  const found = candidates.map((column) => {
    const cells = sample.map((row) => row[column.index] ?? "");
    return { column, format: detectTimeFormat(cells, column.unitText, readNumber) };
  });
  const clear = found.flatMap(({ column, format }): ReadColumn[] =>
    format === undefined || format.kind === "unclear" ? [] : [{ column, format }],
  );
  const ranked = sourcesOf(clear, readNumber)
    .map((makeSource) => {
      const source = makeSource();
      return { makeSource, isAbsolute: source.isAbsolute, changes: new Set(sample.map(source.read)).size };
    })
    .toSorted((a, b) => b.changes - a.changes || Number(b.isAbsolute) - Number(a.isAbsolute))
    .map(({ makeSource }) => makeSource());
  const hasMapped = candidates.some(({ isMapped }) => isMapped);
  const main = ranked.find(({ columns }) => !hasMapped || columns.some(({ isMapped }) => isMapped));
  if (main === undefined) throw noTime(found, names, path);
  const utc = main.isAbsolute ? undefined : ranked.find(({ isAbsolute }) => isAbsolute);
  return { main, utc, unclearDate: main.isAbsolute || utc !== undefined ? undefined : unclearDate(found) };
}

function unclearDate(
  found: readonly { column: TimeColumn; format: TimeFormat | UnclearTime | undefined }[],
): TimePlan["unclearDate"] {
  for (const { column, format } of found) {
    if (format?.kind === "unclear" && format.isDate) return { name: column.name, why: format.why, unit: format.unit };
  }
  return undefined;
}

/** Each is made anew for every use: a source that follows midnight remembers the row before. */
function sourcesOf(columns: readonly ReadColumn[], readNumber: CellReader): (() => TimeSource)[] {
  const date = columns.find(({ format }) => format.kind === "date");
  return columns.flatMap((column) => {
    if (column.format.kind === "date") return [];
    if (column.format.kind === "clock" && date !== undefined) return [() => pairSource(date, column, readNumber)];
    return [() => singleSource(column, readNumber)];
  });
}

function singleSource({ column, format }: ReadColumn, readNumber: CellReader): TimeSource {
  const read = timeReader(format, readNumber);
  const follow = format.kind === "clock" ? midnightFollower() : undefined;
  const { index } = column;
  return {
    columns: [column],
    unitName: formatName(format),
    isAbsolute: format.kind === "stamp" || (format.kind === "number" && format.isEpoch),
    isZoneAssumed: format.kind === "stamp" && !format.hasZone && !column.isUtc,
    numberUnit: format.kind === "number" ? format.unit : undefined,
    read: (cells) => (follow === undefined ? read(cells[index] ?? "") : follow(read(cells[index] ?? ""))),
  };
}

function pairSource(date: ReadColumn, clock: ReadColumn, readNumber: CellReader): TimeSource {
  const readDate = timeReader(date.format, readNumber);
  const readClock = timeReader(clock.format, readNumber);
  const follow = midnightFollower();
  const hasZone = clock.format.kind === "clock" && clock.format.hasZone;
  return {
    columns: [date.column, clock.column],
    unitName: `${formatName(date.format)} + ${formatName(clock.format)}`,
    isAbsolute: true,
    isZoneAssumed: !hasZone && !date.column.isUtc && !clock.column.isUtc,
    numberUnit: undefined,
    read: (cells) => follow(readDate(cells[date.column.index] ?? "") + readClock(cells[clock.column.index] ?? "")),
  };
}

function noTime(
  found: readonly { column: TimeColumn; format: TimeFormat | UnclearTime | undefined }[],
  names: readonly string[],
  path: string,
): UserError {
  const where = { file: path };
  for (const { column, format } of found) {
    if (format?.kind !== "unclear") continue;
    return new UserError("log-no-time", `Column ${quoteText(column.name)} ${format.why}.`, {
      where,
      hint: `If it fits, add to homeleg.yaml: ${columnsSnippet("time", column.name, format.unit)}`,
    });
  }
  const [first] = found;
  if (first !== undefined) {
    return new UserError("log-no-time", `Column ${quoteText(first.column.name)} holds no times that can be read.`, {
      where,
      hint: "Known are ISO 8601, seconds and milliseconds, hh:mm:ss, or a date and a time of day in two columns.",
    });
  }
  return new UserError("log-no-time", `No column for the time was recognised among ${listNames(names)}.`, {
    where,
    hint: `Map it in homeleg.yaml: ${columnsSnippet("time", "NAME", "s")}`,
  });
}

const MOST_LISTED = 12;

/** @returns names of columns for a message, the first twelve of them */
export function listNames(names: readonly string[]): string {
  const filled = names.filter((name) => name !== "");
  const shown = filled.slice(0, MOST_LISTED).map(quoteText).join(", ");
  return filled.length > MOST_LISTED ? `${shown} and ${filled.length - MOST_LISTED} more` : shown;
}
