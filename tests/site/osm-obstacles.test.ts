import { describe, expect, test } from "vitest";
import { completeHeights, type DefaultHeights } from "../../src/site/default-heights.js";
import { mergeObstacles, type Obstacle, type ObstacleSet, parseObstacles } from "../../src/site/obstacles.js";
import { TREE_RADIUS_M } from "../../src/site/osm-tags.js";
import { collectionOf } from "./site-helpers.js";

const HERE = { type: "Point", coordinates: [8, 47] };
const WAY = {
  type: "LineString",
  coordinates: [
    [8, 47],
    [8.001, 47],
    [8.002, 47],
  ],
};
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

const parse = (features: readonly (readonly [object, object])[], defaults?: DefaultHeights): ObstacleSet =>
  parseObstacles(collectionOf(features), "map.geojson", defaults);
const one = (tags: object, geometry: object = HERE): Obstacle | undefined => parse([[geometry, tags]]).obstacles[0];

describe("tags of OpenStreetMap", () => {
  test.each<[object, object, Partial<Obstacle>]>([
    [{ building: "yes", height: "12 m" }, AREA, { height_m: 12, isAssumed: false, name: "building 1" }],
    [{ building: "yes", height: "12 m", "building:levels": "2" }, AREA, { height_m: 12, isAssumed: false }],
    [
      { building: "yes", "building:levels": "2" },
      AREA,
      { height_m: 7, isAssumed: true, name: "building 1 (height taken as 7 m)" },
    ],
    [{ building: "yes", "building:levels": 1.5 }, AREA, { height_m: 5.25, isAssumed: true }],
    [
      { "building:part": "yes", "building:levels": "5", "building:min_level": "2" },
      AREA,
      { height_m: 17.5, underside_m: 7 },
    ],
    [
      { "building:part": "yes", height: "17", min_height: "6" },
      AREA,
      { height_m: 17, underside_m: 6, isAssumed: false },
    ],
    [{ building: "yes", height: 9, min_height: 3, underside: 4 }, AREA, { underside_m: 4 }],
    [{ power: "tower", height: "40'" }, HERE, { height_m: 12.192, isAssumed: false, name: "power tower 1" }],
    [{ power: "tower" }, HERE, { height_m: 30, isAssumed: true }],
    [{ power: "pole" }, HERE, { height_m: 30, isAssumed: true }],
    [
      { power: "line", voltage: "110000" },
      WAY,
      { height_m: 30, isAssumed: true, name: "power line 1 (height taken as 30 m)" },
    ],
    [{ power: "minor_line" }, WAY, { height_m: 30, isAssumed: true }],
    [{ man_made: "mast", height: "55" }, HERE, { height_m: 55, name: "mast 1" }],
    [{ man_made: "tower", height: "30 m" }, HERE, { height_m: 30, name: "tower 1" }],
    [{ man_made: "chimney", height: "30 m" }, HERE, { height_m: 30, name: "chimney 1" }],
    [{ man_made: "crane", height: "30 m" }, HERE, { height_m: 30, name: "crane 1" }],
    [{ natural: "tree", height: "8 m" }, HERE, { height_m: 8, isAssumed: false, name: "tree 1" }],
    [{ natural: "tree", name: "Old Oak" }, HERE, { height_m: 20, name: "Old Oak (height taken as 20 m)" }],
    [{ natural: "tree_row" }, WAY, { height_m: 20, isAssumed: true, name: "tree row 1 (height taken as 20 m)" }],
    [{ natural: "wood" }, AREA, { height_m: 25, isAssumed: true, name: "wood 1 (height taken as 25 m)" }],
    [{ landuse: "forest" }, AREA, { height_m: 25, isAssumed: true }],
    [{ landuse: "forest", top: 612 }, AREA, { height_m: undefined, top_m: 612, isAssumed: false }],
    [{ tags: { natural: "tree", height: "8 m" }, "@id": "node/1" }, HERE, { height_m: 8 }],
    [{ tags: { natural: "tree", height: "8 m" }, height: 9 }, HERE, { height_m: 9 }],
    [
      { "generator:source": "wind", "height:hub": "90 m", "rotor:diameter": "82" },
      HERE,
      { height_m: 131, name: "wind turbine 1" },
    ],
    [
      { "generator:source": "wind", "height:hub": "90 m", "rotor:diameter": "82", height: 120 },
      HERE,
      { height_m: 120 },
    ],
  ])("%j", (tags, geometry, wanted) => {
    expect(one(tags, geometry)).toMatchObject(wanted);
  });

  test("radius: of a crown, of a rotor, by kind", () => {
    const wide = (tags: object, geometry: object = HERE) => one(tags, geometry)?.shapes[0]?.radius_m;
    expect(wide({ natural: "tree" })).toBe(TREE_RADIUS_M);
    expect(wide({ natural: "tree_row" }, WAY)).toBe(TREE_RADIUS_M);
    expect(wide({ natural: "tree", diameter_crown: "9 m" })).toBe(4.5);
    expect(wide({ natural: "tree", diameter_crown: "9 m", radius: 2 })).toBe(2);
    expect(wide({ "generator:source": "wind", "height:hub": 90, "rotor:diameter": "82" })).toBe(41);
    expect(wide({ natural: "wood" }, AREA)).toBe(0);
  });

  test.each([
    [{ building: "yes" }, AREA, ["obstacle-no-height"]],
    [{ man_made: "mast" }, HERE, ["obstacle-no-height"]],
    [{ man_made: "crane", height: "tall" }, HERE, ["obstacle-bad-length", "obstacle-no-height"]],
    [{ building: "yes", "building:levels": "2;3" }, AREA, ["obstacle-no-height"]],
    [{ building: "yes", "building:levels": "9".repeat(400) }, AREA, ["obstacle-no-height"]],
    [{ "generator:source": "wind", "rotor:diameter": 82 }, HERE, ["obstacle-no-height"]],
    [{ highway: "track" }, WAY, ["obstacle-no-height"]],
    [{ "generator:source": "wind", "height:hub": 90 }, HERE, ["obstacle-no-rotor"]],
    [{ "generator:source": "solar", "height:hub": 90 }, HERE, ["obstacle-no-height"]],
  ])("%j: %j", (tags, geometry, codes) => {
    expect(parse([[geometry, tags]]).problems.map(({ code }) => code)).toEqual(codes);
  });
});

