import { describe, expect, test } from "vitest";
import {
  LINE_RADIUS_M,
  mergeObstacles,
  type ObstacleSet,
  parseObstacles,
  POINT_RADIUS_M,
} from "../../src/site/obstacles.js";
import { UserError } from "../../src/user-error.js";

const parse = (value: unknown, file = "masts.geojson"): ObstacleSet =>
  parseObstacles(new TextEncoder().encode(typeof value === "string" ? value : JSON.stringify(value)), file);

function lineFor(value: unknown): string {
  try {
    parse(value);
  } catch (error) {
    if (error instanceof UserError) return error.line;
    throw error;
  }
  throw new Error("nothing was thrown");
}

const feature = (geometry: unknown, properties: unknown = { height: 10 }): object => ({
  type: "Feature",
  geometry,
  properties,
});

describe("geometries of RFC 7946, appendix A", () => {
  const outer = [
    [100, 0],
    [101, 0],
    [101, 1],
    [100, 1],
    [100, 0],
  ];
  const hole = [
    [100.8, 0.8],
    [100.8, 0.2],
    [100.2, 0.2],
    [100.2, 0.8],
    [100.8, 0.8],
  ];
  test.each<[object, string[]]>([
    [{ type: "Point", coordinates: [100, 0] }, ["point"]],
    [
      {
        type: "LineString",
        coordinates: [
          [100, 0],
          [101, 1],
        ],
      },
      ["line"],
    ],
    [{ type: "Polygon", coordinates: [outer] }, ["polygon"]],
    [{ type: "Polygon", coordinates: [outer, hole] }, ["polygon"]],
    [
      {
        type: "MultiPoint",
        coordinates: [
          [100, 0],
          [101, 1],
        ],
      },
      ["point", "point"],
    ],
    [
      {
        type: "MultiLineString",
        coordinates: [
          [
            [100, 0],
            [101, 1],
          ],
          [
            [102, 2],
            [103, 3],
          ],
        ],
      },
      ["line", "line"],
    ],
    [{ type: "MultiPolygon", coordinates: [[outer], [outer, hole]] }, ["polygon", "polygon"]],
    [
      {
        type: "GeometryCollection",
        geometries: [
          { type: "Point", coordinates: [100, 0] },
          {
            type: "LineString",
            coordinates: [
              [101, 0],
              [102, 1],
            ],
          },
        ],
      },
      ["point", "line"],
    ],
  ])("%j", (geometry, kinds) => {
    const [obstacle] = parse(feature(geometry)).obstacles;
    expect(obstacle?.shapes.map(({ kind }) => kind)).toEqual(kinds);
  });

  test("a hole is one more ring", () => {
    const [obstacle] = parse(feature({ type: "Polygon", coordinates: [outer, hole] })).obstacles;
    expect(obstacle?.shapes[0]?.rings.map((ring) => [...ring])).toEqual([outer.flat(), hole.flat()]);
  });

  test("a ring left open is closed, a third coordinate is left out", () => {
    const open = [
      [100, 0, 5],
      [101, 0, 5],
      [101, 1, 5],
    ];
    const [obstacle] = parse(feature({ type: "Polygon", coordinates: [open] })).obstacles;
    expect([...(obstacle?.shapes[0]?.rings[0] ?? [])]).toEqual([100, 0, 101, 0, 101, 1, 100, 0]);
  });

  test("longitudes run on where a line crosses 180 uncut", () => {
    const [obstacle] = parse(
      feature({
        type: "LineString",
        coordinates: [
          [179.9, 45],
          [-179.9, 45],
          [179.8, 45],
        ],
      }),
    ).obstacles;
    const [ring] = obstacle?.shapes[0]?.rings ?? [];
    expect(ring?.[2]).toBeCloseTo(180.1, 9);
    expect(ring?.[4]).toBeCloseTo(179.8, 9);
  });

  test("a bare geometry has no properties, and so no height", () => {
    const { obstacles, problems } = parse({ type: "Point", coordinates: [8, 47] });
    expect(obstacles).toMatchObject([{ height_m: undefined, top_m: undefined }]);
    expect(problems.map(({ code }) => code)).toEqual(["obstacle-no-height"]);
  });
});

