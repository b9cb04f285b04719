import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { distance_m, line, pointAlong } from "../../src/num/geodesic.js";
import { buildSite } from "../../src/site/build-site.js";
import { cutLeg, LegFrame, pieceCount } from "../../src/site/leg-frame.js";
import { parseObstacles } from "../../src/site/obstacles.js";
import { highestUnder, metresPerDegree, surface } from "../oracles/site-brute-force.js";
import { gridOfAscii } from "./raster-helpers.js";
import { blank, clearance, gridOf, obstaclesOf, onGrid, onPlain, PLACE, point, spot, zonesOf } from "./site-helpers.js";

const NO = Number.NaN;
const NO_GROUND = { ground_m: NO, latitude_deg: NO, longitude_deg: NO, seen_share: NO };
const NOTHING_CROSSED = { inside_m: 9, entered_m: 9, isTouched: true, zone: 9, isStillInside: false };

describe("what is known of the ground", () => {
  const flat = [0, 0, 0, 0, 0, 0];
  const holed = onGrid(gridOf([flat, [0, 0, 0, NO, 0, 0], flat, flat], 30));

  test("a void cell on the way: the share of the centre line that is known", () => {
    // Of 120 m, the two cells round the void node take 60 m.
    const out = clearance(holed, [15, 50], [135, 50], { corridor_m: 2 });
    expect(out.groundSeen_share).toBeCloseTo(0.5, 6);
    expect(out.centre_m).toBe(100);
  });

  test("a void in the corridor alone: almost all, never all", () => {
    expect(clearance(holed, [15, 25], [135, 25], { corridor_m: 8 }).groundSeen_share).toBe(0.999);
    expect(clearance(holed, [15, 20], [135, 20], { corridor_m: 8 }).groundSeen_share).toBe(1);
    expect(clearance(holed, [10, 75], [45, 75], { corridor_m: 8 }).groundSeen_share).toBe(1);
    expect(clearance(holed, [10, 75], [55, 75], { corridor_m: 8 }).groundSeen_share).toBe(0.999);
  });

  test("a whole void in a wide corridor, edges of which touch none of it", () => {
    const wide = Array.from({ length: 20 }, (_, j) =>
      Array.from({ length: 20 }, (_, i) => (i === 9 && j === 9 ? NO : 0)),
    );
    const site = onGrid(gridOf(wide, 10));
    expect(clearance(site, [70, 60], [130, 60], { corridor_m: 29 }).groundSeen_share).toBe(1);
    expect(clearance(site, [70, 60], [130, 60], { corridor_m: 55 }).groundSeen_share).toBe(0.999);
  });

  test("along the edge of a void the line is known, its corridor is not", () => {
    const out = clearance(holed, [15, 30], [135, 30], { corridor_m: 2 });
    expect(out.centre_m).toBe(100);
    expect(out.groundSeen_share).toBe(0.999);
  });

  test.each<[number, number, number, number, number]>([
    [10, 30, 140, 30, 4],
    [10, 60, 140, 60, 6],
    [140, 60, 10, 60, 6],
    [60, 10, 60, 80, 6],
    [90, 0, 90, 80, 5],
    [90, 80, 90, 0, 5],
  ])("along each side of a void, from %d, %d to %d, %d: the highest is %d", (x1, y1, x2, y2, highest) => {
    // One void node, 90 m east and 60 m north; its four cells are unknown, their rims are not.
    const map = [
      [0, 0, 6, 5, 0, 0],
      [0, 6, 6, NO, 0, 0],
      [0, 0, 4, 4, 0, 0],
      [0, 0, 0, 5, 0, 0],
    ];
    const out = clearance(onGrid(gridOf(map, 30)), [x1, y1], [x2, y2], { corridor_m: 0 });
    expect(out.centre_m).toBeCloseTo(100 - highest, 6);
  });

  test("a known node in a void counts", () => {
    const site = onGrid(
      gridOf(
        [
          [NO, NO, NO],
          [NO, 40, NO],
          [NO, NO, NO],
        ],
        30,
      ),
    );
    const out = clearance(site, [5, 28], [55, 28], { path_m: 100, corridor_m: 8 });
    expect(out).toMatchObject({ centre_m: Infinity, corridor_m: 60, groundSeen_share: 0 });
  });

  test("over the edge of the grid, and beside it", () => {
    const site = onGrid(gridOf([flat, flat, flat], 30));
    expect(clearance(site, [75, 30], [225, 30]).groundSeen_share).toBeCloseTo(0.5, 6);
    expect(clearance(site, [-75, 30], [75, 30]).groundSeen_share).toBeCloseTo(0.5, 6);
    expect(clearance(site, [10, 30], [145, 30]).groundSeen_share).toBe(0.999);
    expect(clearance(site, [10, 30], [141, 30]).groundSeen_share).toBe(1);
    const away = clearance(site, [300, 30], [400, 30]);
    expect(away).toMatchObject({ centre_m: Infinity, corridor_m: Infinity, over: -1, groundSeen_share: 0 });
  });

  test("a leg exactly along the edge of the grid is on it", () => {
    const out = clearance(onGrid(gridOf([flat, flat, flat], 30)), [0, 60], [150, 60], { corridor_m: 0 });
    expect(out).toMatchObject({ centre_m: 100, groundSeen_share: 1 });
  });

  test("a coordinate or a path that is not known leaves both clearances not known", () => {
    const out = blank();
    holed.legClearance(
      { from: spot(10, 10), to: { latitude_deg: NO, longitude_deg: 8 }, path_m: 50, corridor_m: 8 },
      out,
    );
    expect(out).toMatchObject({ centre_m: NO, corridor_m: NO, over: -1, groundSeen_share: 0 });
    expect(clearance(onPlain(), [0, 0], [10, 0], { path_m: NO }).centre_m).toBeNaN();
  });
});

