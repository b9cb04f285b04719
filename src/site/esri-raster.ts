import { UserError } from "../user-error.js";
import type { ByteSource } from "./byte-source.js";
import { type GridHeader, readHeader } from "./esri-header.js";
import { systemOfPrj } from "./esri-prj.js";
import type { NodeWindow } from "./lattice.js";
import { DEGREES, type System } from "./projection.js";
import { HIGHEST, LOWEST, type Raster, type RasterFile, VOID_TOLERANCE } from "./raster.js";
import { placeIn, skipSpace, tokenEnd } from "./text-scan.js";

const HEADER_BYTES = 65_536;
const CHUNK_BYTES = 1 << 20;

const POWERS_OF_TEN = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));
/** Below it another decimal digit still leaves a whole number exact. */
const EXACT_BELOW = 9e14;

/**
 * Opens an Esri ASCII grid: corner and centre headers in any case, values in any line layout (NCOLS decides, not the
 * line breaks), first row the northernmost. All values are looked at once, so that a damaged file is told of before a
 * flight needs it, and where each row begins is kept, so that a window can be read alone.
 *
 * `XLLCORNER` is the edge of the grid, so that the nodes of the bilinear surface, the cells' centres, begin half a cell
 * inside. `DX` with `DY` is read in place of `CELLSIZE`. The system is longitude and latitude unless another is declared,
 * or stands in a `.prj` beside the file. Source: the help page of the Esri ASCII raster format.
 * @throws UserError with file, line and column: a header or value that cannot be read, too few or too many values, a
 *   grid that is not in degrees and in no other system
 */
export async function openEsriAscii(file: RasterFile): Promise<Raster> {
  const { path, bytes } = file;
  const system = await systemOf(file);
  const header = readHeader(await bytes.read(0, HEADER_BYTES), path, {
    size: bytes.size,
    isProjected: system?.definition !== undefined,
  });
  const scan = new ValueScan(header);
  await scan.all(bytes, path);
  return {
    format: "Esri ASCII grid",
    system: system ?? DEGREES,
    lattice: header.lattice,
    readNodes: (source, window) => readNodes(source, window, header, scan.rowStarts),
  };
}

async function systemOf({ path, declared, beside }: RasterFile): Promise<System | undefined> {
  if (declared !== undefined) return declared;
  const prj = await beside(".prj");
  return prj === undefined ? undefined : systemOfPrj(new TextDecoder().decode(prj), path);
}

/** What is wrong with a value, and at which byte of the file. */
interface Fault {
  readonly at: number;
  readonly code: string;
  readonly message: string;
  readonly hint: string;
}

/** One pass over all values. */
class ValueScan {
  /** Where the first value of each row of the file is, from the top. */
  readonly rowStarts: Float64Array;
  readonly #header: GridHeader;
  readonly #total: number;
  #read = 0;
  #fault: Fault | undefined;

  constructor(header: GridHeader) {
    this.#header = header;
    this.#total = header.lattice.columns * header.lattice.rows;
    this.rowStarts = new Float64Array(header.lattice.rows);
  }

  async all(source: ByteSource, path: string): Promise<void> {
    for (let from = this.#header.end; from < source.size && this.#fault === undefined;) {
      const chunk = await source.read(from, CHUNK_BYTES);
      if (chunk.length === 0) break;
      const isLast = from + chunk.length >= source.size;
      from += this.#chunk(chunk, from, isLast);
    }
    if (this.#fault === undefined && this.#read < this.#total) {
      const message = `The grid ends after ${this.#read} of ${this.#total} values.`;
      this.#fail(source.size, "terrain-truncated", message, "Fetch or write the file again.");
    }
    if (this.#fault === undefined) return;
    const { at, code, message, hint } = this.#fault;
    throw new UserError(code, message, { where: { file: path, ...(await placeIn(source, at)) }, hint });
  }

  /** @returns how many of the bytes were dealt with: a value that the chunk cuts is left for the next one */
  #chunk(bytes: Uint8Array, from: number, isLast: boolean): number {
    const { columns } = this.#header.lattice;
    let at = skipSpace(bytes, 0);
    while (at < bytes.length) {
      const end = tokenEnd(bytes, at);
      if (end === bytes.length && !isLast && at > 0) return at;
      if (this.#read === this.#total) {
        const message = `The grid goes on after its ${this.#total} values.`;
        this.#fail(from + at, "terrain-too-long", message, "Check NCOLS and NROWS, or write the file again.");
        return bytes.length;
      }
      if (this.#read % columns === 0) this.rowStarts[this.#read / columns] = from + at;
      const value = readNumber(bytes, at, end);
      if (!(value >= LOWEST && value <= HIGHEST) && !isVoid(value, this.#header.noData)) {
        this.#unusual(textOf(bytes, at, end), from + at);
        if (this.#fault !== undefined) return bytes.length;
      }
      this.#read += 1;
      at = skipSpace(bytes, end);
    }
    return bytes.length;
  }

  /** A void may be written as `nan`; nothing else that is no height is let through. */
  #unusual(text: string, at: number): void {
    if (/^[+-]?nan$/i.test(text)) return;
    if (Number.isNaN(slowNumber(text))) {
      const hint = text.includes(",") ? "Use a dot for decimals and spaces between values." : "Write the file again.";
      this.#fail(at, "terrain-not-a-number", `"${text}" is not a number.`, hint);
      return;
    }
    const hint = "If it marks what is missing, say so in the header: NODATA_VALUE.";
    this.#fail(at, "terrain-no-height", `${text} is no height of ground in metres.`, hint);
  }

  #fail(at: number, code: string, message: string, hint: string): void {
    this.#fault = { at, code, message, hint };
  }
}

async function readNodes(
  source: ByteSource,
  { column, row, columns, rows }: NodeWindow,
  { lattice, noData }: GridHeader,
  rowStarts: Float64Array,
): Promise<Float64Array> {
  const heights_m = new Float64Array(columns * rows);
  for (let j = 0; j < rows; j += 1) {
    const line = lattice.rows - 1 - (row + j);
    const start = rowStarts[line] ?? 0;
    const bytes = await source.read(start, (rowStarts[line + 1] ?? source.size) - start);
    let at = 0;
    for (let i = -column; i < columns; i += 1) {
      const end = tokenEnd(bytes, at);
      if (i >= 0) {
        const value = readNumber(bytes, at, end);
        heights_m[j * columns + i] = isVoid(value, noData) ? Number.NaN : value;
      }
      at = skipSpace(bytes, end);
    }
  }
  return heights_m;
}

function isVoid(value: number, noData: number): boolean {
  return Math.abs(value - noData) <= Math.abs(noData) * VOID_TOLERANCE;
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
