import { type GridHeader, readHeader } from "./esri-header.js";
import type { Grid } from "./grid.js";
import { failAt, skipSpace, tokenEnd } from "./text-scan.js";

/** Written files carry float32 voids with 6 or more digits: `-3.402823e+38` for -3.4028234663852886e38. */
const VOID_TOLERANCE = 2e-7;
/** Ground on Earth in metres, and the highest of it in feet; anything beyond is an undeclared void. */
const LOWEST = -12_000;
const HIGHEST = 30_000;

const POWERS_OF_TEN = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));
/** Below it another decimal digit still leaves a whole number exact. */
const EXACT_BELOW = 9e14;

/**
 * Reads an Esri ASCII grid in longitude and latitude: corner and centre headers in any case, values in any line layout
 * (NCOLS decides, not the line breaks), first row the northernmost.
 *
 * `XLLCORNER` is the edge of the grid, so that the nodes of the bilinear surface, the cells' centres, begin half a cell
 * inside. `DX` with `DY` is read in place of `CELLSIZE`.
 * Source: the help page of the Esri ASCII raster format (reference-values §9.4).
 * @param bytes of the file, decompressed
 * @param file its name, for messages
 * @throws UserError with file and line: a header or value that cannot be read, too few or too many values, a grid that
 *   is projected, not in degrees
 */
export function parseEsriAscii(bytes: Uint8Array, file: string): Grid {
  const header = readHeader(bytes, file);
  const heights_m = readValues(bytes, file, header);
  const { columns, rows, west_deg, south_deg, stepEast_deg, stepNorth_deg } = header;
  return { columns, rows, west_deg, south_deg, stepEast_deg, stepNorth_deg, heights_m };
}

function readValues(bytes: Uint8Array, file: string, header: GridHeader): Float64Array {
  const { columns, rows, noData } = header;
  const heights_m = new Float64Array(columns * rows);
  const voidWithin = Math.abs(noData) * VOID_TOLERANCE;
  let at = header.end;
  for (let row = rows - 1; row >= 0; row -= 1) {
    for (let k = row * columns; k < (row + 1) * columns; k += 1) {
      at = skipSpace(bytes, at);
      if (at >= bytes.length) {
        const read = (rows - 1 - row) * columns + k - row * columns;
        throw failAt(bytes, file, at, "terrain-truncated", `The grid ends after ${read} of ${columns * rows} values.`, {
          hint: "Fetch or write the file again.",
        });
      }
      const end = tokenEnd(bytes, at);
      const value = readNumber(bytes, at, end);
      if (Math.abs(value - noData) <= voidWithin) heights_m[k] = Number.NaN;
      else if (value >= LOWEST && value <= HIGHEST) heights_m[k] = value;
      else heights_m[k] = unusual(bytes, file, at, end);
      at = end;
    }
  }
  at = skipSpace(bytes, at);
  if (at < bytes.length) {
    throw failAt(bytes, file, at, "terrain-too-long", `The grid goes on after its ${columns * rows} values.`, {
      hint: "Check NCOLS and NROWS, or write the file again.",
    });
  }
  return heights_m;
}

/** @returns NaN for a value written as `nan`; throws for whatever else is no height */
function unusual(bytes: Uint8Array, file: string, at: number, end: number): number {
  const text = textOf(bytes, at, end);
  if (/^[+-]?nan$/i.test(text)) return Number.NaN;
  if (Number.isNaN(slowNumber(text))) {
    throw failAt(bytes, file, at, "terrain-not-a-number", `"${text}" is not a number.`, {
      hint: text.includes(",") ? "Use a dot for decimals and spaces between values." : "Write the file again.",
    });
  }
  throw failAt(bytes, file, at, "terrain-no-height", `${text} is no height of ground in metres.`, {
    hint: "If it marks what is missing, say so in the header: NODATA_VALUE.",
  });
}

/**
 * A number from its digits, correctly rounded: up to 15 digits and a power of ten up to 22 are exact in a double, and so
 * their quotient is rounded once; the rest goes the slow way.
 * @returns NaN for what is not a number
 */
function readNumber(bytes: Uint8Array, start: number, end: number): number {
  let at = start;
  const sign = bytes[at] ?? 0;
  if (sign === 45 || sign === 43) at += 1;
  let whole = 0;
  let digits = 0;
  let decimals = -1;
  for (; at < end; at += 1) {
    const byte = bytes[at] ?? 0;
    if (byte >= 48 && byte <= 57 && whole < EXACT_BELOW) {
      whole = whole * 10 + (byte - 48);
      digits += 1;
      if (decimals >= 0) decimals += 1;
    } else if (byte === 46 && decimals < 0) decimals = 0;
    else return slowNumber(textOf(bytes, start, end));
  }
  if (digits === 0 || decimals > 22) return slowNumber(textOf(bytes, start, end));
  const value = decimals > 0 ? whole / (POWERS_OF_TEN[decimals] ?? Number.NaN) : whole;
  return sign === 45 ? -value : value;
}

/** `Number` alone would take "", "0x1F" and "Infinity". */
function slowNumber(text: string): number {
  return /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i.test(text) ? Number(text) : Number.NaN;
}

function textOf(bytes: Uint8Array, start: number, end: number): string {
  return new TextDecoder().decode(bytes.subarray(start, Math.min(end, start + 40)));
}