describe("several grids, the finest first", () => {
  const fine = gridOf(
    [
      [1, 1, 1, 1],
      [1, 1, NO, 1],
      [1, 1, 1, 1],
      [1, 1, 1, 1],
    ],
    10,
    spot(40, 40),
  );
  const coarse = gridOf(
    Array.from({ length: 4 }, () => [5, 5, 5, 5]),
    40,
  );
  const grids = (...list: (typeof fine)[]) =>
    buildSite({
      terrain: { kind: "grids", grids: list.map((grid) => ({ grid, surface: false, error_m: 0 })) },
      obstacles: undefined,
    });
  const site = grids(fine, coarse);

  test("a spot takes the first that knows it", () => {
    const at = (east: number, north: number) =>
      site.ground(spot(east, north).latitude_deg, spot(east, north).longitude_deg);
    expect(at(45, 45)).toBe(1);
    expect(at(58, 58)).toBe(5);
    expect(at(20, 20)).toBe(5);
    expect(at(200, 20)).toBeNaN();
  });

  test("a leg does, stretch by stretch", () => {
    expect(clearance(site, [44, 45], [66, 45], { corridor_m: 3 })).toMatchObject({
      centre_m: 99,
      corridor_m: 99,
      groundSeen_share: 1,
    });
    expect(clearance(site, [42, 45], [80, 45], { corridor_m: 3 })).toMatchObject({
      centre_m: 95,
      corridor_m: 95,
      groundSeen_share: 1,
    });
    expect(clearance(site, [42, 45], [65, 45], { corridor_m: 7 })).toMatchObject({
      centre_m: 99,
      corridor_m: 95,
      groundSeen_share: 1,
    });
    // Through the void of the fine grid.
    expect(clearance(site, [42, 58], [68, 58], { corridor_m: 1 })).toMatchObject({ centre_m: 95, groundSeen_share: 1 });
    expect(clearance(site, [60, 20], [180, 20]).groundSeen_share).toBeCloseTo(0.5, 6);
  });

  test("the coarse one counts only where the fine one does not know", () => {
    // The peak stands on the south-western corner of the fine grid, its flanks reach under it.
    const peak = gridOf(
      [
        [0, 0, 0, 0],
        [0, 0, 0, 0],
        [0, 50, 0, 0],
        [0, 0, 0, 0],
      ],
      40,
    );
    const both = grids(fine, peak);
    expect(clearance(both, [48, 45], [60, 45], { corridor_m: 4 })).toMatchObject({ centre_m: 99, corridor_m: 99 });
    const over = clearance(both, [48, 45], [60, 45], { corridor_m: 6 });
    // Along the southern edge, from 42 m: 2 m down the flank of 40 m.
    expect(over.corridor_m).toBeCloseTo(100 - 50 * (38 / 40), 3);
    expect(over).toMatchObject({ centre_m: 99, groundSeen_share: 1 });
  });

  test("what none knows stays unknown", () => {
    const holes = gridOf(
      [
        [NO, NO, NO, NO],
        [NO, NO, NO, NO],
        [5, 5, 5, 5],
        [5, 5, 5, 5],
      ],
      40,
    );
    const both = grids(fine, holes);
    expect(clearance(both, [42, 58], [68, 58], { corridor_m: 1 }).groundSeen_share).toBeLessThan(0.7);
    expect(clearance(both, [44, 45], [66, 45], { corridor_m: 3 }).groundSeen_share).toBe(1);
    expect(clearance(both, [42, 45], [68, 45], { corridor_m: 30 }).groundSeen_share).toBe(0.999);
  });

  test("a surface where all are, the largest error", () => {
    const pair = (surfaces: [boolean, boolean]) =>
      buildSite({
        terrain: {
          kind: "grids",
          grids: [
            { grid: fine, surface: surfaces[0], error_m: 1 },
            { grid: coarse, surface: surfaces[1], error_m: 4 },
          ],
        },
        obstacles: undefined,
      });
    expect(pair([true, true])).toMatchObject({
      isSurface: true,
      terrainError_m: 4,
      hasTerrain: true,
      isFlat: false,
      hasObstacles: false,
    });
    expect(pair([true, false]).isSurface).toBe(false);
  });

  test("a polygon across both stands on the highest of either", () => {
    const set = parseObstacles(
      new TextEncoder().encode(
        JSON.stringify({
          type: "Feature",
          properties: { height: 10 },
          geometry: {
            type: "Polygon",
            coordinates: [
              [
                [45, 45],
                [90, 45],
                [90, 50],
                [45, 50],
              ].map(([x, y]) => [spot(x ?? 0, 0).longitude_deg, spot(0, y ?? 0).latitude_deg]),
            ],
          },
        }),
      ),
      "o",
    );
    const both = buildSite({
      terrain: { kind: "grids", grids: [fine, coarse].map((grid) => ({ grid, surface: false, error_m: 0 })) },
      obstacles: set,
    });
    expect(clearance(both, [42, 48], [60, 48], { corridor_m: 1 })).toMatchObject({ centre_m: 85, groundSeen_share: 1 });
  });
});

