import { describe, expect, test } from "vitest";
import { mergeZones, parseZones, type ZoneSet } from "../../src/site/zones.js";
import { UserError, UserErrors } from "../../src/user-error.js";
import { collectionOf } from "./site-helpers.js";

const AREA = {
  type: "Polygon",
  coordinates: [
    [
      [8, 47],
      [8.001, 47],
      [8.001, 47.001],
      [8, 47],
    ],
  ],
};
const FENCE = {
  type: "LineString",
  coordinates: [
    [8, 47],
    [8.001, 47],
    [8.001, 47.001],
    [8, 47],
  ],
};
const WAY = {
  type: "LineString",
  coordinates: [
    [8, 47],
    [8.001, 47],
  ],
};
const HERE = { type: "Point", coordinates: [8, 47] };

const parse = (...features: readonly (readonly [object, object])[]): ZoneSet =>
  parseZones(collectionOf(features), "z.geojson");

function linesFor(bytes: Uint8Array): string[] {
  try {
    parseZones(bytes, "z.geojson");
  } catch (error) {
    if (error instanceof UserErrors) return error.errors.map(({ line }) => line);
    if (error instanceof UserError) return [error.line];
    throw error;
  }
  throw new Error("nothing was thrown");
}

describe("zones", () => {
  test.each<[object, object, object]>([
    [{ zone: "water", name: "Mill Pond" }, AREA, { kind: "water", name: "Mill Pond", underside_m: undefined }],
    [{ zone: "keep-out" }, AREA, { kind: "keep-out", name: "keep-out 1" }],
    [{ zone: "no-landing" }, AREA, { kind: "no-landing" }],
    [{ zone: "cover", underside: "20 ft" }, AREA, { kind: "cover", underside_m: 6.096 }],
    [{ zone: "cover", underside: 0 }, AREA, { kind: "cover", underside_m: 0 }],
    [{ zone: "water", underside: 6 }, AREA, { underside_m: undefined }],
    [{ zone: "keep-out", radius: "30 m" }, HERE, { shapes: [{ kind: "point", radius_m: 30 }] }],
    [{ zone: "water", radius: 2 }, WAY, { shapes: [{ kind: "line", radius_m: 2 }] }],
    [{ zone: "water", radius: 2 }, FENCE, { shapes: [{ kind: "line", radius_m: 2 }] }],
    [{ tags: { zone: "water" } }, AREA, { kind: "water" }],
    [
      { zone: "water", name: 7 },
      { type: "MultiPolygon", coordinates: [AREA.coordinates, AREA.coordinates] },
      { name: "7" },
    ],
  ])("%j", (properties, geometry, wanted) => {
    expect(parse([geometry, properties]).zones[0]).toMatchObject({ file: "z.geojson", feature: 1, ...wanted });
  });

  test("several files are one set", () => {
    const one = parse([AREA, { zone: "water" }]);
    expect(mergeZones([one, one]).zones).toHaveLength(2);
    expect(mergeZones([])).toEqual({ zones: [], problems: [] });
  });

  test("a number without end is no name", () => {
    const text = JSON.stringify({ type: "Feature", geometry: AREA, properties: { zone: "water", name: 7 } });
    const { zones } = parseZones(new TextEncoder().encode(text.replace('"name":7', '"name":1e999')), "z.geojson");
    expect(zones[0]?.name).toBe("water 1");
  });

  test("a decimal comma is noted", () => {
    const { zones, problems } = parse([AREA, { zone: "cover", underside: "6,5" }]);
    expect(zones[0]?.underside_m).toBe(6.5);
    expect(problems.map(({ severity, code }) => [severity, code])).toEqual([["note", "zone-decimal-comma"]]);
  });

  test.each<[object, object, string]>([
    [
      AREA,
      {},
      'Feature 1: it does not say what zone it is. Write "zone": one of "cover", "water", "keep-out", "no-landing".',
    ],
    [AREA, { zone: " " }, "Feature 1: it does not say what zone it is."],
    [
      AREA,
      { natural: "water" },
      'Feature 1: it does not say what zone it is. Write "zone": one of "cover", "water", "keep-out", "no-landing". A map\'s tag alone makes no zone; if it is meant, write "zone": "water".',
    ],
    [
      AREA,
      { landuse: "forest" },
      'Feature 1: it does not say what zone it is. Write "zone": one of "cover", "water", "keep-out", "no-landing". A map\'s tag alone makes no zone; if it is meant, write "zone": "cover".',
    ],
    [AREA, { waterway: "riverbank" }, "Feature 1: it does not say what zone it is."],
    [
      AREA,
      { zone: "keepout" },
      'Feature 1: "keepout" is no zone. Did you mean "keep-out"? Write one of "cover", "water", "keep-out", "no-landing".',
    ],
    [AREA, { zone: "Water" }, 'Feature 1: "Water" is no zone. Did you mean "water"?'],
    [AREA, { zone: "airport" }, 'Feature 1: "airport" is no zone. Write one of'],
    [
      AREA,
      { zone: "cover", name: "oak" },
      'Feature 1: the cover "oak" has no underside: nobody can tell whether an aircraft is under it or over it. Give the height of its lowest branches above the ground: "underside": 6.',
    ],
    [
      AREA,
      { zone: "cover", underside: "low" },
      'Feature 1: has the underside "low", which is not understood: it does not count. Write a length: 6, "6 m", "20 ft".',
    ],
    [AREA, { zone: "water", radius: -1 }, "Feature 1: has the radius -1, which is not understood"],
    [HERE, { zone: "keep-out", radius: 1e308 }, "Feature 1: has the radius 1e+308, which is over 100 km: it does not"],
    [
      FENCE,
      { zone: "water", name: "lake" },
      'Feature 1: the zone "lake" is a closed line, which has no area. Draw a Polygon, or give a "radius" in m.',
    ],
    [WAY, { zone: "water", name: "brook" }, 'Feature 1: the zone "brook" is a line, which has no area.'],
    [HERE, { zone: "keep-out", name: "nest" }, 'Feature 1: the zone "nest" is a point, which has no area.'],
    [HERE, { zone: "keep-out", radius: 0 }, "Feature 1: the zone"],
    [
      { type: "Polygon", coordinates: [] },
      { zone: "water" },
      'Feature 1: the zone "water 1" has no geometry. Draw a Polygon.',
    ],
  ])("%j %j", (geometry, properties, wanted) => {
    const [line = "", ...others] = linesFor(collectionOf([[geometry, properties]]));
    expect(others).toEqual([]);
    expect(line.slice(0, "z.geojson:1:41  ".length + wanted.length)).toBe(`z.geojson:1:41  ${wanted}`);
    expect(line).not.toContain("\n");
  });

  test("all mistakes at once, each with its place", () => {
    const text = `{ "type": "FeatureCollection", "features": [
  {"type": "Feature", "properties": {"zone": "lake"}, "geometry": null},
  {"type": "Feature", "properties": {"zone": "water", "note": "[,{\\"features\\""}, "geometry": ${JSON.stringify(AREA)}},
    {"type": "Feature", "properties": {}, "geometry": ${JSON.stringify(AREA)}}
] }`;
    expect(linesFor(new TextEncoder().encode(text)).map((line) => line.slice(0, 26))).toEqual([
      "z.geojson:2:3  Feature 1: ",
      "z.geojson:4:5  Feature 3: ",
    ]);
  });
});

