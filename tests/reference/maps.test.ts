import { describe, expect, test } from "vitest";
import { boxOf } from "../../src/site/footprint.js";
import { readGeoJson } from "../../src/site/geojson.js";
import { lengthOf } from "../../src/site/length.js";
import { parseObstacles } from "../../src/site/obstacles.js";

const bytes = (value: unknown): Uint8Array => new TextEncoder().encode(JSON.stringify(value));
const polygon = (ring: number[][]): object => ({ type: "Polygon", coordinates: [ring] });

describe("RFC 7946, The GeoJSON Format (2016)", () => {
  // §5.2: the bbox [177.0, -20.0, -178.0, -16.0] covers 5 degrees of longitude; its complement covers 355.
  test("§5.2: the box of the Fiji archipelago is 5 degrees wide", () => {
    const ring = [
      [177, -20],
      [-178, -20],
      [-178, -16],
      [177, -16],
      [177, -20],
    ];
    const [shape] = readGeoJson(bytes(polygon(ring)), "fiji.geojson")[0]?.shapes ?? [];
    const [west, south, east, north] = boxOf({ rings: shape?.rings ?? [], radius_m: 0 });
    expect(east - west).toBeCloseTo(5, 5);
    expect([south, north].map((value) => Math.round(value))).toEqual([-20, -16]);
  });

  // §3.1.9: a line from 45N 170E to 45N 170W is cut into [[170,45],[180,45]] and [[-180,45],[-170,45]].
  test("§3.1.9: cut at the antimeridian or not, a line is the same degrees", () => {
    const cut = {
      type: "MultiLineString",
      coordinates: [
        [
          [170, 45],
          [180, 45],
        ],
        [
          [-180, 45],
          [-170, 45],
        ],
      ],
    };
    const whole = {
      type: "LineString",
      coordinates: [
        [170, 45],
        [-170, 45],
      ],
    };
    const widthOf = (geometry: object): number =>
      (readGeoJson(bytes(geometry), "line.geojson")[0]?.shapes ?? []).reduce((sum, { rings }) => {
        const [west, , east] = boxOf({ rings, radius_m: 0 });
        return sum + east - west;
      }, 0);
    expect(widthOf(cut)).toBeCloseTo(20, 5);
    expect(widthOf(whole)).toBeCloseTo(20, 5);
  });

  // §3.1.6: exterior rings counterclockwise, holes clockwise; parsers SHOULD NOT reject the other winding.
  test("§3.1.6: either winding is read", () => {
    const ring = [
      [8, 47],
      [9, 47],
      [9, 48],
      [8, 47],
    ];
    for (const way of [ring, ring.toReversed()]) {
      expect(readGeoJson(bytes(polygon(way)), "ring.geojson")[0]?.shapes).toHaveLength(1);
    }
  });

  // §3.1.1: longitude, latitude, in that order; §4: the third element is metres above the WGS 84 ellipsoid.
  test("§3.1.1, §4: longitude first; the third element is no height over the ground", () => {
    const feature = {
      type: "Feature",
      properties: { height: 5 },
      geometry: { type: "Point", coordinates: [8, 47, 480] },
    };
    const { obstacles, problems } = parseObstacles(bytes(feature), "point.geojson");
    expect([...(obstacles[0]?.shapes[0]?.rings[0] ?? [])]).toEqual([8, 47]);
    expect(obstacles[0]?.height_m).toBe(5);
    expect(problems[0]?.message).toMatch(/height over the ellipsoid \(RFC 7946\)/);
  });
});

describe("OpenStreetMap wiki, Key:height, Key:building:levels; npm @openstreetmap/id-tagging-schema 6.19.2", () => {
  // Key:height: metres by default, "4 m" with a space, feet as 7'4"; known bad values: "4m", "0,8".
  test.each([
    ["4", 4],
    ["4 m", 4],
    ["4m", 4],
    ["0.8", 0.8],
    [`7'4"`, 2.2352],
    ["40'", 12.192],
  ])("height=%s is %s m", (written, metres) => {
    expect(lengthOf(written)).toBeCloseTo(metres, 9);
  });

  test("height=0,8 is understood, with a note", () => {
    const feature = {
      type: "Feature",
      properties: { height: "0,8" },
      geometry: { type: "Point", coordinates: [8, 47] },
    };
    const { obstacles, problems } = parseObstacles(bytes(feature), "point.geojson");
    expect(obstacles[0]?.height_m).toBe(0.8);
    expect(problems.map(({ severity }) => severity)).toEqual(["note"]);
  });

  // Key:building:levels names no metres per level; public code uses 3, 3.2, 3.4 and 3.5: the tallest is the safe side.
  test("a level is taken as the tallest that public code uses", () => {
    const feature = {
      type: "Feature",
      properties: { building: "yes", "building:levels": "2" },
      geometry: polygon([
        [8, 47],
        [9, 47],
        [9, 48],
        [8, 47],
      ]),
    };
    const [obstacle] = parseObstacles(bytes(feature), "house.geojson").obstacles;
    expect(obstacle?.height_m).toBe(2 * Math.max(3, 3.2, 3.4, 3.5));
    expect(obstacle?.isAssumed).toBe(true);
  });

  // The schema gives power=line, minor_line, natural=wood, landuse=forest no field for a height.
  test.each([
    [{ power: "line" }, "LineString"],
    [{ power: "minor_line" }, "LineString"],
    [{ natural: "wood" }, "Polygon"],
    [{ landuse: "forest" }, "Polygon"],
  ] as const)("%j has no height of its own: an assumed one is printed", (properties, type) => {
    const ring = [
      [8, 47],
      [8.1, 47],
      [8.1, 47.1],
      [8, 47],
    ];
    const geometry = { type, coordinates: type === "Polygon" ? [ring] : ring };
    const { obstacles, problems } = parseObstacles(bytes({ type: "Feature", properties, geometry }), "map.geojson");
    expect(obstacles[0]?.isAssumed).toBe(true);
    expect(problems.map(({ code }) => code)).toEqual(["obstacle-default-height"]);
  });
});