describe("the ground a person stands on", () => {
  const map = [
    [9, 9, 9, 9, 9],
    [9, 9, 9, 9, 2],
    [9, 9, 8, 9, 9],
    [9, 3, 9, 9, 9],
    [9, 9, 9, 9, 9],
  ];
  const stand = (surface: boolean, east: number, north: number) => {
    const { latitude_deg, longitude_deg } = spot(east, north);
    return onGrid(gridOf(map, 10), { surface }).standingGround(latitude_deg, longitude_deg);
  };

  test("on a surface the lowest node within 15 m, else the spot", () => {
    expect(stand(true, 20, 20)).toBeCloseTo(3, 9);
    expect(stand(true, 25, 25)).toBeCloseTo(8, 9);
    expect(stand(true, 0, 40)).toBeCloseTo(9, 9);
    expect(stand(false, 20, 20)).toBeCloseTo(8, 9);
  });

  test("or the spot itself, where the nodes are farther", () => {
    const sparse = onGrid(
      gridOf(
        [
          [0, 60],
          [0, 60],
        ],
        60,
      ),
      { surface: true },
    );
    const { latitude_deg, longitude_deg } = spot(30, 30);
    expect(sparse.standingGround(latitude_deg, longitude_deg)).toBeCloseTo(30, 6);
  });

  test("off the grid it is not known; on a plain it is 0", () => {
    expect(stand(true, 200, 20)).toBeNaN();
    expect(onPlain().standingGround(47, 8)).toBe(0);
    expect(onPlain().ground(47, NO)).toBeNaN();
  });
});