describe("properties", () => {
  const at = { type: "Point", coordinates: [8, 47] };
  const only = (properties: unknown) => parse(feature(at, properties)).obstacles[0];

  test("numbers of metres, and text with a unit", () => {
    const wanted = { name: "mast", height_m: 12.192, top_m: 500, underside_m: 3, file: "masts.geojson", feature: 1 };
    expect(only({ name: " mast ", height: "40'", top: "500 m", underside: 3, radius: 2 })).toMatchObject(wanted);
    expect(only({ height: 1, radius: 2 })?.shapes[0]?.radius_m).toBe(2);
    expect(only({ top: -3 })?.top_m).toBe(-3);
  });

  test("default radius by kind", () => {
    const radius = (geometry: unknown) => parse(feature(geometry)).obstacles[0]?.shapes[0]?.radius_m;
    expect(radius(at)).toBe(POINT_RADIUS_M);
    expect(
      radius({
        type: "LineString",
        coordinates: [
          [8, 47],
          [8, 48],
        ],
      }),
    ).toBe(LINE_RADIUS_M);
    expect(
      radius({
        type: "Polygon",
        coordinates: [
          [
            [8, 47],
            [9, 47],
            [9, 48],
            [8, 47],
          ],
        ],
      }),
    ).toBe(0);
  });

  test("without a name the number of the feature names it", () => {
    const { obstacles } = parse({
      type: "FeatureCollection",
      features: [feature(at), feature(at, { height: 2, name: 7 })],
    });
    expect(obstacles.map(({ name }) => name)).toEqual(["obstacle 1", "7"]);
  });

  test.each([
    [null, ["obstacle-no-height"], 1],
    [{ name: "tree" }, ["obstacle-no-height"], 1],
    [{ height: null, top: "" }, ["obstacle-no-height"], 1],
    [{ name: "lane", highway: "track" }, ["obstacle-no-height"], 0],
    [{ height: "0,8" }, ["obstacle-decimal-comma"], 1],
    [{ height: "1,200" }, ["obstacle-bad-length", "obstacle-no-height"], 1],
    [{ height: -1 }, ["obstacle-bad-length", "obstacle-no-height"], 1],
    [{ height: 5, radius: "wide" }, ["obstacle-bad-length"], 1],
    [{ height: 5, underside: "low" }, ["obstacle-bad-length"], 1],
    [{ height: 5, underside: 1e308 }, ["obstacle-bad-length"], 1],
    [{ height: 1e308 }, ["obstacle-bad-length", "obstacle-no-height"], 1],
    [{ height: 1e308, top: 1e6 }, ["obstacle-bad-length", "obstacle-bad-length", "obstacle-no-height"], 1],
    [{ height: 0 }, [], 1],
  ])("%j: %j", (properties, codes, count) => {
    const { obstacles, problems } = parse(feature(at, properties));
    expect(problems.map(({ code }) => code)).toEqual(codes);
    expect(obstacles).toHaveLength(count);
  });

  test.each([
    ['"radius": 1e308', 100_000, "radius 1e+308"],
    ['"radius": 1e999', 100_000, "radius (a number without end)"],
    ['"radius": "101000 m"', 100_000, 'radius "101000 m"'],
    ['"natural": "tree", "diameter_crown": 1e6', 50_000, "diameter_crown 1000000"],
  ])("%s: as wide as can be, so that nothing near it is clear", (properties, wide_m, written) => {
    const text = JSON.stringify(feature(at, { height: 5 })).replace('"height":5', `"height":5,${properties}`);
    const { obstacles, problems } = parse(text);
    expect(obstacles[0]?.shapes[0]?.radius_m).toBe(wide_m);
    expect(problems.map(({ message }) => message.slice(message.indexOf(" has the ") + 9))).toEqual([
      `${written}, which is over 100 km: 100000 m is taken.`,
    ]);
  });

  test("a number without end is no name", () => {
    const text = JSON.stringify(feature(at, { height: 5, name: 7 })).replace('"name":7', '"name":1e999');
    expect(parse(text).obstacles[0]?.name).toBe("obstacle 1");
  });

  test("an underside or a height that is too long is not taken", () => {
    const { obstacles } = parse(feature(at, { height: 1e308, underside: 1e308 }));
    expect(obstacles[0]).toMatchObject({ height_m: undefined, underside_m: undefined });
  });

  test("a problem names the feature", () => {
    const { problems } = parse(feature(at, { name: "old oak" }));
    expect(problems[0]?.message).toBe(
      "masts.geojson: feature 1 (old oak) has neither height nor top: no way home over it is clear.",
    );
  });

  test.each([
    null,
    { type: "MultiPoint", coordinates: [] },
    { type: "LineString", coordinates: [] },
    { type: "Polygon", coordinates: [] },
  ])("without a place: %j", (geometry) => {
    expect(parse(feature(geometry)).problems.map(({ code }) => code)).toEqual(["obstacle-no-place"]);
  });

  test("several files are one set, each obstacle keeps its place", () => {
    const merged = mergeObstacles([
      parse(feature(at), "a.geojson"),
      parse(feature(at, { highway: "track" }), "b.geojson"),
      parse(feature(at), "c.geojson"),
    ]);
    expect(merged.obstacles.map(({ file }) => file)).toEqual(["a.geojson", "c.geojson"]);
    expect(merged.problems).toHaveLength(1);
    expect(mergeObstacles([])).toEqual({ obstacles: [], problems: [], defaults: [] });
  });
});

