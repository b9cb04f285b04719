import { describe, expect, test } from "vitest";
import { bytesInMemory } from "../../src/site/byte-source.js";
import { gridOfAscii, lineOf, rasterOf } from "./raster-helpers.js";

const parse = (text: string) => gridOfAscii(text);
const lineFor = (text: string): Promise<string> => lineOf(() => parse(text));

const HEADER = "ncols 3\nnrows 2\nxllcenter 8\nyllcenter 47\ncellsize 0.001\n";

describe("layout (its help page)", () => {
  test("row 1 is the north row; the grid is stored from the south", async () => {
    const grid = await parse(`${HEADER}1 2 3\n4 5 6\n`);
    expect(grid).toMatchObject({
      columns: 3,
      rows: 2,
      west_deg: 8,
      south_deg: 47,
      stepEast_deg: 0.001,
      stepNorth_deg: 0.001,
    });
    expect([...grid.heights_m]).toEqual([4, 5, 6, 1, 2, 3]);
  });

  test("line breaks do not matter, NCOLS decides", async () => {
    const wanted = [4, 5, 6, 1, 2, 3];
    for (const values of ["1 2 3 4 5 6", "1\n2\n3\n4\n5\n6", " 1 2\r\n3\t4 5\r\n6 \r\n\r\n", "1 2 3 4\r5 6"]) {
      expect([...(await parse(HEADER + values)).heights_m]).toEqual(wanted);
    }
  });

  test("a corner is the edge of the first cell, half a cell out", async () => {
    const grid = await parse("NCOLS 2\nNROWS 2\nXLLCORNER 8\nYLLCORNER 47\nCELLSIZE 0.002\n1 2\n3 4");
    expect(grid.west_deg).toBeCloseTo(8.001, 12);
    expect(grid.south_deg).toBeCloseTo(47.001, 12);
  });

  test("keys in any order and case, DX with DY, British spelling, a byte order mark", async () => {
    const grid = await parse("\uFEFFNRows 2\nYllCentre 47\nxLLCentre 8\nnCols 2\ndx 0.002\nDY 0.001\n1 2\n3 4");
    expect(grid).toMatchObject({ west_deg: 8, south_deg: 47, stepEast_deg: 0.002, stepNorth_deg: 0.001 });
  });

  test("the help page's own example is projected, and says so", async () => {
    const example = `ncols 480\nnrows 450\nxllcorner 378923\nyllcorner 4072345\ncellsize 30\nnodata_value -32768\n${"43 ".repeat(480 * 450)}`;
    expect(await lineFor(example)).toBe(
      'hill.asc:3:1  A grid from 378938, 4072360 is not in degrees, and nothing says of which system it is. Declare its definition: `terrain: { file: …, projection: "+proj=…" }`, or convert the file to EPSG:4326 or UTM.',
    );
  });

  test("nodata of that example, in degrees, is a void", async () => {
    const text = "ncols 2\nnrows 2\nxllcorner 8\nyllcorner 47\ncellsize 0.001\nnodata_value -32768\n43 -32768\n3 45";
    expect([...(await parse(text)).heights_m]).toEqual([3, 45, 43, Number.NaN]);
  });
});

describe("voids as files carry them", () => {
  const voidOf = async (noData: string, value: string) =>
    Number.isNaN((await parse(`${HEADER}${noData}\n1 2 3 4 ${value} 6`)).heights_m[1] ?? 0);

  test.each([
    ["", "-9999"],
    ["", "-9999.0"],
    ["NODATA_VALUE -9999.0", "-9999"],
    ["nodata_value -3.4028234663852886e+38", "-3.402823e+38"],
    ["nodata_value -3.40282347e+38", "-3.4028234663852886e+38"],
    ["nodata_value 0", "0.000"],
    ["nodata_value -9999.9", "-9999.900390625"],
    ["nodata_value 1e20", "100000002004087734272"],
    ["nodata_value nan", "nan"],
    ["nodata_value -9999", "NaN"],
  ])("%s: %s is one", async (noData, value) => {
    expect(await voidOf(noData, value)).toBe(true);
  });

  test.each([
    ["nodata_value -32768", "-9999"],
    ["nodata_value -9999", "-9998"],
    ["nodata_value 0", "0.001"],
  ])("%s: %s is none", async (noData, value) => {
    expect(await voidOf(noData, value)).toBe(false);
  });
});

test("numbers are read as JavaScript reads them", async () => {
  const written = [
    "+0.1",
    "-.5",
    "7.",
    "1e3",
    "1.5E-3",
    "123.456789012345678",
    "0.1000000000000000055511151231257827",
    "8848.86",
  ];
  const grid = await parse(
    `ncols 8\nnrows 2\nxllcenter 8\nyllcenter 47\ncellsize 0.001\n${written.join(" ")} ${"0 ".repeat(8)}`,
  );
  expect([...grid.heights_m.subarray(8)]).toEqual(written.map(Number));
});

