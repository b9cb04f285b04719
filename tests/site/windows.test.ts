import { gzipSync } from "node:zlib";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { pointAlong } from "../../src/num/geodesic.js";
import { type SiteSource, siteSource } from "../../src/site/site-source.js";
import type { TerrainFile } from "../../src/site/terrain-file.js";
import { surface } from "../oracles/site-brute-force.js";
import { utm } from "../oracles/transverse-mercator.js";
import { lineOf, rasterOf, terrainOf } from "./raster-helpers.js";
import { blank, obstaclesOf } from "./site-helpers.js";
import { writeTiff } from "./tiff-writer.js";

const text = (value: string): Uint8Array => new TextEncoder().encode(value);
const sourceOf = (...files: TerrainFile[]): SiteSource =>
  siteSource({ terrain: { kind: "files", files }, obstacles: { obstacles: [], problems: [], defaults: [] } });
const boxAround = (longitude_deg: number, latitude_deg: number, half_deg: number) => ({
  west_deg: longitude_deg - half_deg,
  south_deg: latitude_deg - half_deg,
  east_deg: longitude_deg + half_deg,
  north_deg: latitude_deg + half_deg,
});

/** An SRTM tile with heights by column and row from the south-west, invented. */
function hgt(side: number, height: (column: number, row: number) => number): Uint8Array {
  const view = new DataView(new ArrayBuffer(side * side * 2));
  for (let j = 0; j < side; j += 1) {
    for (let i = 0; i < side; i += 1) view.setInt16(((side - 1 - j) * side + i) * 2, height(i, j));
  }
  return new Uint8Array(view.buffer);
}
const coarse = hgt(1201, (i, j) => (i === 600 && j === 300 ? -32_768 : i + 2 * j));

describe("SRTM tiles", () => {
  test("size, corner and order: north to south, west to east, edge rows shared", async () => {
    expect(coarse.length).toBe(2_884_802);
    const { lattice, format } = await rasterOf(coarse, { path: "dem/n34W119.hgt" });
    expect(format).toBe("SRTM HGT");
    expect(lattice).toMatchObject({ columns: 1201, rows: 1201, west: -119, south: 34, stepEast: 1 / 1200 });
    const site = await sourceOf(await terrainOf(coarse, { path: "N34W119.HGT" })).siteFor(
      boxAround(-118.9, 34.2, 0.01),
      10,
    );
    expect(site.ground(34.2, -118.9)).toBeCloseTo(120 + 2 * 240, 6);
  });

  test.each([
    ["S01E179.hgt", 179, -1],
    ["s34w001.SRTMGL3.hgt", -1, -34],
    ["N00E000.hgt", 0, 0],
  ])("%s", async (path, west, south) => {
    expect((await rasterOf(coarse, { path })).lattice).toMatchObject({ west, south });
  });

  test("a void is unknown", async () => {
    const site = await sourceOf(await terrainOf(coarse, { path: "N47E008.hgt" })).siteFor(
      boxAround(8.5, 47.25, 0.001),
      10,
    );
    expect(site.ground(47.25, 8.5)).toBeNaN();
    expect(site.ground(47.25, 8.5 + 1 / 1200)).toBeCloseTo(601 + 600, 6);
  });

  test.each([
    [
      coarse.subarray(1),
      "N47E008.hgt",
      "An SRTM tile has 25934402 or 2884802 bytes, this file 2884801. Fetch it again.",
    ],
    [coarse, "tile.hgt", "The name tile.hgt does not say where this SRTM tile is."],
    [coarse, "N91E008.hgt", "The name N91E008.hgt does not say where"],
    [text("PK\u0003\u0004 and so on"), "N47E008.zip", "This is a zip archive. Unpack it"],
    [text('{"type":"FeatureCollection"}'), "hill.tif", "This looks like GeoJSON."],
    [Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0, 1, 2]), "hill.tif", "This is a picture."],
    [Uint8Array.from([1, 2, 0, 4]), "hill.tif", "This is no terrain that can be read."],
    [gzipSync(new Uint8Array(9)), "hill.dem", "This is no terrain that can be read."],
  ])("one clear line for what is none: %#", async (bytes, path, wanted) => {
    expect(await lineOf(() => rasterOf(bytes, { path }))).toContain(`${path}  ${wanted}`);
  });
});

