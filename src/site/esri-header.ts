import type { Lattice } from "./lattice.js";
import { DECLARE_HINT } from "./projection.js";
import { failAt, skipSpace, tokenEnd } from "./text-scan.js";

/** What the header of an Esri ASCII grid says, with the place where the values begin. */
export interface GridHeader {
  /** Its first node is the centre of the south-western cell. */
  readonly lattice: Lattice;
  readonly noData: number;
  /** Offset of the first value. */
  readonly end: number;
}

const DEFAULT_NO_DATA = -9999;
/** Eleven kilometres: no terrain to fly by, and a sign of metres. */
const COARSEST_DEG = 0.1;

const ALIASES: Readonly<Record<string, string>> = {
  xllcentre: "xllcenter",
  yllcentre: "yllcenter",
  nodata: "nodata_value",
};
const KEYS = [
  "ncols",
  "nrows",
  "xllcorner",
  "xllcenter",
  "yllcorner",
  "yllcenter",
  "cellsize",
  "dx",
  "dy",
  "nodata_value",
];

/** A header value and where it stands. */
interface Entry {
  readonly value: number;
  readonly at: number;
}

/** @returns whether a file begins with a word of such a header, which nothing else does */
export function beginsAsHeader(bytes: Uint8Array): boolean {
  const first = word(bytes, skipSpace(bytes, hasMark(bytes) ? 3 : 0)).toLowerCase();
  return KEYS.includes(ALIASES[first] ?? first);
}

/**
 * Reads the header of an Esri ASCII grid; keys in any order and case.
 * @param bytes of the beginning of the file
 * @param about `size` of the whole file; `isProjected`: in a system that is not in degrees
 * @throws UserError with file and line where it is no such header, not in degrees though nothing says that it is
 *   projected, or of an absurd size
 */
export function readHeader(
  bytes: Uint8Array,
  file: string,
  about: { readonly size: number; readonly isProjected: boolean },
): GridHeader {
  const { entries, end } = readEntries(bytes, file);
  const columns = count(bytes, file, entries, "ncols");
  const rows = count(bytes, file, entries, "nrows");
  checkSize(bytes, file, entries.get("nrows")?.at ?? 0, columns * rows, about.size, `${columns} × ${rows}`);
  const east = need(bytes, file, entries, entries.has("cellsize") ? "cellsize" : "dx", "CELLSIZE");
  const north = need(bytes, file, entries, entries.has("cellsize") ? "cellsize" : "dy", "CELLSIZE, or DX with DY");
  for (const { value, at } of [east, north]) {
    if (!(value > 0)) {
      throw failAt(bytes, file, at, "terrain-header", `A cell size of ${value} is not above 0.`, {
        hint: "Write the file again.",
      });
    }
  }
  const west = firstNode(bytes, file, entries, "x", east.value);
  const south = firstNode(bytes, file, entries, "y", north.value);
  const lattice: Lattice = {
    columns,
    rows,
    west: west.value,
    south: south.value,
    stepEast: east.value,
    stepNorth: north.value,
  };
  if (!about.isProjected) checkDegrees(bytes, file, lattice, west.at, east.at);
  return { lattice, noData: entries.get("nodata_value")?.value ?? DEFAULT_NO_DATA, end };
}

function readEntries(bytes: Uint8Array, file: string): { entries: Map<string, Entry>; end: number } {
  const entries = new Map<string, Entry>();
  let at = skipSpace(bytes, hasMark(bytes) ? 3 : 0);
  while (isLetter(bytes[at] ?? 0) && !/^nan$/i.test(word(bytes, at))) {
    const written = word(bytes, at).toLowerCase();
    const key = ALIASES[written] ?? written;
    if (!KEYS.includes(key) || entries.has(key)) {
      const why = entries.has(key) ? "stands twice in the header" : "is no header word of an Esri ASCII grid";
      throw failAt(bytes, file, at, "terrain-header", `"${word(bytes, at)}" ${why}.`, { hint: expected() });
    }
    const valueAt = skipSpace(bytes, tokenEnd(bytes, at));
    const text = word(bytes, valueAt);
    const value = text === "" ? Number.NaN : Number(text);
    if (Number.isNaN(value) && !(key === "nodata_value" && /^nan$/i.test(text))) {
      throw failAt(bytes, file, valueAt, "terrain-header", `${written.toUpperCase()} "${text}" is not a number.`, {
        hint: "Write the file again.",
      });
    }
    entries.set(key, { value, at });
    at = skipSpace(bytes, tokenEnd(bytes, valueAt));
  }
  if (entries.size === 0) {
    throw failAt(bytes, file, Math.min(at, bytes.length), "terrain-header", "This is no Esri ASCII grid.", {
      hint: expected(),
    });
  }
  return { entries, end: at };
}

