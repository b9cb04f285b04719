import type { ByteSource } from "./byte-source.js";
import { distance_m } from "../num/geodesic.js";
import { latticeX, latticeY } from "./lattice.js";
import { UserError } from "../user-error.js";
import { DECLARE_HINT, loadProjection, type Projection, type System } from "./projection.js";
import { openRaster } from "./open-raster.js";
import type { Raster, RasterFile, RasterFormat } from "./raster.js";

/** A terrain file as settings name it; its bytes are opened for as long as something reads them. */
export interface NamedTerrain {
  readonly path: string;
  /** It includes trees and buildings. */
  readonly surface: boolean;
  readonly error_m: number;
  readonly declared: System | undefined;
  readonly beside: RasterFile["beside"];
  readonly withBytes: <T>(use: (bytes: ByteSource) => Promise<T>) => Promise<T>;
}

/** A terrain file whose header was read. */
export interface TerrainFile extends NamedTerrain {
  readonly raster: Raster;
  /** Undefined: in degrees. */
  readonly projection: Projection | undefined;
}

/** A terrain file in short. */
export interface TerrainSummary {
  readonly path: string;
  readonly format: RasterFormat;
  /** Name of its coordinate system: `EPSG:32632`, or a definition. */
  readonly projection: string;
  /** The box round its nodes; east may be over 180. */
  readonly west_deg: number;
  readonly south_deg: number;
  readonly east_deg: number;
  readonly north_deg: number;
  readonly columns: number;
  readonly rows: number;
  /** Distance between nodes in the middle of it, the greater of both ways. */
  readonly resolution_m: number;
  /** Share of nodes without a height; undefined where nobody asked to count them. */
  readonly voidShare: number | undefined;
}

/** @throws UserError, one line, for a file that cannot be read */
export async function openTerrain(named: NamedTerrain): Promise<TerrainFile> {
  const { path, declared, beside } = named;
  const raster = await named.withBytes((bytes) => openRaster({ path, bytes, declared, beside }));
  const file = { ...named, raster, projection: await loadProjection(raster.system, path) };
  if (Number.isFinite(resolutionOf_m(file))) return file;
  throw new UserError("terrain-not-placed", `This grid does not lie on the earth, as ${raster.system.name} has it.`, {
    where: { file: path },
    hint: DECLARE_HINT,
  });
}

/** Rows of nodes that are counted at a time. */
const COUNTED_AT_ONCE = 4_000_000;
/** Points along each edge of a projected file, whose edges are bent on the earth. */
const EDGE_POINTS = 16;

/**
 * @param countVoids reads the whole file
 * @returns what the file is, in short
 * @throws UserError, one line, where voids are counted and the file cannot be read
 */
export async function summarizeTerrain(file: TerrainFile, countVoids: boolean): Promise<TerrainSummary> {
  const { format, system, lattice } = file.raster;
  return {
    path: file.path,
    format,
    projection: system.name,
    ...extentOf(file),
    columns: lattice.columns,
    rows: lattice.rows,
    resolution_m: resolutionOf_m(file),
    voidShare: countVoids ? await voidShareOf(file) : undefined,
  };
}

function degreesAt({ raster, projection }: TerrainFile, column: number, row: number): [number, number] {
  const x = latticeX(raster.lattice, column);
  const y = latticeY(raster.lattice, row);
  return projection?.inverse(x, y) ?? [x, y];
}

function extentOf(file: TerrainFile): Pick<TerrainSummary, "west_deg" | "south_deg" | "east_deg" | "north_deg"> {
  const { columns, rows } = file.raster.lattice;
  const [first_deg] = degreesAt(file, 0, 0);
  const extent = {
    west_deg: Number.POSITIVE_INFINITY,
    south_deg: Number.POSITIVE_INFINITY,
    east_deg: Number.NEGATIVE_INFINITY,
    north_deg: Number.NEGATIVE_INFINITY,
  };
  const take = (column: number, row: number): void => {
    const [longitude_deg, latitude_deg] = degreesAt(file, column, row);
    // A projected file over ±180 is seen from one side.
    const turned_deg =
      file.projection === undefined
        ? longitude_deg
        : longitude_deg - 360 * Math.round((longitude_deg - first_deg) / 360);
    extent.west_deg = Math.min(extent.west_deg, turned_deg);
    extent.east_deg = Math.max(extent.east_deg, turned_deg);
    extent.south_deg = Math.min(extent.south_deg, latitude_deg);
    extent.north_deg = Math.max(extent.north_deg, latitude_deg);
  };
  for (let k = 0; k <= EDGE_POINTS; k += 1) {
    const column = ((columns - 1) * k) / EDGE_POINTS;
    const row = ((rows - 1) * k) / EDGE_POINTS;
    for (const [i, j] of [
      [column, 0],
      [column, rows - 1],
      [0, row],
      [columns - 1, row],
    ] as const) {
      take(i, j);
    }
  }
  return extent;
}

/** @returns distance between nodes in the middle of a file, the greater of both ways, m */
export function resolutionOf_m(file: TerrainFile): number {
  const { columns, rows } = file.raster.lattice;
  const [i, j] = [(columns - 1) / 2, (rows - 1) / 2];
  const [lon, lat] = degreesAt(file, i - 0.5, j - 0.5);
  const [eastLon, eastLat] = degreesAt(file, i + 0.5, j - 0.5);
  const [northLon, northLat] = degreesAt(file, i - 0.5, j + 0.5);
  return Math.max(distance_m(lat, lon, eastLat, eastLon), distance_m(lat, lon, northLat, northLon));
}

async function voidShareOf({ raster, withBytes }: TerrainFile): Promise<number> {
  const { columns, rows } = raster.lattice;
  const atOnce = Math.max(1, Math.floor(COUNTED_AT_ONCE / columns));
  return withBytes(async (bytes) => {
    let voids = 0;
    for (let row = 0; row < rows; row += atOnce) {
      const window = { column: 0, row, columns, rows: Math.min(atOnce, rows - row) };
      for (const height_m of await raster.readNodes(bytes, window)) if (Number.isNaN(height_m)) voids += 1;
    }
    return voids / (columns * rows);
  });
}