describe("Esri ASCII grids that are projected", () => {
  const grid = "ncols 3\nnrows 3\nxllcenter 424000\nyllcenter 5205000\ncellsize 20\n7 8 9 4 5 6 1 2 3";
  const UTM_PRJ = 'PROJCS["WGS_1984_UTM_Zone_32N",GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984"]]]';
  test.each([
    [{ projection: "EPSG:32632" }, "EPSG:32632"],
    [{ projection: "+proj=utm +zone=32 +datum=WGS84" }, "+proj=utm +zone=32 +datum=WGS84"],
    [{ prj: UTM_PRJ }, "EPSG:32632"],
    [{ prj: 'PROJCS["anything",UNIT["metre",1,AUTHORITY["EPSG","9001"]],AUTHORITY["EPSG","25832"]]' }, "EPSG:25832"],
    [{ prj: 'PROJCS["ETRS89 / UTM zone 32N",UNIT["metre",1]]' }, "EPSG:25832"],
  ])("%j", async (opening, name) => {
    const raster = await rasterOf(text(grid), opening);
    expect(raster.system.name).toBe(name);
    expect(raster.lattice).toMatchObject({ west: 424_000, south: 5_205_000, stepEast: 20 });
  });

  test.each([
    [
      { prj: 'PROJCS["CH1903_LV03"]' },
      "The .prj beside this file names CH1903_LV03, which is not known. Declare its definition",
    ],
    [{ prj: "" }, "The .prj beside this file names no coordinate system."],
    [{ projection: "EPSG:2056" }, "homeleg.yaml:3  The projection EPSG:2056 is not known."],
    [{ projection: "the usual" }, 'homeleg.yaml:3  "the usual" is no projection.'],
    [{ projection: "+proj=nowhere +x=1" }, 'The projection "+proj=nowhere +x=1" cannot be used'],
  ])("one clear line: %j", async (opening, wanted) => {
    expect(await lineOf(async () => terrainOf(text(grid), opening))).toContain(wanted);
  });
});

/** A hill that is smooth and twisted, invented; metres of a UTM zone. */
const hill = (x: number, y: number): number =>
  200 + 60 * Math.sin(x / 310) * Math.cos(y / 270) + 25 * Math.sin((x + y) / 97) + x / 400;
const ORIGIN = [424_000, 5_205_000] as const;
const SIDE = 200;
const STEP = 20;
const nodes = Array.from({ length: SIDE * SIDE }, (_, k) =>
  Math.fround(hill((k % SIDE) * STEP, Math.floor(k / SIDE) * STEP)),
);
const plane = {
  columns: SIDE,
  rows: SIDE,
  west: ORIGIN[0],
  south: ORIGIN[1],
  stepEast: STEP,
  stepNorth: STEP,
  heights: nodes,
};
const fromNorth = Array.from({ length: SIDE }, (_, j) => nodes.slice((SIDE - 1 - j) * SIDE, (SIDE - j) * SIDE));
const utmTiff = writeTiff(fromNorth, {
  type: "float32",
  tile: 64,
  compression: "deflate",
  tiepoint: [0, 0, 0, ORIGIN[0], ORIGIN[1] + (SIDE - 1) * STEP, 0],
  scale: [STEP, STEP, 0],
  keys: { 1024: 1, 1025: 2, 3072: 32632 },
});
/** Near the middle of the hill. */
const HERE = { latitude_deg: 47.0156, longitude_deg: 8.0261 };