describe("a thing without height", () => {
  test.each([
    ["a building", { building: "yes" }, AREA],
    ["a mast by its tag", { man_made: "mast", operator: "nobody" }, HERE],
    ["a height that is not understood", { highway: "gantry", height: "tall" }, HERE],
    ["nothing but a name", { name: "old mast" }, HERE],
    ["nothing at all", {}, HERE],
    ["a radius of ours", { note: "?", radius: 4 }, HERE],
  ])("counts with a height that is not known: %s", (_, tags, geometry) => {
    const obstacle = one(tags, geometry);
    expect(obstacle).toMatchObject({ height_m: undefined, top_m: undefined, isAssumed: true });
    expect(obstacle?.name).toMatch(/\(height not known\)$/);
  });

  test.each([
    ["a road", { highway: "track", name: "Meadow Lane" }, WAY],
    ["a meadow", { landuse: "meadow" }, AREA],
    ["a border", { boundary: "administrative" }, WAY],
    ["a pond", { natural: "water" }, AREA],
    ["solar panels", { "generator:source": "solar" }, AREA],
  ])("is left out where the map does not say that it stands: %s", (_, tags, geometry) => {
    const { obstacles, problems } = parse([[geometry, tags]]);
    expect(obstacles).toEqual([]);
    expect(problems.at(-1)?.message).toMatch(/is left out\.$/);
  });
});

describe("wires hang from their towers", () => {
  const tower = (longitude: number, more: object = {}) =>
    [
      { type: "Point", coordinates: [longitude, 47] },
      { power: "tower", ...more },
    ] as const;
  const wire = [WAY, { power: "line" }] as const;
  const lineOf = (features: readonly (readonly [object, object])[]) => parse(features).obstacles.at(-1);

  test("the highest of them, where the map has all their heights", () => {
    const all = [tower(8, { height: 18 }), tower(8.001, { height: "22 m" }), tower(8.002, { height: 16 }), wire];
    expect(lineOf(all)).toMatchObject({ height_m: 22, isAssumed: false, name: "power line 4" });
  });

  test("at least the default, where some are not known", () => {
    expect(lineOf([tower(8, { height: 18 }), tower(8.001), wire])).toMatchObject({ height_m: 30, isAssumed: true });
    expect(lineOf([tower(8, { height: 48 }), tower(8.001), wire])).toMatchObject({ height_m: 48, isAssumed: false });
  });

  test("a height of its own goes before", () => {
    expect(lineOf([tower(8, { height: 48 }), [WAY, { power: "line", height: 40 }]])).toMatchObject({ height_m: 40 });
  });
});

