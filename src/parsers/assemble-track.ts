import { CHANNEL_KEYS, CHANNELS, type Channel } from "../track/channels.js";
import type { ChannelSource, Track } from "../track/track.js";
import { countMissing } from "../num/columns.js";
import type { TakenColumn } from "./growing-table.js";
import type { ProblemList } from "./problem-list.js";
import { mergeSameTimes } from "./merge-rows.js";
import { orderRows } from "./row-order.js";
import type { TextDictionary } from "./text-dictionary.js";

/** Where a channel's values came from. */
export interface Origin {
  /** The column or element, by its own name. */
  readonly source: string;
  readonly unit: string;
}

/** What a parser has read, in the order of the file: every column has one value a row. */
export interface ReadRows {
  /** Whole microseconds, finite. */
  readonly time_us: TakenColumn;
  readonly timeOrigin: Origin;
  /** What to add for microseconds since 1970, UTC; undefined if the log counts from some start only. */
  readonly utcOffset_us: number | undefined;
  readonly columns: ReadonlyMap<Channel, { readonly values: TakenColumn; readonly origin: Origin }>;
  readonly mode: { readonly codes: TakenColumn; readonly words: TextDictionary; readonly origin: Origin } | undefined;
  /** Rows, ascending, at which a new segment begins. */
  readonly segmentStarts: readonly number[];
}

/** A track, and how its channels came about. */
export interface AssembledTrack {
  readonly track: Track;
  /** By channel id, in the order of the table of channels. */
  readonly channels: Readonly<Record<string, ChannelSource>>;
}

/** Steps longer than a day are no recording. */
const LONGEST_STEP_US = 86_400e6;
const SHOWN = 5;

type Columns = Map<Channel, Float64Array>;

const POSITIONS: readonly (readonly [Channel, Channel])[] = [
  ["latitude_deg", "longitude_deg"],
  ["operatorLatitude_deg", "operatorLongitude_deg"],
  ["recoveryLatitude_deg", "recoveryLongitude_deg"],
];

/**
 * Makes a track of rows as read: in the order of time, times strictly growing, each time once.
 *
 * Rows of one time become one: equal rows are repeats, blanks of the first are filled from the next (loggers write one
 * row a sensor), and where they differ the first is kept. All of it is reported.
 * @param read is used up: its columns are emptied one by one, so that no column is held twice for long
 */
export function assembleTrack(read: ReadRows, problems: ProblemList): AssembledTrack {
  const time_us = read.time_us.take();
  const columns: Columns = new Map([...read.columns].map(([channel, { values }]) => [channel, values.take()]));
  const codes = read.mode?.codes.take();
  blankNoPositions(columns, problems);
  const all = [...columns.values(), ...(codes === undefined ? [] : [codes])];
  const isSameRow = (a: number, b: number): boolean => all.every((values) => isSame(values[a], values[b]));
  const { order, outOfOrder, resets } = orderRows(time_us, isSameRow);
  reportOrder(outOfOrder, resets, problems);
  const kept = mergeSameTimes(time_us, order, all, problems, codes);
  const segments = [...read.segmentStarts, ...resets.map(({ row }) => row)].toSorted((a, b) => a - b);
  const times = pick(time_us, kept);
  const jumps = findJumps(times, problems);
  const breaks = [...new Set([...placeBreaks(segments, kept, time_us.length), ...jumps])].toSorted((a, b) => a - b);
  const channels = describeChannels(read, columns, codes, kept, time_us.length);
  return { track: buildTrack(read, columns, codes, times, kept, breaks), channels };
}

function isSame(a: number | undefined, b: number | undefined): boolean {
  return a === b || (Number.isNaN(a) && Number.isNaN(b));
}

/** 0, 0 is what a receiver without a fix writes, and half a position is none. */
function blankNoPositions(columns: Columns, problems: ProblemList): void {
  for (const [latitude, longitude] of POSITIONS) {
    const latitudes = columns.get(latitude);
    const longitudes = columns.get(longitude);
    if (latitudes === undefined || longitudes === undefined) continue;
    let count = 0;
    for (let row = 0; row < latitudes.length; row += 1) {
      const isZero = latitudes[row] === 0 && longitudes[row] === 0;
      if (isZero) count += 1;
      if (isZero || Number.isNaN(latitudes[row]) || Number.isNaN(longitudes[row])) {
        latitudes[row] = Number.NaN;
        longitudes[row] = Number.NaN;
      }
    }
    if (count > 0 && latitude === "latitude_deg") {
      problems.add(
        "note",
        "position-zero",
        `${count} ${count === 1 ? "row has" : "rows have"} the position 0, 0, which is taken as none.`,
      );
    }
  }
}