describe("one clear line for what cannot be read", () => {
  const line = (coordinates: unknown) => feature({ type: "LineString", coordinates });
  test.each<[unknown, string]>([
    ["", "masts.geojson:1:1  This is not JSON: it ends too soon."],
    ['{"type": "Feature",\n  "geometry": nul}', `masts.geojson:2:15  This is not JSON: "n" is out of place.`],
    ['\uFEFF{"é": 1,\r\n "é" 2}', `masts.geojson:2:6  This is not JSON: "2" is out of place.`],
    ["[]", "masts.geojson  This is no GeoJSON: the text is not an object."],
    [{ type: "FeatureCollection" }, "masts.geojson  This is no GeoJSON: the collection has no list of features."],
    [
      { type: "FeatureCollection", features: [feature(null), 7] },
      "masts.geojson:1:103  Feature 2: it is not an object.",
    ],
    [{ type: "Topology" }, `masts.geojson  Feature 1: its geometry type "Topology" is not known.`],
    [{}, "masts.geojson  Feature 1: its geometry type (missing) is not known."],
    [feature(7), "masts.geojson  Feature 1: its geometry is not an object."],
    [feature({ type: "Point" }), "masts.geojson  Feature 1: its coordinates are not a list."],
    [line([[8, 47]]), "masts.geojson  Feature 1: a line has one position; it needs two."],
    [line([[8, 47], [8]]), "masts.geojson  Feature 1: a position is not a list of numbers."],
    [line([[8, 47], "8 48"]), "masts.geojson  Feature 1: a position is not a list of numbers."],
    [
      feature({
        type: "Polygon",
        coordinates: [
          [
            [8, 47],
            [9, 47],
            [8, 47],
          ],
        ],
      }),
      "masts.geojson  Feature 1: a ring of a polygon needs four positions or more.",
    ],
    [
      '{"type": "Point", "coordinates": [1e999, 47]}',
      "masts.geojson  Feature 1: (a number without end), 47 is no position: GeoJSON is longitude, latitude in degrees (RFC 7946). Convert the file to EPSG:4326; check the order of the two.",
    ],
    [
      line([
        [2600000, 1200000],
        [2600100, 1200000],
      ]),
      "masts.geojson  Feature 1: 2600000, 1200000 is no position: GeoJSON is longitude, latitude in degrees (RFC 7946). Convert the file to EPSG:4326; check the order of the two.",
    ],
    [
      line([
        [47, 100],
        [47, 101],
      ]),
      "masts.geojson  Feature 1: 47, 100 is no position",
    ],
  ])("%j", (value, wanted) => {
    expect(lineFor(value).slice(0, wanted.length)).toBe(wanted);
    expect(lineFor(value)).not.toContain("\n");
  });

  test("collections nested without end", () => {
    let geometry: object = { type: "Point", coordinates: [8, 47] };
    for (let k = 0; k < 10; k += 1) geometry = { type: "GeometryCollection", geometries: [geometry] };
    expect(lineFor(feature(geometry))).toContain("nested over 8 deep");
  });
});
