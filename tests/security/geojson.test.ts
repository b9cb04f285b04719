import { describe, expect, it } from "vitest";
import { completeHeights } from "../../src/site/default-heights.js";
import { readGeoJson } from "../../src/site/geojson.js";
import { parseObstacles } from "../../src/site/obstacles.js";
import { parseZones } from "../../src/site/zones.js";
import { UserError } from "../../src/user-error.js";

const DEFAULTS = completeHeights({}, () => undefined);
const bytesOf = (text: string): Uint8Array => Buffer.from(text);
const collection = (features: string): string => `{"type":"FeatureCollection","features":[${features}]}`;

function refused(read: () => unknown): string {
  try {
    read();
  } catch (error) {
    if (error instanceof UserError) return error.line;
    throw error;
  }
  throw new Error("it was taken");
}

describe("GeoJSON nested without end", () => {
  it("collections in collections: one line", () => {
    const [open, close] = ['{"type":"GeometryCollection","geometries":[', "]}"];
    const deep = `${open.repeat(5000)}${close.repeat(5000)}`;
    expect(refused(() => readGeoJson(bytesOf(deep), "sent.geojson"))).toMatch(/its geometries are nested over 8 deep/);
  });

  it("lists in lists: one line", () => {
    const deep = `${"[".repeat(200_000)}${"]".repeat(200_000)}`;
    const feature = `{"type":"Feature","geometry":{"type":"Point","coordinates":${deep}},"properties":{}}`;
    expect(refused(() => readGeoJson(bytesOf(collection(feature)), "sent.geojson"))).toMatch(
      /^sent\.geojson:1:\d+ {2}Feature 1: /,
    );
    expect(refused(() => readGeoJson(bytesOf("[".repeat(1_000_000)), "sent.geojson"))).toMatch(/it ends too soon/);
  });

  it("properties in properties: told by what they are, not written out", () => {
    const deep = `${"[".repeat(100_000)}${"]".repeat(100_000)}`;
    const feature = `{"type":"Feature","geometry":{"type":"Point","coordinates":[8,47]},"properties":{"height":${deep}}}`;
    const { problems } = parseObstacles(bytesOf(collection(feature)), "sent.geojson", DEFAULTS);
    expect(problems[0]?.message).toMatch(/has the height \(a list\), which is not understood/);
  });
});

describe("GeoJSON that is wrong again and again", () => {
  it("zones: the first twenty are told, the rest counted, in a moment", () => {
    const wrong = '{"type":"Feature","properties":{},"geometry":null}';
    const text = collection(Array.from({ length: 20_000 }, () => wrong).join(","));
    const began = process.cpuUsage();
    const lines = refused(() => parseZones(bytesOf(text), "sent.geojson")).split("\n");
    expect(process.cpuUsage(began).user / 1e6).toBeLessThan(5);
    expect(lines).toHaveLength(21);
    expect(lines.at(-1)).toBe("sent.geojson  19980 more zones are wrong.");
  });

  it("a value of a megabyte is cut", () => {
    const feature = `{"type":"Feature","geometry":{"type":"Point","coordinates":[8,47]},"properties":{"height":"${"9x".repeat(500_000)}"}}`;
    const { problems } = parseObstacles(bytesOf(collection(feature)), "sent.geojson", DEFAULTS);
    expect(problems[0]?.message.length).toBeLessThan(300);
  });

  it("a text of megabytes in what is no JSON: one line", () => {
    const line = refused(() => readGeoJson(bytesOf(`{"a":"${"x".repeat(5_000_000)}" oops`), "sent.geojson"));
    expect(line).toMatch(/^sent\.geojson:1:\d+ {2}This is not JSON: "o" is out of place\./);
  });
});

it("keys of prototypes are properties like any other", () => {
  const properties =
    '{"__proto__":{"height":99,"polluted":1},"constructor":{"prototype":{"polluted":1}},"tags":{"__proto__":{"height":99}}}';
  const feature = `{"type":"Feature","geometry":{"type":"Point","coordinates":[8,47]},"properties":${properties}}`;
  const { obstacles, problems } = parseObstacles(bytesOf(collection(feature)), "sent.geojson", DEFAULTS);
  expect(obstacles).toEqual([]);
  expect(problems.map(({ code }) => code)).toEqual(["obstacle-no-height"]);
  expect(({} as Record<string, unknown>)["polluted"]).toBeUndefined();
});