describe("one clear line for what cannot be read", () => {
  const line3 = "A header is NCOLS";
  test.each([
    ["", `hill.asc:1:1  This is no Esri ASCII grid. ${line3}`],
    ["1 2 3", `hill.asc:1:1  This is no Esri ASCII grid. ${line3}`],
    ["hello 3", `hill.asc:1:1  "hello" is no header word`],
    ["ncols 3\nncols 4\n", `hill.asc:2:1  "ncols" stands twice in the header.`],
    ["ncols three\n", `hill.asc:1:7  NCOLS "three" is not a number.`],
    ["ncols\n", `hill.asc:2:1  NCOLS "" is not a number.`],
    ["ncols 3\nnrows 2\nxllcorner 8\nyllcorner 47\n1 2 3 4 5 6", "hill.asc:1:1  The header lacks CELLSIZE."],
    [
      "ncols 3\nnrows 2\nxllcorner 8\nyllcorner 47\ndx 1\n1 2 3 4 5 6",
      "hill.asc:1:1  The header lacks CELLSIZE, or DX with DY.",
    ],
    [
      "ncols 3\nnrows 2\nyllcorner 47\ncellsize 0.01\n1 2 3 4 5 6",
      "hill.asc:1:1  The header lacks XLLCORNER or XLLCENTER.",
    ],
    [
      "ncols 1\nnrows 2\nxllcorner 8\nyllcorner 47\ncellsize 0.1\n1 2",
      "hill.asc:1:1  NCOLS 1 is not a whole number of 2 or more.",
    ],
    [
      "ncols 2.5\nnrows 2\nxllcorner 8\nyllcorner 47\ncellsize 0.1\n1 2",
      "hill.asc:1:1  NCOLS 2.5 is not a whole number",
    ],
    [HEADER.replace("0.001", "0") + "1 2 3 4 5 6", "hill.asc:5:1  A cell size of 0 is not above 0."],
    [
      HEADER.replace("0.001", "30") + "1 2 3 4 5 6",
      "hill.asc:5:1  A cell of 30 × 30 degrees is over 0.1: this looks like a projected grid",
    ],
    [
      HEADER.replace("xllcenter 8", "xllcenter 500000") + "1 2 3 4 5 6",
      "hill.asc:3:1  A grid from 500000, 47 is not in degrees",
    ],
    [
      HEADER.replace("yllcenter 47", "yllcenter 89.9995") + "1 2 3 4 5 6",
      "hill.asc:3:1  A grid from 8, 89.9995 is not in degrees",
    ],
    [
      HEADER.replace("ncols 3", "ncols 1e6") + "1 2 3 4 5 6",
      "hill.asc:2:1  The header says 1000000 × 2 values, more than 69 bytes can hold.",
    ],
    [`${HEADER}1 2 3\n4 5  \n`, "hill.asc:8:1  The grid ends after 5 of 6 values. Fetch or write the file again."],
    [`${HEADER}1 2 3\n4 5 6\n7`, "hill.asc:8:1  The grid goes on after its 6 values. Check NCOLS and NROWS"],
    [`${HEADER}1 2 3\n4 x 6`, `hill.asc:7:3  "x" is not a number. Write the file again.`],
    [
      `${HEADER}1 2 3\n4 5,5 6`,
      `hill.asc:7:3  "5,5" is not a number. Use a dot for decimals and spaces between values.`,
    ],
    [`${HEADER}1 2 3\n4 0x1F 6`, `hill.asc:7:3  "0x1F" is not a number.`],
    [`${HEADER}1 2 3\n4 - 6`, `hill.asc:7:3  "-" is not a number.`],
    [`${HEADER}1 2 3\n4 1.2.3 6`, `hill.asc:7:3  "1.2.3" is not a number.`],
    [
      `${HEADER}1 2 3\n4 -32768 6`,
      "hill.asc:7:3  -32768 is no height of ground in metres. If it marks what is missing, say so in the header: NODATA_VALUE.",
    ],
  ])("%j", async (text, wanted) => {
    expect((await lineFor(text)).slice(0, wanted.length)).toBe(wanted);
    expect(await lineFor(text)).not.toContain("\n");
  });
});

test("a file of several chunks: every row begins where it was found to", async () => {
  const value = (row: number, column: number): string => (412.35 + row + column / 7).toFixed(2);
  const rows = Array.from({ length: 600 }, (_, row) =>
    Array.from({ length: 500 }, (_, column) => value(row, column)).join(row % 3 === 0 ? "\r\n" : "  "),
  );
  const text = `ncols 500\nnrows 600\nxllcorner 8\nyllcorner 47\ncellsize 0.0003\n${rows.join("\n")}\n`;
  const bytes = new TextEncoder().encode(text);
  expect(bytes.length).toBeGreaterThan(2 << 20);
  const raster = await rasterOf(bytes);
  const nodes = await raster.readNodes(bytesInMemory(bytes), { column: 480, row: 1, columns: 20, rows: 599 });
  for (let row = 0; row < 599; row += 1) {
    const wanted = Array.from({ length: 20 }, (_, i) => Number(value(598 - row, 480 + i)));
    expect([...nodes.subarray(row * 20, row * 20 + 20)]).toEqual(wanted);
  }
  // The place of a mistake is found again in a file that is not in memory: one line from each CRLF or LF.
  const broken = text.replace(value(599, 499), "here");
  expect(await lineFor(broken)).toMatch(/^hill\.asc:100405:4492 {2}"here" is not a number\./);
});
