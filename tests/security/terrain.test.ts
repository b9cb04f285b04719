import { describe, expect, it } from "vitest";
import { bytesInMemory } from "../../src/site/byte-source.js";
import { openRaster } from "../../src/site/open-raster.js";
import { siteSource } from "../../src/site/site-source.js";
import { openTerrain } from "../../src/site/terrain-file.js";
import { tinyTiff } from "../helpers/fuzz/tiny-tiff.mjs";
import { lineOf } from "./line-of.js";

const FLAT = { columns: 40, heights_m: Array<number>(1600).fill(400), west_deg: 8, north_deg: 48, step_deg: 0.001 };

function lineFor(bytes: Uint8Array, path: string): Promise<string> {
  const source = bytesInMemory(bytes);
  const file = { path, bytes: source, declared: undefined, beside: async () => undefined };
  const window = { column: 0, row: 0, columns: 2, rows: 2 };
  return lineOf(openRaster(file).then((raster) => raster.readNodes(source, window)));
}

/** Sets tags of a GeoTIFF: the number of values, or the one value. */
function withTags(tags: Readonly<Record<number, { readonly count?: number; readonly value?: number }>>): Buffer {
  const tiff = tinyTiff(FLAT);
  for (let k = 0; k < tiff.readUInt16LE(8); k += 1) {
    const at = 10 + 12 * k;
    const { count, value } = tags[tiff.readUInt16LE(at)] ?? {};
    if (count !== undefined) tiff.writeUInt32LE(count, at + 4);
    if (value !== undefined) tiff.writeUInt32LE(value, at + 8);
  }
  return tiff;
}

describe("GeoTIFF headers that promise too much", () => {
  it.each([
    ["four billion columns of a row each", { 256: { value: 0xff_ff_ff_ff } }, /terrain|too many to read at once/],
    ["rows in as many strips", { 257: { value: 0xff_ff_ff_ff }, 278: { value: 1 } }, /more than \d+ bytes can hold/],
    [
      "one strip of gigabytes",
      { 256: { value: 65_535 }, 257: { value: 65_535 }, 278: { value: 65_535 } },
      /too many to/,
    ],
    ["a strip that is not there", { 273: { value: 0x7f_ff_ff_ff } }, /ends at \d+ bytes, and names some at/],
    ["a list of four billion tie points", { 33_922: { count: 0x10_00_00_00 } }, /cannot be read|ends at|not placed/],
    ["a list where a number should be", { 277: { count: 200 } }, /does not say how large it is/],
    ["a list of compressions", { 259: { count: 200 } }, /The compression \(a list\) of this GeoTIFF is not read/],
    ["a list of widths", { 256: { count: 100 } }, /does not say how large it is/],
  ])("%s: one line", async (_label, tags, said) => {
    const line = await lineFor(withTags(tags), "sent.tif");
    expect(line).toMatch(/^sent\.tif {2}/);
    expect(line).toMatch(said);
    expect(line.length).toBeLessThan(300);
  });
});

describe("other grids that promise too much", () => {
  it("an Esri header: told by the size of the file", async () => {
    const header = "ncols 1000000000\nnrows 1000000000\nxllcorner 8\nyllcorner 47\ncellsize 0.0001\n1 2 3\n";
    expect(await lineFor(Buffer.from(header), "sent.asc")).toMatch(
      /^sent\.asc:2:1 {2}The header says 1000000000 × 1000000000 values, more than \d+ bytes can hold\./,
    );
  });

  it("an SRTM tile of another size: told what sizes there are", async () => {
    expect(await lineFor(Buffer.alloc(5), "N47E008.hgt")).toMatch(
      /^N47E008\.hgt {2}An SRTM tile has .* bytes, this file 5/,
    );
  });
});

it("a grid that does not lie on the earth: one line", async () => {
  const bytes = bytesInMemory(tinyTiff({ ...FLAT, north_deg: 3900 }));
  const file = { path: "sent.tif", surface: false, error_m: 0, declared: undefined, beside: async () => undefined };
  const opened = openTerrain({ ...file, withBytes: (use) => use(bytes) });
  expect(await lineOf(opened)).toMatch(
    /^sent\.tif {2}This grid does not lie on the earth, as EPSG:\d+ has it\. Declare/,
  );
});

it("a flight reads no more heights than `reading.heights`, and says what raises it", async () => {
  const bytes = bytesInMemory(tinyTiff(FLAT));
  const file = await openTerrain({
    path: "sent.tif",
    surface: false,
    error_m: 0,
    declared: undefined,
    beside: async () => undefined,
    withBytes: (use) => use(bytes),
  });
  const source = siteSource({ terrain: { kind: "files", files: [file] }, obstacles: undefined, mostHeights: 1000 });
  const box = { west_deg: 8.001, south_deg: 47.965, east_deg: 8.035, north_deg: 47.995 };
  await expect(source.siteFor(box, 10)).rejects.toThrow(
    /^The flight needs 40 × 40 heights of this terrain, more than the 1000 that are read\./,
  );
});
