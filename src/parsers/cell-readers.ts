import { FIX } from "../track/channels.js";
import { cleanText } from "./clean-text.js";

/** How numbers are written: 12.5, 12,5, or both in one file. */
export type Decimals = "point" | "comma" | "mixed";

/** What a reader gives for a cell that is neither a value nor blank; no value of a channel is infinite. */
export const UNREADABLE = Number.POSITIVE_INFINITY;

/** Reads one cell: a finite number, NaN where nothing is recorded, `UNREADABLE` for anything else. */
export type CellReader = (cell: string) => number;

/** No number is longer; the patterns below need not cope with a page of text. */
const LONGEST_VALUE = 60;

const MISSING = new Set([
  "",
  "-",
  "--",
  "---",
  "?",
  "n/a",
  "#n/a",
  "na",
  "nan",
  "null",
  "nil",
  "none",
  "undefined",
  "unknown",
  "inf",
  "-inf",
]);

/** `1,234.5`, `1 234.5`, `1'234.5`. */
const THOUSANDS_POINT = /^[-+]?\d{1,3}(?:([,\s'’])\d{3})(?:\1\d{3})*(?:\.\d+)?$/;
/** `1.234,5`, `1 234,5`, `1'234,5`. */
const THOUSANDS_COMMA = /^[-+]?\d{1,3}(?:([.\s'’])\d{3})(?:\1\d{3})*(?:,\d+)?$/;
const COMMA_NUMBER = /^[-+]?(?:\d+,?\d*|,\d+)(?:[eE][-+]?\d+)?$/;

/** @returns a reader of numbers written with this decimal mark */
export function numberReader(decimals: Decimals): CellReader {
  if (decimals === "point") return readPointNumber;
  return decimals === "comma" ? readCommaNumber : readMixedNumber;
}

function readPointNumber(cell: string): number {
  if (cell === "") return Number.NaN;
  const value = plainNumber(cell);
  return Number.isNaN(value) ? readOddNumber(cleanText(cell), "point") : value;
}

function readCommaNumber(cell: string): number {
  if (!cell.includes(",") && !cell.includes(".")) return readPointNumber(cell);
  return readOddNumber(cleanText(cell), "comma");
}

function readMixedNumber(cell: string): number {
  const value = plainNumber(cell);
  return Number.isNaN(value) ? readOddNumber(cleanText(cell), "mixed") : value;
}

/** The common case, without a regular expression; NaN for all that needs a closer look. */
function plainNumber(cell: string): number {
  const value = Number(cell);
  if (Number.isNaN(value) || value - value !== 0) return Number.NaN;
  // Number(" ") is 0, and Number("0x1F") is 31.
  const isPlain = cell.charCodeAt(0) > 32 && !(cell.charCodeAt(1) > 57);
  return isPlain || isDecimal(cell) ? value : Number.NaN;
}

function isDecimal(cell: string): boolean {
  return /^\s*[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?\s*$/.test(cell);
}

function readOddNumber(text: string, decimals: Decimals): number {
  if (text.length > LONGEST_VALUE) return UNREADABLE;
  if (MISSING.has(text.toLowerCase())) return Number.NaN;
  if (decimals !== "comma") {
    if (isDecimal(text)) return finite(Number(text));
    if (THOUSANDS_POINT.test(text) && !(decimals === "mixed" && /^[-+]?\d+,\d{3}$/.test(text))) {
      return Number(text.replace(/[,\s'’]/g, ""));
    }
  }
  if (decimals !== "point") {
    if (COMMA_NUMBER.test(text)) return finite(Number(text.replace(",", ".")));
    if (THOUSANDS_COMMA.test(text)) return Number(text.replace(/[.\s'’]/g, "").replace(",", "."));
    if (isDecimal(text)) return finite(Number(text));
  }
  return UNREADABLE;
}

function finite(value: number): number {
  return Number.isFinite(value) ? value : UNREADABLE;
}

const DEGREES =
  /^([NSEW])?\s*([-+]?)\s*(\d+(?:[.,]\d+)?)\s*(?:°|º|deg|d|\s)?\s*(?:(\d+(?:[.,]\d+)?)\s*(?:'|′|’|min|m|\s)?\s*(?:(\d+(?:[.,]\d+)?)\s*(?:"|″|”|''|sec)?)?)?\s*([NSEW])?$/i;

/**
 * @param letters the hemispheres, positive first: `NS` for latitudes, `EW` for longitudes
 * @returns a reader of degrees that also takes hemisphere letters, minutes and seconds: `47°12'34.5"N`, `8 32.1 E`
 */
export function degreesReader(readNumber: CellReader, letters: "NS" | "EW"): CellReader {
  return (cell) => {
    const value = readNumber(cell);
    return value === UNREADABLE ? readDegrees(cleanText(cell), letters) : value;
  };
}

function readDegrees(text: string, letters: "NS" | "EW"): number {
  if (text.length > LONGEST_VALUE) return UNREADABLE;
  const [, before, sign, whole, minutes, seconds, after] = DEGREES.exec(text) ?? [];
  if (whole === undefined || (before !== undefined && after !== undefined)) return UNREADABLE;
  const letter = (before ?? after)?.toUpperCase();
  if (letter !== undefined && !letters.includes(letter)) return UNREADABLE;
  const [degree, minute, second] = [whole, minutes ?? "0", seconds ?? "0"].map((part) =>
    Number(part.replace(",", ".")),
  );
  if (degree === undefined || minute === undefined || second === undefined) return UNREADABLE;
  const isSplit = minutes !== undefined;
  if (minute >= 60 || second >= 60 || (isSplit && !Number.isInteger(degree))) return UNREADABLE;
  if (seconds !== undefined && !Number.isInteger(minute)) return UNREADABLE;
  const isNegative = (sign === "-") !== (letter === letters[1]);
  return (isNegative ? -1 : 1) * (isSplit ? (degree * 3600 + minute * 60 + second) / 3600 : degree);
}

const FLAGS: ReadonlyMap<string, number> = new Map([
  ...["1", "true", "yes", "on", "t", "y"].map((word) => [word, 1] as const),
  ...["0", "false", "no", "off", "f", "n"].map((word) => [word, 0] as const),
]);

/** Reads 1/0, true/false, yes/no, on/off. */
export const readFlag: CellReader = (cell) => {
  const text = cleanText(cell).toLowerCase();
  const value = FLAGS.get(text);
  if (value !== undefined) return value;
  if (MISSING.has(text)) return Number.NaN;
  const number = Number(text);
  return number === 0 || number === 1 ? number : UNREADABLE;
};

const FIXES: ReadonlyMap<string, number> = new Map([
  ...["none", "no fix", "nofix", "no", "invalid", "0", "1"].map((word) => [word, FIX.none] as const),
  ...["2d", "2d fix", "2"].map((word) => [word, FIX.twoD] as const),
  ...["3d", "3d fix", "3"].map((word) => [word, FIX.threeD] as const),
  ...["dgps", "dgnss", "differential", "rtk", "rtk float", "rtk fixed", "pps", "3d dgps", "3d differential"].map(
    (word) => [word, FIX.differential] as const,
  ),
]);

/** Reads words and numbers for the kind of fix as codes of `FIX`; 4 and more are differential or better. */
export const readFix: CellReader = (cell) => {
  const text = cleanText(cell)
    .toLowerCase()
    .replace(/[\s_]+|(?<=\w)-/g, " ");
  const code = FIXES.get(text);
  if (code !== undefined) return code;
  if (MISSING.has(text)) return Number.NaN;
  const number = Number(text);
  if (!Number.isInteger(number) || number < 0) return UNREADABLE;
  return FIXES.get(String(number)) ?? FIX.differential;
};
