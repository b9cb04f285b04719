import { failAt, skipSpace, tokenEnd } from "./text-scan.js";

/** What the header of an Esri ASCII grid says, with the place where the values begin. */
export interface GridHeader {
  readonly columns: number;
  readonly rows: number;
  /** Position of the south-western node, the centre of its cell. */
  readonly west_deg: number;
  readonly south_deg: number;
  readonly stepEast_deg: number;
  readonly stepNorth_deg: number;
  readonly noData: number;
  /** Offset of the first value. */
  readonly end: number;
}

const DEFAULT_NO_DATA = -9999;
/** Half a gigabyte of heights. */
const MOST_VALUES = 60_000_000;
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

/**
 * Reads the header of an Esri ASCII grid; keys in any order and case.
 * @throws UserError with file and line where it is no such header, not in degrees, or of an absurd size
 */
export function readHeader(bytes: Uint8Array, file: string): GridHeader {
  const { entries, end } = readEntries(bytes, file);
  const columns = count(bytes, file, entries, "ncols");
  const rows = count(bytes, file, entries, "nrows");
  checkSize(bytes, file, entries.get("nrows")?.at ?? 0, columns, rows);
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
  const header: GridHeader = {
    columns,
    rows,
    west_deg: west.value,
    south_deg: south.value,
    stepEast_deg: east.value,
    stepNorth_deg: north.value,
    noData: entries.get("nodata_value")?.value ?? DEFAULT_NO_DATA,
    end,
  };
  checkDegrees(bytes, file, header, west.at, east.at);
  return header;
}

function readEntries(bytes: Uint8Array, file: string): { entries: Map<string, Entry>; end: number } {
  const entries = new Map<string, Entry>();
  const hasMark = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf;
  let at = skipSpace(bytes, hasMark ? 3 : 0);
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

function checkSize(bytes: Uint8Array, file: string, at: number, columns: number, rows: number): void {
  const values = columns * rows;
  // A value is at least one digit and a space.
  if (values > (bytes.length + 1) / 2) {
    const message = `The header says ${columns} × ${rows} values, more than ${bytes.length} bytes can hold.`;
    throw failAt(bytes, file, at, "terrain-truncated", message, { hint: "Fetch or write the file again." });
  }
  if (values > MOST_VALUES) {
    const message = `${columns} × ${rows} values are more than the ${MOST_VALUES} that are read.`;
    throw failAt(bytes, file, at, "terrain-too-big", message, { hint: "Cut out the ground that is flown over." });
  }
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

function checkDegrees(bytes: Uint8Array, file: string, header: GridHeader, cornerAt: number, stepAt: number): void {
  const { west_deg, south_deg, stepEast_deg, stepNorth_deg, columns, rows } = header;
  const width_deg = (columns - 1) * stepEast_deg;
  const north_deg = south_deg + (rows - 1) * stepNorth_deg;
  const isCoarse = Math.max(stepEast_deg, stepNorth_deg) > COARSEST_DEG;
  const isInDegrees =
    Math.abs(west_deg) <= 360 && west_deg + width_deg <= 360 && width_deg <= 360 && south_deg >= -90 && north_deg <= 90;
  if (isInDegrees && !isCoarse) return;
  const message = isInDegrees
    ? `A cell of ${stepEast_deg} × ${stepNorth_deg} degrees is over ${COARSEST_DEG}: this looks like a projected grid, and those are not read yet.`
    : `A grid from ${west_deg}, ${south_deg} is not in degrees: projected grids are not read yet.`;
  throw failAt(bytes, file, isInDegrees ? stepAt : cornerAt, "terrain-projected", message, {
    hint: "Convert it to longitude and latitude in degrees (EPSG:4326).",
  });
}
