import { gzipSync } from "node:zlib";
import fc from "fast-check";
import type { Channel } from "../../src/track/channels.js";

/** One row of an invented track, as whole numbers in the last written digit. */
export interface WrittenRow {
  /** Milliseconds after the row before; greater than 0. */
  readonly step_ms: number;
  readonly latitude_e7: number;
  readonly longitude_e7: number;
  readonly height_cm: number;
  readonly speed_cms: number;
  /** Tenths of a per cent; undefined where nothing is recorded. */
  readonly battery_tenths: number | undefined;
  readonly isAirborne: boolean;
  readonly mode: string;
}

/** How a track is written. */
export interface Dialect {
  readonly delimiter: string;
  readonly hasDecimalComma: boolean;
  readonly lineEnd: string;
  readonly encoding: "utf8" | "utf8-bom" | "utf16le-bom" | "utf16be-bom" | "utf16le" | "latin1";
  readonly isQuoted: boolean;
  readonly hasFinalEnd: boolean;
  readonly trailing: "none" | "all";
  readonly title: string;
  readonly comment: boolean;
  readonly units: "brackets" | "suffix" | "row";
  readonly time:
    "iso" | "iso-offset" | "epoch-s" | "epoch-ms" | "epoch-us" | "elapsed-s" | "elapsed-ms" | "clock" | "date-clock";
  readonly position: "decimal" | "letters" | "scaled";
  readonly blank: string;
  readonly padding: "" | "\0\0" | " ";
  readonly flags: readonly [string, string];
  readonly order: readonly number[];
  readonly isUpperCase: boolean;
  readonly isPacked: boolean;
}

/** Columns in the order of the channels below. */
const COLUMNS = 7;

export const writtenRows: fc.Arbitrary<readonly WrittenRow[]> = fc.array(
  fc.record({
    step_ms: fc.integer({ min: 1, max: 3_600_000 }),
    latitude_e7: fc.integer({ min: 1, max: 900_000_000 }),
    longitude_e7: fc.integer({ min: -1_800_000_000, max: 1_800_000_000 }),
    height_cm: fc.integer({ min: -9_999, max: 999_999 }),
    speed_cms: fc.integer({ min: 0, max: 9_999 }),
    battery_tenths: fc.option(fc.integer({ min: 0, max: 1000 }), { nil: undefined }),
    isAirborne: fc.boolean(),
    mode: fc.constantFrom("", "Manual", "Hold position", "Return, low battery", 'the "last" one', "two\nlines"),
  }),
  { minLength: 2, maxLength: 12 },
);

export const dialects: fc.Arbitrary<Dialect> = fc.record({
  delimiter: fc.constantFrom(",", ";", "\t", "|"),
  hasDecimalComma: fc.boolean(),
  lineEnd: fc.constantFrom("\n", "\r\n", "\r"),
  encoding: fc.constantFrom("utf8", "utf8-bom", "utf16le-bom", "utf16be-bom", "utf16le", "latin1"),
  isQuoted: fc.boolean(),
  hasFinalEnd: fc.boolean(),
  trailing: fc.constantFrom("none", "all"),
  title: fc.constantFrom("", "Club log, flight 3; all good", "Höhe über Grund"),
  comment: fc.boolean(),
  units: fc.constantFrom("brackets", "suffix", "row"),
  time: fc.constantFrom(
    "iso",
    "iso-offset",
    "epoch-s",
    "epoch-ms",
    "epoch-us",
    "elapsed-s",
    "elapsed-ms",
    "clock",
    "date-clock",
  ),
  position: fc.constantFrom("decimal", "letters", "scaled"),
  blank: fc.constantFrom("", "N/A", "null", "-"),
  padding: fc.constantFrom("", "\0\0", " "),
  flags: fc.constantFrom(["1", "0"], ["true", "false"], ["YES", "NO"], ["on", "off"]),
  order: fc.shuffledSubarray([0, 1, 2, 3, 4, 5, 6], { minLength: COLUMNS, maxLength: COLUMNS }),
  isUpperCase: fc.boolean(),
  isPacked: fc.boolean(),
});

/** 2024-05-01T22:00:00Z: the longest track passes midnight. */
const START_MS = Date.UTC(2024, 4, 1, 22);

/** @returns a whole number with the point moved left: (-5, 2) is -0.05 */
function fixed(value: number, places: number): string {
  const digits = String(Math.abs(value)).padStart(places + 1, "0");
  return `${value < 0 ? "-" : ""}${digits.slice(0, -places)}.${digits.slice(-places)}`;
}

function timeCells(at_ms: number, { time }: Dialect): readonly string[] {
  const iso = new Date(START_MS + at_ms).toISOString();
  const ahead = new Date(START_MS + at_ms + 5_400_000).toISOString();
  return {
    iso: [iso],
    "iso-offset": [ahead.replace("Z", "+01:30").replace("T", " ")],
    "epoch-s": [fixed(START_MS + at_ms, 3)],
    "epoch-ms": [String(START_MS + at_ms)],
    "epoch-us": [`${START_MS + at_ms}000`],
    "elapsed-s": [fixed(at_ms, 3)],
    "elapsed-ms": [String(at_ms)],
    clock: [iso.slice(11, 23)],
    "date-clock": [`${iso.slice(8, 10)}.${iso.slice(5, 7)}.${iso.slice(0, 4)}`, iso.slice(11, 23)],
  }[time];
}

function positionCell(value_e7: number, letters: string, { position }: Dialect): string {
  if (position === "scaled") return String(value_e7);
  const text = fixed(value_e7, 7);
  if (position === "decimal") return text;
  return value_e7 < 0 ? `${text.slice(1)} ${letters[1]}` : `${letters[0]}${text}`;
}