describe("a grid in UTM", () => {
  test("heights are those of the surface in its own coordinates, by formulas of another kind", async () => {
    const site = await sourceOf(await terrainOf(utmTiff)).siteFor(
      boxAround(HERE.longitude_deg, HERE.latitude_deg, 0.01),
      10,
    );
    for (let k = 0; k < 200; k += 1) {
      const lon = HERE.longitude_deg + ((k * 7919) % 200) / 1e4 - 0.01;
      const lat = HERE.latitude_deg + ((k * 104_729) % 200) / 1e4 - 0.01;
      // 1 mm sideways on this hill is under half a millimetre in height.
      expect(site.ground(lat, lon)).toBeCloseTo(surface(plane, ...utm(lon, lat, 32)), 3);
    }
  });

  test("the highest is never under dense samples of the geodesic, nor over the highest within 0.1 m of it", async () => {
    const site = await sourceOf(await terrainOf(utmTiff)).siteFor(
      boxAround(HERE.longitude_deg, HERE.latitude_deg, 0.012),
      60,
    );
    const course = fc.double({ min: 0, max: 360, noNaN: true });
    const length = fc.double({ min: 1, max: 1200, noNaN: true });
    fc.assert(
      fc.property(course, length, fc.double({ min: 1, max: 40, noNaN: true }), (course_deg, far_m, corridor_m) => {
        const to = pointAlong(HERE.latitude_deg, HERE.longitude_deg, course_deg, far_m);
        const out = blank();
        site.legClearance({ from: HERE, to, path_m: 0, corridor_m }, out);
        expect(out.groundSeen_share).toBe(1);
        let onLine = Number.NEGATIVE_INFINITY;
        let inCorridor = Number.NEGATIVE_INFINITY;
        for (let k = 0; k <= 400; k += 1) {
          const at = pointAlong(HERE.latitude_deg, HERE.longitude_deg, course_deg, (far_m * k) / 400);
          onLine = Math.max(onLine, surface(plane, ...utm(at.longitude_deg, at.latitude_deg, 32)));
          const side = pointAlong(at.latitude_deg, at.longitude_deg, course_deg + 90, corridor_m * Math.sin(k));
          inCorridor = Math.max(inCorridor, surface(plane, ...utm(side.longitude_deg, side.latitude_deg, 32)));
        }
        // 0.1 m sideways on a slope of at most 0.6, and the steps between samples.
        expect(-out.centre_m).toBeGreaterThanOrEqual(onLine - 0.06);
        expect(-out.centre_m).toBeLessThanOrEqual(onLine + 0.06 + (0.6 * far_m) / 800);
        expect(-out.corridor_m).toBeGreaterThanOrEqual(inCorridor - 0.06);
        expect(-out.corridor_m).toBeGreaterThanOrEqual(-out.centre_m);
      }),
      { numRuns: 100 },
    );
  });
});

describe("the same hill in four formats", async () => {
  // Sampled from the UTM nodes' surface at a third of an arc second, 10 m; HGT at 1″ and in whole metres.
  const sample = (lon: number, lat: number): number => surface(plane, ...utm(lon, lat, 32));
  const step = 1 / 10_800;
  const [west, south] = [8.0261 - 120 * step, 47.0156 - 120 * step];
  const rows = Array.from({ length: 241 }, (_, j) =>
    Array.from({ length: 241 }, (_, i) => sample(west + i * step, south + (240 - j) * step)),
  );
  const degreesTiff = writeTiff(rows, {
    type: "float32",
    compression: "lzw",
    rowsPerStrip: 16,
    tiepoint: [0, 0, 0, west - step / 2, south + 240.5 * step, 0],
    scale: [step, step, 0],
    keys: { 1024: 2, 1025: 1, 2048: 4326 },
  });
  const ascii = text(
    `ncols 241\nnrows 241\nxllcenter ${west}\nyllcenter ${south}\ncellsize ${step}\n${rows.map((row) => row.map((z) => z.toFixed(3)).join(" ")).join("\n")}`,
  );
  const tile = hgt(3601, (i, j) => {
    const [lon, lat] = [8 + i / 3600, 47 + j / 3600];
    const isNear = Math.abs(lon - HERE.longitude_deg) < 0.011 && Math.abs(lat - HERE.latitude_deg) < 0.011;
    return isNear ? Math.round(sample(lon, lat)) : -32_768;
  });
  const box = boxAround(HERE.longitude_deg, HERE.latitude_deg, 0.005);
  const site = async (bytes: Uint8Array, path = "hill.x") =>
    sourceOf(await terrainOf(bytes, { path })).siteFor(box, 10);
  const [inUtm, inDegrees, inAscii, inHgt] = await Promise.all([
    site(utmTiff),
    site(degreesTiff),
    site(ascii),
    site(tile, "N47E008.hgt"),
  ]);

  test.each([0, 40, 77, 120, 163, 200, 251, 310])("course %d", (course_deg) => {
    const to = pointAlong(HERE.latitude_deg, HERE.longitude_deg, course_deg, 380);
    const clearances = [inUtm, inDegrees, inAscii, inHgt].map((each) => {
      const out = blank();
      each.legClearance({ from: HERE, to, path_m: 400, corridor_m: 8 }, out);
      expect(out.groundSeen_share).toBe(1);
      return out;
    });
    const [first = blank(), ...others] = clearances;
    // Bilinear between nodes 10 m and 30 m apart, of a surface whose creases are 20 m apart; HGT is in whole metres.
    for (const [k, within_m] of [0.5, 0.5, 2.5].entries()) {
      expect(Math.abs((others[k]?.centre_m ?? 0) - first.centre_m)).toBeLessThan(within_m);
      expect(Math.abs((others[k]?.corridor_m ?? 0) - first.corridor_m)).toBeLessThan(within_m);
    }
  });

  test("degrees as GeoTIFF and as text differ by their third decimal at most", () => {
    const to = pointAlong(HERE.latitude_deg, HERE.longitude_deg, 33, 500);
    const [a, b] = [blank(), blank()];
    inDegrees.legClearance({ from: HERE, to, path_m: 400, corridor_m: 8 }, a);
    inAscii.legClearance({ from: HERE, to, path_m: 400, corridor_m: 8 }, b);
    expect(a.centre_m).toBeCloseTo(b.centre_m, 3);
    expect(a.corridor_m).toBeCloseTo(b.corridor_m, 3);
  });
});