function reportOrder(
  outOfOrder: number,
  resets: readonly { readonly row: number; readonly back_us: number }[],
  problems: ProblemList,
): void {
  if (outOfOrder > 0) {
    problems.add(
      "note",
      "rows-out-of-order",
      `${outOfOrder} ${outOfOrder === 1 ? "row was" : "rows were"} out of the order of time and sorted in.`,
    );
  }
  for (const { row, back_us } of resets.slice(0, SHOWN)) {
    problems.add(
      "warning",
      "clock-reset",
      `The clock goes back by ${Number((back_us / 1e6).toFixed(3))} s at data row ${row + 1}: what follows is taken as a new recording, 1 s after the one before.`,
    );
  }
  if (resets.length > SHOWN)
    problems.add("warning", "clock-reset", `The clock goes back ${resets.length - SHOWN} more times.`);
}

/** A new segment begins at every kept row whose segment is not that of the row before it. */
function placeBreaks(starts: readonly number[], kept: Uint32Array | undefined, length: number): readonly number[] {
  const inside = [...new Set(starts)].filter((start) => start > 0 && start < length);
  if (kept === undefined || inside.length === 0) return inside;
  const segment = new Uint32Array(length);
  for (const start of inside) segment[start] = 1;
  for (let row = 1; row < length; row += 1) segment[row] = (segment[row] ?? 0) + (segment[row - 1] ?? 0);
  const breaks: number[] = [];
  for (let at = 1; at < kept.length; at += 1) {
    if (segment[kept[at] ?? 0] !== segment[kept[at - 1] ?? 0]) breaks.push(at);
  }
  return breaks;
}

/** A receiver that learns the date in flight sets its clock forward by years: no flight goes on across that. */
function findJumps(time_us: Float64Array, problems: ProblemList): readonly number[] {
  const jumps: number[] = [];
  for (let row = 1; row < time_us.length; row += 1) {
    if ((time_us[row] ?? 0) - (time_us[row - 1] ?? 0) > LONGEST_STEP_US) jumps.push(row);
  }
  for (const row of jumps.slice(0, SHOWN)) {
    const days = ((time_us[row] ?? 0) - (time_us[row - 1] ?? 0)) / LONGEST_STEP_US;
    problems.add(
      "note",
      "clock-jump",
      `The clock jumps forward by ${days.toFixed(1)} days at sample ${row + 1}: a new segment begins there.`,
    );
  }
  return jumps;
}

function pick(values: Float64Array, kept: Uint32Array | undefined): Float64Array {
  if (kept === undefined) return values;
  return Float64Array.from(kept, (row) => values[row] ?? Number.NaN);
}

function describeChannels(
  read: ReadRows,
  columns: Columns,
  codes: Float64Array | undefined,
  kept: Uint32Array | undefined,
  length: number,
): Record<string, ChannelSource> {
  const rows = kept?.length ?? length;
  const share = (values: Float64Array): number => (rows === 0 ? 0 : (rows - countMissing(pick(values, kept))) / rows);
  const described: Record<string, ChannelSource> = { time: { ...read.timeOrigin, filledShare: rows === 0 ? 0 : 1 } };
  for (const channel of CHANNEL_KEYS) {
    const values = columns.get(channel);
    const origin = read.columns.get(channel)?.origin;
    if (values === undefined || origin === undefined) continue;
    described[CHANNELS[channel].id] = { ...origin, filledShare: share(values) };
  }
  if (codes !== undefined && read.mode !== undefined) {
    described["mode"] = {
      ...read.mode.origin,
      filledShare: share(codes.map((code) => (code > 0 ? code : Number.NaN))),
    };
  }
  return described;
}

function buildTrack(
  read: ReadRows,
  columns: Columns,
  codes: Float64Array | undefined,
  time_us: Float64Array,
  kept: Uint32Array | undefined,
  breaks: readonly number[],
): Track {
  const start_us = time_us[0] ?? 0;
  const blank = (): Float64Array => new Float64Array(time_us.length).fill(Number.NaN);
  const filled: Partial<Record<Channel, Float64Array>> = {};
  for (const [channel, values] of columns) {
    const picked = pick(values, kept);
    if (picked.some((value) => !Number.isNaN(value))) filled[channel] = picked;
    columns.delete(channel);
  }
  return {
    length: time_us.length,
    startUtc_s: read.utcOffset_us === undefined ? undefined : (start_us + read.utcOffset_us) / 1e6,
    columns: {
      ...filled,
      // Microseconds are whole: one division, and 0.1 s is 0.1 to the last digit.
      time_s: time_us.map((time) => (time - start_us) / 1e6),
      latitude_deg: filled.latitude_deg ?? blank(),
      longitude_deg: filled.longitude_deg ?? blank(),
    },
    mode: codes === undefined || read.mode === undefined ? undefined : read.mode.words.column(pick(codes, kept)),
    breaks,
  };
}
