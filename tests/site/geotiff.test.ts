import { describe, expect, test } from "vitest";
import { bytesInMemory } from "../../src/site/byte-source.js";
import { lineOf, nodesOf, rasterOf, terrainOf } from "./raster-helpers.js";
import { type TiffOptions, writeTiff } from "./tiff-writer.js";

/** A hill of 30 × 20 nodes, invented, its north row first. */
const ROWS = Array.from({ length: 20 }, (_, j) => Array.from({ length: 30 }, (_, i) => 90 + 7 * j + ((i * 13) % 29)));
const SOUTH_FIRST = ROWS.toReversed().flat();
const DEGREES: TiffOptions = {
  tiepoint: [0, 0, 0, 8, 47.002, 0],
  scale: [0.0002, 0.0001, 0],
  keys: { 1024: 2, 1025: 1, 2048: 4326 },
};
const inUtm = (keys: Record<number, number>, more: TiffOptions = {}): TiffOptions => ({
  tiepoint: [0, 0, 0, 424_000, 5_205_400, 0],
  scale: [20, 20, 0],
  keys: { 1024: 1, 1025: 1, ...keys },
  ...more,
});

describe("samples, however they are packed", () => {
  const packings: TiffOptions[] = [
    { type: "int16" },
    { type: "uint16" },
    { type: "uint8" },
    { type: "float32" },
    { type: "float64" },
    { type: "int16", isBigEndian: true },
    { type: "float32", isBigEndian: true, compression: "deflate" },
    { rowsPerStrip: 7 },
    { rowsPerStrip: 1, compression: "deflate" },
    { rowsPerStrip: 3, compression: "lzw" },
    { tile: 16 },
    { tile: 16, compression: "deflate", type: "float32" },
    { tile: 16, compression: "lzw", type: "float32" },
    { compression: "lzw", type: "float64" },
  ];
  test.each(packings)("%j", async (packing) => {
    const bytes = writeTiff(ROWS, { ...DEGREES, ...packing });
    expect(await nodesOf(bytes)).toEqual(SOUTH_FIRST);
    const raster = await rasterOf(bytes);
    const window = await raster.readNodes(bytesInMemory(bytes), { column: 5, row: 3, columns: 11, rows: 9 });
    const wanted = Array.from({ length: 9 }, (_, j) => SOUTH_FIRST.slice((3 + j) * 30 + 5, (3 + j) * 30 + 16));
    expect([...window]).toEqual(wanted.flat());
  });
});

describe("where the nodes are", () => {
  test("pixel is area: at the centres", async () => {
    const { lattice, format, system } = await rasterOf(writeTiff(ROWS, DEGREES));
    expect({ format, name: system.name }).toEqual({ format: "GeoTIFF", name: "EPSG:4326" });
    expect(lattice).toMatchObject({ columns: 30, rows: 20, stepEast: 0.0002, stepNorth: 0.0001 });
    expect(lattice.west).toBeCloseTo(8.0001, 12);
    expect(lattice.south).toBeCloseTo(47.002 - 19.5 * 0.0001, 12);
  });

  test("pixel is point: at the corners, half a cell away", async () => {
    const { lattice } = await rasterOf(writeTiff(ROWS, { ...DEGREES, keys: { 1024: 2, 1025: 2, 2048: 4326 } }));
    expect(lattice.west).toBeCloseTo(8, 12);
    expect(lattice.south).toBeCloseTo(47.002 - 19 * 0.0001, 12);
  });

  test("a tie point inside the image, and one matrix in place of both tags", async () => {
    const tied = await rasterOf(writeTiff(ROWS, { ...DEGREES, tiepoint: [10, 5, 0, 8.002, 47.0015, 0] }));
    const transformation = [0.0002, 0, 0, 8, 0, -0.0001, 0, 47.002, 0, 0, 0, 0, 0, 0, 0, 1];
    const matrix = await rasterOf(writeTiff(ROWS, { keys: DEGREES.keys ?? {}, transformation }));
    for (const { lattice } of [tied, matrix]) {
      expect(lattice.west).toBeCloseTo(8.0001, 12);
      expect(lattice.south).toBeCloseTo(47.002 - 19.5 * 0.0001, 12);
    }
  });

  test("rows from the south", async () => {
    const transformation = [0.0002, 0, 0, 8, 0, 0.0001, 0, 47, 0, 0, 0, 0, 0, 0, 0, 1];
    const bytes = writeTiff(ROWS, { keys: DEGREES.keys ?? {}, transformation, rowsPerStrip: 6 });
    expect((await rasterOf(bytes)).lattice.south).toBeCloseTo(47.000_05, 12);
    expect(await nodesOf(bytes)).toEqual(ROWS.flat());
  });
});