describe("only the window that a flight needs", () => {
  test("of a 25 MB tile a few hundred kilobytes are read, once for every flight there", async () => {
    const tile = hgt(3601, (i, j) => (i + j) % 1000);
    const reads: { offset: number; length: number }[] = [];
    const source = sourceOf(await terrainOf(tile, { path: "N47E008.hgt" }, reads));
    const before = reads.length;
    const box = boxAround(8.5, 47.5, 0.004);
    const first = await source.siteFor(box, 8);
    const bytes = reads.slice(before).reduce((sum, { length }) => sum + length, 0);
    expect(bytes).toBeLessThan(20_000);
    const count = reads.length;
    expect(await source.siteFor({ ...box, west_deg: box.west_deg + 1e-6 }, 8)).toBe(first);
    expect(reads.length).toBe(count);
    expect(first.ground(47.5, 8.5)).toBeCloseTo((1800 + 1800) % 1000, 6);
    // Beyond the window nothing is known, and nothing is made up.
    expect(first.ground(47.9, 8.9)).toBeNaN();
  });

  test("tiles side by side are one grid, over the cell between their edge nodes too", async () => {
    const strip = (west: number, from: number) =>
      writeTiff(
        Array.from({ length: 40 }, () => Array.from({ length: 40 }, (_, i) => from + i)),
        {
          tiepoint: [0, 0, 0, west, 47.02, 0],
          scale: [0.0005, 0.0005, 0],
          keys: { 1024: 2, 1025: 1, 2048: 4326 },
        },
      );
    const source = sourceOf(
      await terrainOf(strip(8, 0), { path: "a.tif" }),
      await terrainOf(strip(8.02, 40), { path: "b.tif" }),
    );
    const site = await source.siteFor(boxAround(8.02, 47.01, 0.004), 8);
    expect(site.ground(47.01, 8.02)).toBeCloseTo(39.5, 6);
    const out = blank();
    const leg = {
      from: { latitude_deg: 47.01, longitude_deg: 8.018 },
      to: { latitude_deg: 47.01, longitude_deg: 8.022 },
    };
    site.legClearance({ ...leg, path_m: 100, corridor_m: 8 }, out);
    expect(out.groundSeen_share).toBe(1);
  });

  test("over ±180 degrees", async () => {
    const east = await terrainOf(
      hgt(1201, (i) => i),
      { path: "N47E179.hgt" },
    );
    const west = await terrainOf(
      hgt(1201, (i) => 1200 + i),
      { path: "N47W180.hgt" },
    );
    const site = await sourceOf(east, west).siteFor(
      { west_deg: 179.99, south_deg: 47.4, east_deg: 180.01, north_deg: 47.6 },
      8,
    );
    expect(site.ground(47.5, 179.995)).toBeCloseTo(1194, 6);
    expect(site.ground(47.5, -179.995)).toBeCloseTo(1206, 6);
    const out = blank();
    const leg = {
      from: { latitude_deg: 47.5, longitude_deg: 179.995 },
      to: { latitude_deg: 47.5, longitude_deg: -179.995 },
    };
    site.legClearance({ ...leg, path_m: 2000, corridor_m: 8 }, out);
    expect(out.groundSeen_share).toBe(1);
    expect(out.centre_m).toBeCloseTo(2000 - 1206, 3);
  });

  test("a flight that the terrain does not reach knows no ground, though terrain is declared", async () => {
    const site = await sourceOf(await terrainOf(coarse, { path: "N47E008.hgt" })).siteFor(
      boxAround(10.5, 47.5, 0.01),
      8,
    );
    expect(site).toMatchObject({ hasTerrain: true, isFlat: false });
    expect(site.ground(47.5, 10.5)).toBeNaN();
    expect(site.standingGround(47.5, 10.5)).toBeNaN();
    const out = blank();
    const leg = {
      from: { latitude_deg: 47.5, longitude_deg: 10.5 },
      to: { latitude_deg: 47.5, longitude_deg: 10.501 },
    };
    site.legClearance({ ...leg, path_m: 100, corridor_m: 8 }, out);
    expect(out).toMatchObject({ groundSeen_share: 0, centre_m: Infinity });
  });

  test("an obstacle's whole footprint is read, so that it stands on its highest ground", async () => {
    const wood = [
      [8.5, 47.5],
      [8.56, 47.5],
      [8.56, 47.501],
      [8.5, 47.501],
      [8.5, 47.5],
    ];
    const obstacles = obstaclesOf([
      { type: "Polygon", coordinates: [wood] },
      { name: "wood", height: 20 },
    ]);
    const files = [
      await terrainOf(
        hgt(1201, (i) => i),
        { path: "N47E008.hgt" },
      ),
    ];
    const source = siteSource({ terrain: { kind: "files", files }, obstacles });
    const site = await source.siteFor(boxAround(8.5, 47.5, 0.001), 8);
    const out = blank();
    const leg = {
      from: { latitude_deg: 47.5005, longitude_deg: 8.499 },
      to: { latitude_deg: 47.5005, longitude_deg: 8.501 },
    };
    site.legClearance({ ...leg, path_m: 1000, corridor_m: 0 }, out);
    // Its far end, 4.5 km away, is at 672 m.
    expect(out.centre_m).toBeCloseTo(1000 - (672 + 20), 3);
    expect(out.groundSeen_share).toBe(1);
  });

  test("a summary for each file", async () => {
    const source = sourceOf(
      await terrainOf(utmTiff, { path: "hill.tif" }),
      await terrainOf(coarse, { path: "N47E008.hgt" }),
    );
    const [hillFile, tile] = await source.summaries({ countVoids: true });
    expect(hillFile).toMatchObject({
      format: "GeoTIFF",
      projection: "EPSG:32632",
      columns: 200,
      rows: 200,
      voidShare: 0,
    });
    expect(hillFile?.resolution_m).toBeCloseTo(20 / 0.9997, 1);
    const [x, y] = utm(hillFile?.west_deg ?? 0, hillFile?.south_deg ?? 0, 32);
    expect(Math.abs(x - ORIGIN[0])).toBeLessThan(80);
    expect(Math.abs(y - ORIGIN[1])).toBeLessThan(80);
    expect(tile).toMatchObject({ west_deg: 8, south_deg: 47, east_deg: 9, north_deg: 48, format: "SRTM HGT" });
    expect(tile?.voidShare).toBeCloseTo(1 / 1201 ** 2, 12);
    expect((await source.summaries())[1]?.voidShare).toBeUndefined();
  });
});