describe("long legs follow the geodesic", () => {
  const frame = new LegFrame();

  test.each([
    [0, 8, 60, 500],
    [47, 8, 90, 600],
    [47, 8, 45, 30_000],
    [-60, 179.9, 70, 20_000],
    [80, 8, 120, 8000],
    [70, 8, 0, 50_000],
  ])("from %d, %d on course %d over %d m: each piece within 0.1 m of it", (lat, lon, course, length) => {
    const end = pointAlong(lat, lon, course, length);
    frame.set(lat, lon, end.latitude_deg, end.longitude_deg);
    const count = pieceCount(frame);
    const points = cutLeg(
      { from: { latitude_deg: lat, longitude_deg: lon }, to: end, path_m: 0, corridor_m: 0 },
      count,
    );
    expect(points).toHaveLength(count + 1);
    for (const [k, from] of points.slice(0, -1).entries()) {
      const to = points[k + 1] ?? from;
      frame.set(from.latitude_deg, from.longitude_deg, to.latitude_deg, to.longitude_deg);
      for (const share of [0.2, 0.4, 0.5, 0.6, 0.8]) {
        const on = line(from.latitude_deg, from.longitude_deg, to.latitude_deg, to.longitude_deg);
        const along = pointAlong(from.latitude_deg, from.longitude_deg, on.course_deg, on.distance_m * share);
        const turn = 360 * Math.round((from.longitude_deg - along.longitude_deg) / 360);
        expect(Math.abs(frame.across_m(along.longitude_deg + turn, along.latitude_deg))).toBeLessThanOrEqual(0.1);
      }
    }
    // Not finer than needed: half as many would stray.
    if (count > 1)
      expect(count).toBeLessThan(
        2 +
          (length / 1000) * Math.sqrt(Math.tan((Math.max(Math.abs(lat), Math.abs(end.latitude_deg)) * Math.PI) / 180)),
      );
  });

  test("600 m at the latitudes that people fly is one piece", () => {
    frame.set(64, 8, 64, 8.0122);
    expect(frame.length_m).toBeGreaterThan(590);
    expect(pieceCount(frame)).toBe(1);
  });

  test("a mast on the geodesic is met, one on the straight line of the map is not", () => {
    const from = { latitude_deg: 60, longitude_deg: 8 };
    const to = { latitude_deg: 60, longitude_deg: 8.36 };
    const { distance_m: length, course_deg } = line(60, 8, 60, 8.36);
    const middle = pointAlong(60, 8, course_deg, length / 2);
    expect(distance_m(middle.latitude_deg, middle.longitude_deg, 60, 8.18)).toBeGreaterThan(13);
    const ask = (at: { latitude_deg: number; longitude_deg: number }) => {
      const geometry = { type: "Point", coordinates: [at.longitude_deg, at.latitude_deg] };
      const out = blank();
      onPlain(obstaclesOf([geometry, { height: 40, radius: 0.2 }])).legClearance(
        { from, to, path_m: 50, corridor_m: 8 },
        out,
      );
      return out;
    };
    expect(ask(middle)).toMatchObject({ centre_m: 10, corridor_m: 10 });
    expect(ask({ latitude_deg: 60, longitude_deg: 8.18 })).toMatchObject({
      centre_m: 50,
      corridor_m: 50,
      groundSeen_share: 1,
    });
  });

  test.each([
    ["a way of 99 km is", 0.89, true],
    ["a way of 101 km is not: it is not known, and not clear,", 0.91, false],
    ["nor is one that ends at the pole,", 43, false],
  ])("%s followed", (_, north_deg, isFollowed) => {
    const zones = zonesOf([point([20, 0]), { zone: "keep-out", radius: 5 }]);
    const site = onPlain(obstaclesOf([point([20, 0]), { height: 60 }]), zones);
    const from = { latitude_deg: PLACE.latitude_deg, longitude_deg: PLACE.longitude_deg };
    const leg = { from, to: { ...from, latitude_deg: from.latitude_deg + north_deg }, path_m: 50, corridor_m: 30 };
    const [out, crossed, lowest] = [blank(), { ...NOTHING_CROSSED }, { ...NO_GROUND }];
    site.legClearance(leg, out);
    site.keepOut(leg, crossed);
    site.lowestGround(leg, lowest);
    expect([out.corridor_m, out.groundSeen_share]).toEqual(isFollowed ? [-10, 1] : [NO, NO]);
    expect([crossed.inside_m, crossed.isTouched]).toEqual(isFollowed ? [0, true] : [NO, false]);
    expect([lowest.ground_m, lowest.seen_share]).toEqual(isFollowed ? [0, 1] : [Infinity, 0]);
    onPlain(undefined, zonesOf([point([20, 0]), { zone: "water", radius: 5 }])).keepOut(leg, crossed);
    expect(crossed).toMatchObject({ inside_m: 0, entered_m: 0, isTouched: false });
  });

  test("near a pole no piece is shorter than what it may stray", () => {
    frame.set(90, 8, 89.9999, 8);
    expect(pieceCount(frame)).toBe(112);
    frame.set(90, 8, 89.9, 8);
    expect(pieceCount(frame)).toBe(2000);
    frame.set(90, 8, 90, 8);
    expect(pieceCount(frame)).toBe(1);
  });

  test("at the pole nothing is torn", () => {
    const out = blank();
    onPlain().legClearance(
      {
        from: { latitude_deg: 90, longitude_deg: 0 },
        to: { latitude_deg: 89.999, longitude_deg: 90 },
        path_m: 50,
        corridor_m: 8,
      },
      out,
    );
    expect(out).toMatchObject({ centre_m: 50, corridor_m: 50 });
  });
});

