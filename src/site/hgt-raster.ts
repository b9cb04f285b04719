import { UserError } from "../user-error.js";
import type { ByteSource } from "./byte-source.js";
import type { NodeWindow } from "./lattice.js";
import { DEGREES } from "./projection.js";
import type { Raster, RasterFile } from "./raster.js";

const VOID = -32_768;
const BYTES = 2;
/** Nodes along one side: 1 and 3 arc seconds, edge rows shared with the neighbours. */
const SIDES = [3601, 1201] as const;
const NAME = /^([NS])(\d{2})([EW])(\d{3})(?!\d)/i;

/** @returns nodes along one side of an SRTM tile of that many bytes; undefined for a size that none has */
export function hgtSide(size: number): number | undefined {
  return SIDES.find((side) => side * side * BYTES === size);
}

/**
 * Opens an SRTM tile: no header, one degree by one, signed 16-bit big-endian metres from north to south and west to
 * east; size and name say the rest. `N47E008.hgt` is the tile from 47 to 48° north and 8 to 9° east.
 * Source: JPL, SRTM FAQ and format notes.
 * @throws UserError, one line, for a size that no tile has, or a name without a corner
 */
export function openHgt({ path, bytes }: RasterFile): Raster {
  const side = hgtSide(bytes.size);
  if (side === undefined) {
    const sizes = SIDES.map((n) => n * n * BYTES).join(" or ");
    throw new UserError("terrain-truncated", `An SRTM tile has ${sizes} bytes, this file ${bytes.size}.`, {
      where: { file: path },
      hint: "Fetch it again.",
    });
  }
  const [west, south] = cornerOf(path);
  const step = 1 / (side - 1);
  return {
    format: "SRTM HGT",
    system: DEGREES,
    lattice: { columns: side, rows: side, west, south, stepEast: step, stepNorth: step },
    readNodes: (source, window) => readNodes(source, window, side),
  };
}

function cornerOf(path: string): [west: number, south: number] {
  const name = path.replace(/^.*[/\\]/, "");
  const [, northSouth = "", latitude = "", eastWest = "", longitude = ""] = NAME.exec(name) ?? [];
  const south = Number(latitude) * (/s/i.test(northSouth) ? -1 : 1);
  const west = Number(longitude) * (/w/i.test(eastWest) ? -1 : 1);
  if (longitude !== "" && south >= -90 && south < 90 && west >= -180 && west < 180) return [west, south];
  throw new UserError("terrain-name", `The name ${name} does not say where this SRTM tile is.`, {
    where: { file: path },
    hint: "Name it after its south-western corner, such as N47E008.hgt.",
  });
}

async function readNodes(source: ByteSource, window: NodeWindow, side: number): Promise<Float64Array> {
  const { column, row, columns, rows } = window;
  const heights_m = new Float64Array(columns * rows);
  for (let j = 0; j < rows; j += 1) {
    // The first row of the file is the northernmost.
    const line = side - 1 - (row + j);
    const bytes = await source.read((line * side + column) * BYTES, columns * BYTES);
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    for (let i = 0; i < columns; i += 1) {
      const value = view.getInt16(i * BYTES);
      heights_m[j * columns + i] = value === VOID ? Number.NaN : value;
    }
  }
  return heights_m;
}
