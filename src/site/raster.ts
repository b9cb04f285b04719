import type { ByteSource } from "./byte-source.js";
import type { Lattice, NodeWindow } from "./lattice.js";
import type { System } from "./projection.js";

/** Formats of terrain, by the names that reports use. */
export type RasterFormat = "Esri ASCII grid" | "GeoTIFF" | "SRTM HGT";

/** A terrain file whose header was read: where its nodes are, and how to get their heights. */
export interface Raster {
  readonly format: RasterFormat;
  readonly system: System;
  readonly lattice: Lattice;
  /**
   * Reads the heights of some nodes, row by row from the south, m; NaN is a void.
   * @param bytes of the same file
   * @throws UserError, one line, where they cannot be read
   */
  readNodes(bytes: ByteSource, window: NodeWindow): Promise<Float64Array>;
}

/** What a terrain file is opened with. */
export interface RasterFile {
  /** Its name in messages. */
  readonly path: string;
  readonly bytes: ByteSource;
  /** As declared: it stands in for what the file says of itself. */
  readonly declared: System | undefined;
  /** Reads what stands beside the file under the same name with another ending; undefined where nothing does. */
  readonly beside: (ending: string) => Promise<Uint8Array | undefined>;
}

/** Ground on Earth in metres, and the highest of it in feet; anything beyond is a void. */
export const LOWEST = -12_000;
export const HIGHEST = 30_000;

/** Written files carry float32 voids with 6 or more digits: `-3.402823e+38` for -3.4028234663852886e38. */
export const VOID_TOLERANCE = 2e-7;