function hasMark(bytes: Uint8Array): boolean {
  return bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf;
}

function expected(): string {
  return "A header is NCOLS, NROWS, XLLCORNER or XLLCENTER, YLLCORNER or YLLCENTER, CELLSIZE and perhaps NODATA_VALUE.";
}

function isLetter(byte: number): boolean {
  return (byte >= 65 && byte <= 90) || (byte >= 97 && byte <= 122);
}

function word(bytes: Uint8Array, at: number): string {
  return new TextDecoder().decode(bytes.subarray(at, Math.min(tokenEnd(bytes, at), at + 40)));
}

function need(bytes: Uint8Array, file: string, entries: ReadonlyMap<string, Entry>, key: string, label: string): Entry {
  const entry = entries.get(key);
  if (entry !== undefined) return entry;
  throw failAt(bytes, file, 0, "terrain-header", `The header lacks ${label}.`, { hint: expected() });
}

function count(bytes: Uint8Array, file: string, entries: ReadonlyMap<string, Entry>, key: string): number {
  const { value, at } = need(bytes, file, entries, key, key.toUpperCase());
  if (Number.isInteger(value) && value >= 2) return value;
  throw failAt(bytes, file, at, "terrain-header", `${key.toUpperCase()} ${value} is not a whole number of 2 or more.`, {
    hint: "A surface needs two nodes each way.",
  });
}

function checkSize(bytes: Uint8Array, file: string, at: number, values: number, size: number, shape: string): void {
  // A value is at least one digit and a space.
  if (values <= (size + 1) / 2) return;
  const message = `The header says ${shape} values, more than ${size} bytes can hold.`;
  throw failAt(bytes, file, at, "terrain-truncated", message, { hint: "Fetch or write the file again." });
}

/** `XLLCENTER` is the first node; `XLLCORNER` the edge of its cell, half a cell outside. */
function firstNode(
  bytes: Uint8Array,
  file: string,
  entries: ReadonlyMap<string, Entry>,
  axis: "x" | "y",
  step: number,
): Entry {
  const centre = entries.get(`${axis}llcenter`);
  if (centre !== undefined) return centre;
  const label = `${axis}llcorner or ${axis}llcenter`.toUpperCase().replace("OR ", "or ");
  const corner = need(bytes, file, entries, `${axis}llcorner`, label);
  return { value: corner.value + step / 2, at: corner.at };
}

function checkDegrees(bytes: Uint8Array, file: string, lattice: Lattice, cornerAt: number, stepAt: number): void {
  const { west, south, stepEast, stepNorth, columns, rows } = lattice;
  const width = (columns - 1) * stepEast;
  const north = south + (rows - 1) * stepNorth;
  const isCoarse = Math.max(stepEast, stepNorth) > COARSEST_DEG;
  const isInDegrees = Math.abs(west) <= 360 && west + width <= 360 && width <= 360 && south >= -90 && north <= 90;
  if (isInDegrees && !isCoarse) return;
  const message = isInDegrees
    ? `A cell of ${stepEast} × ${stepNorth} degrees is over ${COARSEST_DEG}: this looks like a projected grid, and nothing says of which system.`
    : `A grid from ${west}, ${south} is not in degrees, and nothing says of which system it is.`;
  throw failAt(bytes, file, isInDegrees ? stepAt : cornerAt, "terrain-projected", message, { hint: DECLARE_HINT });
}