describe("voids as files carry them", () => {
  const lowest = -3.402_823_466_385_288_6e38;
  test.each<[type: TiffOptions["type"], noData: string | undefined, sample: number, isVoid: boolean]>([
    ["int16", "-32768", -32768, true],
    ["int16", "-32768.0", -32768, true],
    ["int16", "0", 0, true],
    ["int16", "0", 1, false],
    ["int16", undefined, -32768, true],
    ["int16", undefined, -9999, true],
    ["int16", undefined, -400, false],
    ["float32", "-9999", -9999, true],
    ["float32", "-9999.9", Math.fround(-9999.9), true],
    ["float32", "-3.4028234663852886e+38", lowest, true],
    ["float32", "-3.40282346638529e+38", lowest, true],
    ["float32", "-3.402823e+38", lowest, true],
    ["float32", "nan", Number.NaN, true],
    ["float32", undefined, Number.NaN, true],
    ["float32", "-9999", -9998, false],
    ["float64", "1.70141e+38", 1.701_410_000_1e38, true],
    ["uint16", "65535", 65535, true],
  ])("%s, nodata %s: %s is one: %s", async (type, noData, sample, isVoid) => {
    const rows = [
      [1, 2],
      [sample, 4],
    ];
    const bytes = writeTiff(rows, { ...DEGREES, ...(type && { type }), ...(noData !== undefined && { noData }) });
    expect(Number.isNaN((await nodesOf(bytes))[0])).toBe(isVoid);
  });
});

describe("coordinate systems", () => {
  const systems: [name: string, options: TiffOptions][] = [
    ["EPSG:4258", { ...DEGREES, keys: { 1024: 2, 2048: 4258 } }],
    ["EPSG:4269", { ...DEGREES, keys: { 1024: 2, 2048: 4269 } }],
    ["EPSG:32632", inUtm({ 3072: 32632 })],
    ["EPSG:32733", inUtm({ 3072: 32733 })],
    ["EPSG:25832", inUtm({ 3072: 25832 })],
    ["EPSG:26917", inUtm({ 3072: 26917 })],
    ["EPSG:3857", inUtm({ 3072: 3857 })],
  ];
  test.each(systems)("%s", async (name, options) => {
    expect((await rasterOf(writeTiff(ROWS, options))).system.name).toBe(name);
  });

  test("UTM computed: the corner that the zone's formulas give", async () => {
    const file = await terrainOf(writeTiff(ROWS, inUtm({ 3072: 32632 })));
    // From memory of the method: the central meridian, 500 km east, at the equator.
    const [x, y] = file.projection?.forward(9, 0) ?? [];
    expect(x).toBeCloseTo(500_000, 6);
    expect(y).toBeCloseTo(0, 6);
  });

  test("a transverse Mercator of the file's own is the UTM zone it spells out", async () => {
    const keys = {
      3072: 32767,
      3075: 1,
      2048: 4258,
      3076: 9001,
      3080: 9,
      3081: 0,
      3082: 500_000.0,
      3083: 0,
      3092: 0.9996,
    };
    const own = await terrainOf(writeTiff(ROWS, inUtm(keys)));
    const zone = await terrainOf(writeTiff(ROWS, inUtm({ 3072: 25832 })));
    const [x = 0, y = 0] = own.projection?.forward(8.1, 47.2) ?? [];
    const [wantX = 1, wantY = 1] = zone.projection?.forward(8.1, 47.2) ?? [];
    expect(x).toBeCloseTo(wantX, 6);
    expect(y).toBeCloseTo(wantY, 6);
  });

  test("a Lambert conic of the file's own, in feet", async () => {
    // Snyder, Map Projections: a Working Manual (1987), p. 296: Clarke 1866, 33° and 45° north, from 23° N 96° W;
    // 35° N 75° W is at 1 894 410.9, 1 564 649.5 m. On GRS80 here, within 100 m of it.
    const keys = {
      3072: 32767,
      3075: 8,
      2048: 4269,
      3076: 9002,
      3078: 33,
      3079: 45,
      3084: -96,
      3085: 23,
      3086: 0,
      3087: 0,
    };
    const { projection } = await terrainOf(writeTiff(ROWS, inUtm(keys)));
    const [x = 0, y = 0] = projection?.forward(-75, 35) ?? [];
    expect(Math.abs(x * 0.3048 - 1_894_410.9)).toBeLessThan(100);
    expect(Math.abs(y * 0.3048 - 1_564_649.5)).toBeLessThan(100);
  });

  test("what is declared stands in for what the file says, or does not say", async () => {
    const bare = writeTiff(ROWS, { ...DEGREES, keys: {} });
    expect((await rasterOf(bare, { projection: "EPSG:4326" })).system.name).toBe("EPSG:4326");
    const definition = "+proj=somerc +lat_0=46.9524 +lon_0=7.4396 +k_0=1 +x_0=2600000 +y_0=1200000 +ellps=bessel";
    expect((await rasterOf(writeTiff(ROWS, inUtm({ 3072: 2056 })), { projection: definition })).system.name).toBe(
      definition,
    );
  });

  test("feet, where a key says so", async () => {
    const feet = writeTiff(ROWS, { ...DEGREES, keys: { ...DEGREES.keys, 4099: 9002 } });
    expect((await nodesOf(feet))[0]).toBeCloseTo((SOUTH_FIRST[0] ?? 0) * 0.3048, 9);
    const survey = writeTiff(ROWS, { ...DEGREES, keys: { ...DEGREES.keys, 4096: 6360 } });
    expect((await nodesOf(survey))[0]).toBeCloseTo(((SOUTH_FIRST[0] ?? 0) * 1200) / 3937, 9);
  });
});

