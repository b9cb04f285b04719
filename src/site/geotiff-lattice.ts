import { UserError } from "../user-error.js";
import type { Lattice } from "./lattice.js";

/** The tags of a GeoTIFF that place it; empty where a tag is not there. */
interface PlacingTags {
  readonly columns: number;
  readonly rows: number;
  /** i, j, k, x, y, z. */
  readonly tiepoint: readonly number[];
  readonly scale: readonly number[];
  /** 4 × 4, row by row. */
  readonly transformation: readonly number[];
}

/** Of a cell: so much slant over the whole file is rounding. */
const SLANT = 1e-6;

/**
 * @param isPoint the pixel's corner is the node (pixel-is-point); else its centre is
 * @returns the nodes of a GeoTIFF
 * @throws UserError, one line, where it is not placed on the earth, or rotated
 */
export function latticeOfTags(
  { columns, rows, tiepoint, scale, transformation }: PlacingTags,
  isPoint: boolean,
  file: string,
): { lattice: Lattice; isNorthFirst: boolean } {
  const { perX, perY, x0, y0 } =
    transformation.length >= 8 ? fromMatrix(transformation, columns, rows, file) : fromTiepoint(tiepoint, scale, file);
  const half = isPoint ? 0 : 0.5;
  const west = x0 + perX * half;
  const first = y0 + perY * half;
  const isNorthFirst = perY < 0;
  if (!(perX > 0) || perY === 0 || !Number.isFinite(west + first + perX * columns + perY * rows)) {
    throw notPlaced(file, "Its pixels have no size, or run from east to west.");
  }
  const south = isNorthFirst ? first + perY * (rows - 1) : first;
  return { lattice: { columns, rows, west, south, stepEast: perX, stepNorth: Math.abs(perY) }, isNorthFirst };
}

interface Affine {
  readonly perX: number;
  /** Below 0 where rows run from north to south. */
  readonly perY: number;
  readonly x0: number;
  readonly y0: number;
}

function fromTiepoint(tiepoint: readonly number[], scale: readonly number[], file: string): Affine {
  const [i = Number.NaN, j = Number.NaN, , x = Number.NaN, y = Number.NaN] = tiepoint;
  const [perX = Number.NaN, perY = Number.NaN] = scale;
  if (tiepoint.length < 6 || scale.length < 2) throw notPlaced(file, "It has no tie point with a pixel scale.");
  return { perX, perY: -perY, x0: x - i * perX, y0: y + j * perY };
}

function fromMatrix(matrix: readonly number[], columns: number, rows: number, file: string): Affine {
  const [a = 0, b = 0, , d = Number.NaN, e = 0, f = 0, , h = Number.NaN] = matrix;
  if (Math.abs(b * rows) > Math.abs(a) * SLANT || Math.abs(e * columns) > Math.abs(f) * SLANT) {
    throw new UserError("terrain-rotated", "This GeoTIFF is rotated against its coordinate system.", {
      where: { file },
      hint: "Warp it so that its rows run from west to east.",
    });
  }
  return { perX: a, perY: f, x0: d, y0: h };
}

function notPlaced(file: string, why: string): UserError {
  return new UserError("terrain-not-placed", `This TIFF is not placed on the earth. ${why}`, {
    where: { file },
    hint: "Write it as a GeoTIFF, with its coordinate system.",
  });
}