describe("a profile along the way", () => {
  test("says where something stands whose height is not known", () => {
    const set = obstaclesOf([point([41, 0]), { radius: 0.1 }], [point([81, 0]), { height: 20, radius: 0.1 }]);
    const profile = onPlain(set).profile({ from: spot(10, 0), to: spot(170, 0), path_m: 0, corridor_m: 8 }, 16);
    expect([...profile.hasUnknownTop]).toEqual([0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]);
    expect(profile.obstacleTop_m[3]).toBeNaN();
    expect(profile.obstacleTop_m[7]).toBeCloseTo(20, 9);
  });

  test("each stretch with its highest ground and top, so that no mast falls between samples", () => {
    const row = [0, 0, 0, 60, 0, 0, 0];
    const set = obstaclesOf([point([41, 60]), { height: 20, radius: 0.1 }]);
    const site = onGrid(gridOf([row, row, row, row, row], 30), { obstacles: set });
    const profile = site.profile({ from: spot(10, 60), to: spot(170, 60), path_m: 0, corridor_m: 8 }, 16);
    expect(profile.along_m[0]).toBeCloseTo(5, 3);
    expect(profile.along_m[15]).toBeCloseTo(155, 2);
    expect(profile.ground_m[0]).toBeCloseTo(0, 9);
    // 80 m to 90 m from the west end of the grid, then over the wall.
    expect(profile.ground_m[7]).toBeCloseTo(60, 2);
    expect(profile.ground_m[6]).toBeCloseTo(40, 2);
    expect(profile.obstacleTop_m[3]).toBeCloseTo(20, 9);
    expect(profile.obstacleTop_m.filter((top) => !Number.isNaN(top))).toHaveLength(1);
    expect(profile.longitude_deg[0]).toBeCloseTo(spot(15, 60).longitude_deg, 7);
    expect(profile.latitude_deg[0]).toBeCloseTo(spot(15, 60).latitude_deg, 7);
  });

  test("unknown ground is NaN", () => {
    const site = onGrid(
      gridOf(
        [
          [1, 1],
          [1, 1],
        ],
        30,
      ),
    );
    const profile = site.profile({ from: spot(10, 10), to: spot(52, 10), path_m: 0, corridor_m: 0 }, 4);
    expect([...profile.ground_m]).toEqual([1, 1, NO, NO]);
  });
});