describe("one clear line for what cannot be read", () => {
  const whole = writeTiff(ROWS, DEGREES);
  const HINT = 'Declare its definition: `terrain: { file: …, projection: "+proj=…" }`';
  test.each<[bytes: Uint8Array, wanted: string]>([
    [writeTiff(ROWS, inUtm({ 3072: 2056 })), `hill.asc  EPSG:2056 is not known. ${HINT}`],
    [writeTiff(ROWS, { ...DEGREES, keys: { 1024: 2, 2048: 4312 } }), `hill.asc  EPSG:4312 is not known. ${HINT}`],
    [writeTiff(ROWS, inUtm({ 3072: 32767, 3075: 15 })), "hill.asc  The projection is the file's own"],
    [writeTiff(ROWS, { ...DEGREES, keys: {} }), "hill.asc  The file does not name its coordinate system."],
    [writeTiff(ROWS, { ...DEGREES, keys: { 1024: 3 } }), "hill.asc  Coordinates of model 3 are not read."],
    [writeTiff(ROWS, { keys: DEGREES.keys ?? {} }), "hill.asc  This TIFF is not placed on the earth."],
    [writeTiff(ROWS, { ...DEGREES, bands: 3, photometric: 2, type: "uint8" }), "hill.asc  This TIFF is a picture"],
    [writeTiff(ROWS, { ...DEGREES, photometric: 3, type: "uint8" }), "hill.asc  This TIFF is a picture"],
    [writeTiff(ROWS, { ...DEGREES, bands: 4 }), "hill.asc  This GeoTIFF has 4 bands"],
    [writeTiff([[1, 2, 3]], DEGREES), "hill.asc  A grid of 3 × 1 has no surface."],
    [
      writeTiff(ROWS, {
        ...DEGREES,
        tiepoint: [],
        scale: [],
        transformation: [1, 0.5, 0, 8, 0.5, -1, 0, 47, 0, 0, 0, 0],
      }),
      "hill.asc  This GeoTIFF is rotated",
    ],
    [writeTiff(ROWS, { ...DEGREES, keys: { ...DEGREES.keys, 4099: 9036 } }), "hill.asc  Heights in unit 9036"],
    [whole.subarray(0, 6), "hill.asc  This GeoTIFF cannot be read ("],
    [whole.subarray(0, 60), "hill.asc  This GeoTIFF cannot be read ("],
    [whole.subarray(0, whole.length - 50), "hill.asc  This GeoTIFF cannot be read ("],
    [Uint8Array.from([0x49, 0x49, 0x2a, 0, 0xff, 0xff, 0xff, 0x7f]), "hill.asc  The file ends at 8 bytes"],
  ])("%#: %s", async (bytes, wanted) => {
    const line = await lineOf(() => nodesOf(bytes));
    expect(line.slice(0, wanted.length)).toBe(wanted);
    expect(line).not.toContain("\n");
  });

  test("absurdly huge: more than its bytes can hold, and one strip that says it is two thousand million rows", async () => {
    const bytes = writeTiff(ROWS, DEGREES);
    // Width and height are the first two tags.
    const view = new DataView(bytes.buffer);
    view.setUint32(10 + 8, 2_000_000_000, true);
    view.setUint32(22 + 8, 2_000_000_000, true);
    expect(await lineOf(() => rasterOf(bytes))).toMatch(
      /2000000000 × 2000000000 heights, more than \d+ bytes can hold/,
    );
    // Rows per strip is the eighth.
    view.setUint32(10 + 7 * 12 + 8, 2_000_000_000, true);
    view.setUint32(10 + 8, 30, true);
    expect(await lineOf(() => rasterOf(bytes))).toMatch(/30 × 2000000000 samples, too many to read at once/);
  });

  test("bytes changed at random end in one line, or in a grid", async () => {
    let seed = 1;
    const random = (): number => (seed = (seed * 48_271) % 2_147_483_647) / 2_147_483_647;
    const good = writeTiff(ROWS, { ...inUtm({ 3072: 32632 }), tile: 16, compression: "lzw" });
    for (let round = 0; round < 200; round += 1) {
      const bytes = good.slice();
      for (let k = 0; k < 3; k += 1) bytes[Math.floor(random() * bytes.length)] = Math.floor(random() * 256);
      const line = await lineOf(async () => {
        const raster = await rasterOf(bytes);
        const columns = Math.min(raster.lattice.columns, 40);
        await raster.readNodes(bytesInMemory(bytes), { column: 0, row: 0, columns, rows: 2 });
        throw new Error("read");
      }).catch((error: unknown) => (error instanceof Error ? error.message : "?"));
      expect(line === "read" || line.startsWith("hill.asc  ") || line.includes("no terrain")).toBe(true);
    }
  });
});
