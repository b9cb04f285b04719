import { describe, expect, test } from "vitest";
import { degreesReader, numberReader, readFix, readFlag, UNREADABLE } from "../../src/parsers/cell-readers.js";
import { sniffDecimals } from "../../src/parsers/csv/sniff-decimals.js";
import { readLog } from "../../src/parsers/read-log.js";

const BAD = UNREADABLE;

describe("numbers", () => {
  test.each<[string, number, number, number]>([
    // cell, decimal point, decimal comma, both in one file
    ["12.5", 12.5, 12.5, 12.5],
    ["12,5", BAD, 12.5, 12.5],
    [" -0.25 ", -0.25, -0.25, -0.25],
    ["+3", 3, 3, 3],
    [".5", 0.5, 0.5, 0.5],
    ["5.", 5, 5, 5],
    [",5", BAD, 0.5, 0.5],
    ["1e-3", 0.001, 0.001, 0.001],
    ["1,5e-3", BAD, 0.0015, 0.0015],
    ["1,234", 1234, 1.234, 1.234],
    ["1.234", 1.234, 1234, 1.234],
    ["1,234.5", 1234.5, BAD, 1234.5],
    ["1.234,5", BAD, 1234.5, 1234.5],
    ["1 234.5", 1234.5, BAD, 1234.5],
    ["1 234,5", BAD, 1234.5, 1234.5],
    ["1\u00a0234", 1234, 1234, 1234],
    ["1'234'567", 1234567, 1234567, 1234567],
    ["12\0\0", 12, 12, 12],
    ["", NaN, NaN, NaN],
    ["   ", NaN, NaN, NaN],
    ["\0\0", NaN, NaN, NaN],
    ["N/A", NaN, NaN, NaN],
    ["null", NaN, NaN, NaN],
    ["NaN", NaN, NaN, NaN],
    ["-", NaN, NaN, NaN],
    ["Infinity", BAD, BAD, BAD],
    ["0x1F", BAD, BAD, BAD],
    ["0x0", BAD, BAD, BAD],
    [" 0b1", BAD, BAD, BAD],
    ["1e999", BAD, BAD, BAD],
    ["12 5", BAD, BAD, BAD],
    ["1,23,456", BAD, BAD, BAD],
    ["high", BAD, BAD, BAD],
    [`${"1".repeat(61)}x`, BAD, BAD, BAD],
  ])("%j", (cell, point, comma, mixed) => {
    expect(numberReader("point")(cell)).toBe(point);
    expect(numberReader("comma")(cell)).toBe(comma);
    expect(numberReader("mixed")(cell)).toBe(mixed);
  });
});

describe("the decimal mark", () => {
  test.each([
    [["12.5", "3"], ",", "point"],
    [["12,5", "3"], ";", "comma"],
    [["12,5", "1.25"], ";", "mixed"],
    [["1,234"], ",", "point"],
    [["1,234"], ";", "comma"],
    [["1.234"], ";", "point"],
    [["1.234,5"], ";", "comma"],
    [["1,234.5"], ",", "point"],
    [["0,125", "8.200"], "\t", "comma"],
    [["x", ""], ",", "point"],
  ])("of %j between %j is the %s", (cells, delimiter, expected) => {
    expect(sniffDecimals([cells], delimiter)).toBe(expected);
  });
});

describe("degrees", () => {
  const latitude = degreesReader(numberReader("point"), "NS");
  const longitude = degreesReader(numberReader("point"), "EW");

  test.each<[string, number]>([
    ["47.5", 47.5],
    ["47.5N", 47.5],
    ["S 47.5°", -47.5],
    ["47.5 s", -47.5],
    ["47°30'", 47.5],
    ["47° 30.0′ N", 47.5],
    ["47 30 0 S", -47.5],
    ["33 52 10.8 S", -33.869666666666667],
    ["-47°30'36\"", -47.51],
    ["47º30'36''N", 47.51],
    ["47,5° N", 47.5],
    ["N/A", NaN],
    ["47.5E", BAD],
    ["N 47.5 N", BAD],
    ["47°60'", BAD],
    ["47.5°30'", BAD],
    ["47°30.5'30\"", BAD],
    ["north", BAD],
    [`47${" ".repeat(80)}N`, BAD],
  ])("%j as a latitude", (cell, expected) => {
    expect(latitude(cell)).toBe(expected);
  });

  test("longitudes take east and west", () => {
    expect(longitude("8°30'W")).toBe(-8.5);
    expect(longitude("E008.5")).toBe(8.5);
    expect(longitude("8.5N")).toBe(BAD);
  });
});

test("flags", () => {
  expect(["1", "TRUE", "yes", "On", "0", "false", "no", "off", "1.0", "", "n/a"].map(readFlag)).toEqual([
    1,
    1,
    1,
    1,
    0,
    0,
    0,
    0,
    1,
    NaN,
    NaN,
  ]);
  expect(["2", "maybe", "-1"].map(readFlag)).toEqual([BAD, BAD, BAD]);
});

test("kinds of fix", () => {
  expect(
    ["none", "No Fix", "0", "1", "2d", "2", "3D", "3d_fix", "dgps", "RTK", "pps", "4", "6", "3.0"].map(readFix),
  ).toEqual([0, 0, 0, 0, 2, 2, 3, 3, 4, 4, 4, 4, 4, 3]);
  expect(["", "unknown", "good", "2.5", "-1"].map(readFix)).toEqual([NaN, NaN, BAD, BAD, BAD]);
});

test("a number beyond any reading is out of range and not recorded, so that nothing overflows", async () => {
  const text = "time_s,latitude_deg,longitude_deg,height_above_takeoff_km\n0,47,8,1e308\n1,47,8,0.02\n2,47,8,1e7\n";
  const { track, problems } = await readLog([Buffer.from(text)], { path: "huge.csv" });
  expect([...(track.columns.height_m ?? [])]).toEqual([Number.NaN, 20, Number.NaN]);
  expect(problems.map(({ code, line }) => [code, line])).toEqual([
    ["cell-out-of-range", 2],
    ["cell-out-of-range", 4],
  ]);
});
