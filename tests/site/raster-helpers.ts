import { type ByteSource, bytesInMemory } from "../../src/site/byte-source.js";
import type { Grid } from "../../src/site/grid.js";
import { openRaster } from "../../src/site/open-raster.js";
import { systemOfText } from "../../src/site/projection.js";
import type { Raster, RasterFile } from "../../src/site/raster.js";
import { type NamedTerrain, openTerrain, type TerrainFile } from "../../src/site/terrain-file.js";
import { UserError } from "../../src/user-error.js";

/** What a test opens a file with besides its bytes. */
export interface Opening {
  readonly path?: string;
  readonly projection?: string;
  readonly prj?: string;
  readonly surface?: boolean;
}

function fileOf(bytes: Uint8Array, { path = "hill.asc", projection, prj }: Opening): RasterFile {
  return {
    path,
    bytes: bytesInMemory(bytes),
    declared: projection === undefined ? undefined : systemOfText(projection, "homeleg.yaml:3"),
    beside: () => Promise.resolve(prj === undefined ? undefined : new TextEncoder().encode(prj)),
  };
}

/** @returns a terrain file in memory, opened */
export function rasterOf(bytes: Uint8Array, opening: Opening = {}): Promise<Raster> {
  return openRaster(fileOf(bytes, opening));
}

/** @returns a terrain file in memory, as a site takes it; `reads` collects what was read of it */
export function terrainOf(
  bytes: Uint8Array,
  opening: Opening = {},
  reads: { offset: number; length: number }[] = [],
): Promise<TerrainFile> {
  const { path, declared, beside } = fileOf(bytes, opening);
  const memory = bytesInMemory(bytes);
  const source: ByteSource = {
    size: memory.size,
    read: (offset, length) => {
      reads.push({ offset, length });
      return memory.read(offset, length);
    },
  };
  const named: NamedTerrain = {
    path,
    surface: opening.surface ?? false,
    error_m: 0,
    declared,
    beside,
    withBytes: (use) => use(source),
  };
  return openTerrain(named);
}

/** @returns all nodes of a file, row by row from the south */
export async function nodesOf(bytes: Uint8Array, opening: Opening = {}): Promise<number[]> {
  const raster = await rasterOf(bytes, opening);
  const { columns, rows } = raster.lattice;
  return [...(await raster.readNodes(bytesInMemory(bytes), { column: 0, row: 0, columns, rows }))];
}

/** @returns an Esri ASCII grid in degrees, whole */
export async function gridOfAscii(text: string): Promise<Grid> {
  const bytes = new TextEncoder().encode(text);
  const { lattice } = await rasterOf(bytes);
  const { columns, rows, west, south, stepEast, stepNorth } = lattice;
  return {
    columns,
    rows,
    west_deg: west,
    south_deg: south,
    stepEast_deg: stepEast,
    stepNorth_deg: stepNorth,
    heights_m: Float64Array.from(await nodesOf(bytes)),
  };
}

/** @returns the one line that a person is shown */
export async function lineOf(read: () => Promise<unknown>): Promise<string> {
  try {
    await read();
  } catch (error) {
    if (error instanceof UserError) return error.line;
    throw error;
  }
  throw new Error("nothing was thrown");
}
