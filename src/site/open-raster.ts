import { UserError } from "../user-error.js";
import { beginsAsHeader } from "./esri-header.js";
import { openEsriAscii } from "./esri-raster.js";
import { openGeoTiff } from "./geotiff-raster.js";
import { hgtSide, openHgt } from "./hgt-raster.js";
import type { Raster, RasterFile } from "./raster.js";

const BEGINNING = 512;

/** What else people name by mistake, by how it begins. */
const OTHERS: readonly (readonly [begins: readonly string[], message: string, hint: string])[] = [
  [["PK\u0003\u0004"], "This is a zip archive.", "Unpack it, and name the file in it."],
  [["\u0089PNG", "\u00ff\u00d8\u00ff", "GIF8", "BM"], "This is a picture.", "Name the elevation file."],
  [["{"], "This looks like GeoJSON.", "Obstacles belong to `site.obstacles`; terrain is a grid of heights."],
];
const TIFF = ["II*\0", "II+\0", "MM\0*", "MM\0+"];

/**
 * Opens a terrain file by what is in it, not by its name: a GeoTIFF, an Esri ASCII grid, or an SRTM tile.
 * @throws UserError, one line, for what is none of them or cannot be read
 */
export async function openRaster(file: RasterFile): Promise<Raster> {
  const beginning = await file.bytes.read(0, BEGINNING);
  const magic = String.fromCharCode(...beginning.subarray(0, 16));
  if (TIFF.some((begin) => magic.startsWith(begin))) return openGeoTiff(file);
  if (beginsAsHeader(beginning)) return openEsriAscii(file);
  for (const [begins, message, hint] of OTHERS) {
    if (begins.some((begin) => magic.trimStart().startsWith(begin)))
      throw new UserError("terrain-format", message, { where: { file: file.path }, hint });
  }
  // An SRTM tile has no header: its size speaks for it, and for one of another size its name.
  if (hgtSide(file.bytes.size) !== undefined || /\.hgt(?:\.gz)?$/i.test(file.path)) return openHgt(file);
  // Its reader says what a header begins with.
  if (isText(beginning)) return openEsriAscii(file);
  throw new UserError("terrain-format", "This is no terrain that can be read.", {
    where: { file: file.path },
    hint: "Terrain is a GeoTIFF, an Esri ASCII grid, or an SRTM tile (.hgt).",
  });
}

function isText(bytes: Uint8Array): boolean {
  return bytes.every((byte) => byte >= 32 || (byte >= 9 && byte <= 13));
}