describe("files that are no GeoJSON in degrees: one line", () => {
  const system = (name: string) => ({
    type: "FeatureCollection",
    crs: { type: "name", properties: { name } },
    features: [],
  });
  test.each<[unknown, string]>([
    [
      system("urn:ogc:def:crs:EPSG::25832"),
      'z.geojson  the coordinates are in the system "urn:ogc:def:crs:EPSG::25832". GeoJSON is in degrees (RFC 7946): convert the file to EPSG:4326.',
    ],
    [system("EPSG:3857"), "z.geojson  the coordinates are in the system"],
    [
      {
        type: "FeatureCollection",
        features: [
          {
            type: "Feature",
            properties: { zone: "water" },
            geometry: {
              ...AREA,
              coordinates: [
                [
                  [399000, 5662000],
                  [399100, 5662000],
                  [399100, 5662100],
                  [399000, 5662000],
                ],
              ],
            },
          },
        ],
      },
      "z.geojson:1:41  Feature 1: 399000, 5662000 is no position: GeoJSON is longitude, latitude in degrees (RFC 7946).",
    ],
  ])("%j", (value, wanted) => {
    const [line = ""] = linesFor(new TextEncoder().encode(JSON.stringify(value)));
    expect(line.slice(0, wanted.length)).toBe(wanted);
  });

  test.each(["urn:ogc:def:crs:OGC:1.3:CRS84", "urn:ogc:def:crs:EPSG::4326", "EPSG:4326"])("%s is degrees", (name) => {
    expect(parseZones(new TextEncoder().encode(JSON.stringify(system(name))), "z.geojson").zones).toEqual([]);
  });

  test("a bare geometry names no zone, and has no place but the file's", () => {
    expect(linesFor(new TextEncoder().encode(JSON.stringify(AREA)))[0]).toMatch(
      /^z\.geojson {2}Feature 1: it does not say/,
    );
  });

  test("shapes of no size are harmless", () => {
    const flat = {
      type: "Polygon",
      coordinates: [
        [
          [8, 47],
          [8, 47],
          [8, 47],
          [8, 47],
        ],
      ],
    };
    expect(parse([flat, { zone: "water" }]).zones).toHaveLength(1);
  });
});