describe("default heights", () => {
  const trees = [
    [HERE, { natural: "tree" }],
    [WAY, { natural: "tree_row" }],
    [HERE, { natural: "tree", height: 4 }],
  ] as const;

  test("each use is counted and said", () => {
    const { problems, defaults } = parse([...trees, [AREA, { building: "yes", "building:levels": 3 }]]);
    expect(problems.map(({ severity, message }) => `${severity}: ${message}`)).toEqual([
      "note: map.geojson: 2 trees or tree rows without height taken as 20 m (project default; site.default_heights.trees declares it).",
      "note: map.geojson: 1 building known by its levels without height taken as 3.5 m a level (project default; site.default_heights.level declares it).",
    ]);
    expect(defaults).toEqual([
      { kind: "trees", count: 2, value_m: 20, basis: "assumed", from: "project default" },
      { kind: "level", count: 1, value_m: 3.5, basis: "assumed", from: "project default" },
    ]);
  });

  test("a declared one is no assumption", () => {
    const declared = completeHeights({ trees: 9 }, () => "homeleg.yaml:14");
    const { obstacles, problems, defaults } = parse(trees, declared);
    expect(obstacles.map(({ height_m, isAssumed }) => [height_m, isAssumed])).toEqual([
      [9, false],
      [9, false],
      [4, false],
    ]);
    expect(problems[0]?.message).toBe(
      "map.geojson: 2 trees or tree rows without height taken as 9 m (homeleg.yaml:14).",
    );
    expect(defaults[0]).toMatchObject({ basis: "declared", from: "homeleg.yaml:14" });
    expect(completeHeights({ trees: 9 }).woods).toEqual({ value_m: 25, basis: "assumed", from: "project default" });
  });

  test("several files add up", () => {
    const merged = mergeObstacles([parse(trees), parse(trees), parse([[AREA, { natural: "wood" }]])]);
    expect(merged.defaults.map(({ kind, count }) => [kind, count])).toEqual([
      ["trees", 4],
      ["woods", 1],
    ]);
  });

  test("what is left out uses none", () => {
    expect(parse([[{ type: "MultiPoint", coordinates: [] }, { natural: "tree" }]]).defaults).toEqual([]);
  });
});

describe("odd numbers", () => {
  test("a decimal comma is understood and noted; thousands are not guessed", () => {
    const { obstacles, problems } = parse([
      [HERE, { height: "12,5 m" }],
      [HERE, { height: "0,8" }],
      [HERE, { height: "1,200 ft" }],
    ]);
    expect(obstacles.map(({ height_m }) => height_m)).toEqual([12.5, 0.8, undefined]);
    expect(problems.map(({ severity, code }) => [severity, code])).toEqual([
      ["note", "obstacle-decimal-comma"],
      ["note", "obstacle-decimal-comma"],
      ["warning", "obstacle-bad-length"],
      ["warning", "obstacle-no-height"],
    ]);
    expect(problems[0]?.message).toBe(
      `map.geojson: feature 1 (obstacle 1) has the height "12,5 m", taken as 12.5 m: write a dot.`,
    );
  });

  test("the height of a position is said not to count, unless it is 0", () => {
    const codes = (z: number) =>
      parse([[{ type: "Point", coordinates: [8, 47, z] }, { height: 5 }]]).problems.map(({ code }) => code);
    expect(codes(480)).toEqual(["obstacle-position-height"]);
    expect(codes(0)).toEqual([]);
  });

  test("five problems of a kind are told, the rest counted", () => {
    const roads = Array.from({ length: 8 }, () => [WAY, { highway: "track" }] as const);
    const { problems } = parse(roads);
    expect(problems).toHaveLength(6);
    expect(problems.at(-1)?.message).toBe("map.geojson: 3 more features of this kind (obstacle-no-height).");
    expect(parse(roads.slice(0, 6)).problems.at(-1)?.message).toMatch(/: 1 more feature of this kind/);
    expect(parse(roads.slice(0, 5)).problems).toHaveLength(5);
  });
});