type Column = readonly [name: string, unit: string, suffix: string];

function columnsOf({ time, position }: Dialect): readonly (readonly Column[])[] {
  const unit = position === "scaled" ? "1e-7 deg" : "deg";
  const elapsed: readonly Column[] = time === "elapsed-ms" ? [["time", "ms", "ms"]] : [["time", "s", "s"]];
  const written: readonly Column[] =
    time === "date-clock"
      ? [
          ["date", "", ""],
          ["time", "", ""],
        ]
      : [["time", "", ""]];
  return [
    time.startsWith("elapsed") ? elapsed : written,
    [["latitude", unit, "deg"]],
    [["longitude", unit, "deg"]],
    [["height above take-off", "m", "m"]],
    [["ground speed", "m/s", "ms"]],
    [
      ["battery", "%", "pct"],
      ["airborne", "", ""],
    ],
    [["mode", "", ""]],
  ];
}

function nameOf([name, unit, suffix]: Column, { units, isUpperCase, position }: Dialect): string {
  // A scale cannot be a suffix.
  const isScaled = position === "scaled" && unit.startsWith("1e-7");
  if (unit === "" || units === "row") return isUpperCase ? name.toUpperCase() : name;
  if (units === "suffix" && !isScaled) return `${name.replaceAll(" ", "_")}_${suffix}`;
  return `${isUpperCase ? name.toUpperCase() : name} (${unit})`;
}

/** @returns the track as a file in this dialect */
export function writeCsv(rows: readonly WrittenRow[], dialect: Dialect): Uint8Array {
  const { delimiter, lineEnd, blank, flags, order, trailing } = dialect;
  const mark = (text: string): string => (dialect.hasDecimalComma ? text.replace(".", ",") : text);
  const quote = (text: string): string => {
    const padded = text === "" || text.includes("\n") ? text : text + dialect.padding;
    const needs = dialect.isQuoted || padded.includes(delimiter) || /["\n]/.test(padded);
    return needs ? `"${padded.replaceAll('"', '""')}"` : padded;
  };
  const line = (groups: readonly (readonly string[])[]): string =>
    order
      .flatMap((index) => groups[index] ?? [])
      .map(quote)
      .join(delimiter) + (trailing === "all" ? delimiter : "");
  const columns = columnsOf(dialect);
  let at_ms = 0;
  const body = rows.map((row, index) => {
    at_ms += index === 0 ? 0 : row.step_ms;
    const isDate = dialect.time === "date-clock" || dialect.time === "clock" || dialect.time.startsWith("iso");
    return line([
      timeCells(at_ms, dialect).map((cell) => (isDate ? cell : mark(cell))),
      [mark(positionCell(row.latitude_e7, "NS", dialect))],
      [mark(positionCell(row.longitude_e7, "EW", dialect))],
      [mark(fixed(row.height_cm, 2))],
      [mark(fixed(row.speed_cms, 2))],
      [row.battery_tenths === undefined ? blank : mark(fixed(row.battery_tenths, 1)), flags[row.isAirborne ? 0 : 1]],
      [row.mode],
    ]);
  });
  const lines = [
    ...(dialect.title === "" ? [] : [dialect.title]),
    line(columns.map((group) => group.map((column) => nameOf(column, dialect)))),
    ...(dialect.units === "row" ? [line(columns.map((group) => group.map(([, unit]) => unit)))] : []),
    ...body.flatMap((text, index) => (dialect.comment && index === 1 ? ["# half way", text] : [text])),
  ];
  return encode(lines.join(lineEnd) + (dialect.hasFinalEnd ? lineEnd : ""), dialect);
}

function encode(text: string, { encoding, isPacked }: Dialect): Uint8Array {
  const bytes = {
    utf8: () => Buffer.from(text),
    "utf8-bom": () => Buffer.from(`\uFEFF${text}`),
    "utf16le-bom": () => Buffer.from(`\uFEFF${text}`, "utf16le"),
    "utf16be-bom": () => Buffer.from(`\uFEFF${text}`, "utf16le").swap16(),
    utf16le: () => Buffer.from(text, "utf16le"),
    latin1: () => Buffer.from(text, "latin1"),
  }[encoding]();
  return isPacked ? gzipSync(bytes) : bytes;
}

/** @returns the columns that must come back, to the last written digit */
export function expectedColumns(rows: readonly WrittenRow[]): Partial<Record<Channel, readonly number[]>> {
  let at_ms = 0;
  const time_s = rows.map(({ step_ms }, index) => Number(fixed((at_ms += index === 0 ? 0 : step_ms), 3)));
  const battery = rows.map(({ battery_tenths }) =>
    battery_tenths === undefined ? NaN : Number(fixed(battery_tenths, 1)),
  );
  return {
    time_s,
    latitude_deg: rows.map(({ latitude_e7 }) => Number(fixed(latitude_e7, 7))),
    longitude_deg: rows.map(({ longitude_e7 }) => Number(fixed(longitude_e7, 7)) + 0),
    height_m: rows.map(({ height_cm }) => Number(fixed(height_cm, 2)) + 0),
    groundSpeed_ms: rows.map(({ speed_cms }) => Number(fixed(speed_cms, 2))),
    ...(battery.every(Number.isNaN) ? {} : { battery_pct: battery }),
    airborne: rows.map(({ isAirborne }) => (isAirborne ? 1 : 0)),
  };
}

/** @returns true if the dialect tells the date */
export function tellsDate({ time }: Dialect): boolean {
  return !time.startsWith("elapsed") && time !== "clock";
}

export const START_S = START_MS / 1000;