describe("real terrain: the Maunga Whau grid", async () => {
  const file = readFileSync(new URL("../../node_modules/vega-datasets/data/volcano.json", import.meta.url), "utf8");
  const data: { width: number; height: number; values: number[] } = JSON.parse(file);
  // The file's rows run south to north along the map's columns, from the west: its column is the map's row from the south.
  const node = (east: number, north: number): number => data.values[east * data.width + north] ?? Number.NaN;
  const columns = data.height;
  const rows = data.width;
  const per = metresPerDegree(-36.88);
  const [west, south, stepEast, stepNorth] = [20.5, -36.88, 10 / per.east, 10 / per.north];
  const lines = Array.from({ length: rows }, (_, k) =>
    Array.from({ length: columns }, (_, i) => node(i, rows - 1 - k)).join(" "),
  );
  const header = `ncols ${columns}\nnrows ${rows}\nxllcenter ${west}\nyllcenter ${south}\ndx ${stepEast}\ndy ${stepNorth}\n`;
  const grid = await gridOfAscii(header + lines.join("\n"));
  const site = onGrid(grid);
  const oracle = { columns, rows, west, south, stepEast, stepNorth, heights: grid.heights_m };
  const at = (east_m: number, north_m: number) => ({
    latitude_deg: south + north_m / per.north,
    longitude_deg: west + east_m / per.east,
  });

  test("facts of the data: 61 × 87 nodes, 600 m by 860 m, the top of 195 m once", () => {
    expect(grid).toMatchObject({ columns: 61, rows: 87 });
    expect(Math.max(...grid.heights_m)).toBe(195);
    expect(grid.heights_m.indexOf(195)).toBe(19 * 61 + 30);
    expect(grid.heights_m.indexOf(195)).toBe(grid.heights_m.lastIndexOf(195));
    expect(site.ground(at(0, 0).latitude_deg, at(0, 0).longitude_deg)).toBeCloseTo(103, 9);
    expect(site.ground(at(0, 860).latitude_deg, at(0, 860).longitude_deg)).toBeCloseTo(94, 6);
    expect(site.ground(at(600, 0).latitude_deg, at(600, 0).longitude_deg)).toBeCloseTo(100, 6);
    expect(site.ground(at(600, 860).latitude_deg, at(600, 860).longitude_deg)).toBeCloseTo(97, 6);
  });

  test("bilinear at column 20.5, row 20.5: 188.0", () => {
    const { latitude_deg, longitude_deg } = at(205, 205);
    expect(site.ground(latitude_deg, longitude_deg)).toBeCloseTo(188, 6);
    expect(surface(oracle, longitude_deg, latitude_deg)).toBeCloseTo(188, 6);
  });

  test("straight over the top", () => {
    const out = blank();
    site.legClearance({ from: at(300, 20), to: at(300, 840), path_m: 200, corridor_m: 8 }, out);
    expect(out.centre_m).toBeCloseTo(5, 3);
    expect(out.corridor_m).toBeCloseTo(5, 3);
    expect(out.latitude_deg).toBeCloseTo(at(300, 190).latitude_deg, 6);
    expect(out).toMatchObject({ over: -1, groundSeen_share: 1 });
  });

  test("legs from all round to one point, against boxes cut in half: ridge heights, and the failing stretch", () => {
    const home = at(480, 640);
    const failing: boolean[] = [];
    for (let k = 0; k < 60; k += 2) {
      const from = at(100 + 380 * Math.abs(Math.sin(k / 19)), 40 + 10 * k);
      const out = blank();
      site.legClearance({ from, to: home, path_m: 150, corridor_m: 8 }, out);
      const leg = {
        from: [from.longitude_deg, from.latitude_deg],
        to: [home.longitude_deg, home.latitude_deg],
      } as const;
      const centre = 150 - highestUnder(oracle, leg, 0);
      const corridor = 150 - highestUnder(oracle, leg, 8);
      expect(Math.abs(out.centre_m - centre)).toBeLessThan(1e-3);
      expect(Math.abs(out.corridor_m - corridor)).toBeLessThan(1e-3);
      expect(out.centre_m).toBeLessThanOrEqual(centre + 1e-6);
      failing.push(out.centre_m < 0);
    }
    // Some of the ways home are under the rim, some are not.
    expect(failing).toContain(true);
    expect(failing).toContain(false);
  });
});

test("a site asked twice answers the same", () => {
  const site = onGrid(
    gridOf(
      [
        [1, 2, 3],
        [4, 5, 6],
        [7, 8, 9],
      ],
      30,
    ),
    { obstacles: obstaclesOf([point([30, 30]), { height: 9 }]) },
  );
  const first = clearance(site, [10, 10], [50, 40]);
  clearance(site, [50, 10], [10, 50], { path_m: 3 });
  expect(clearance(site, [10, 10], [50, 40])).toEqual(first);
  expect(PLACE.latitude_deg).toBe(47);
});
