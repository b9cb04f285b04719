import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type BuiltSite, buildSite } from "../../src/site/build-site.js";
import { parseObstacles } from "../../src/site/obstacles.js";
import { UserError } from "../../src/user-error.js";
import {
  blank,
  type Metres,
  clearance,
  gridOf,
  lineOf,
  obstaclesOf,
  onGrid,
  onPlain,
  point,
  polygon,
  spot,
  square,
} from "./site-helpers.js";

/** A leg of 200 m due east. */
const east = (site: BuiltSite, path_m: number, corridor_m = 8) =>
  clearance(site, [0, 0], [200, 0], { path_m, corridor_m });

describe("a point is a disc", () => {
  const mast = (north: number, east_m = 100, radius = 2) =>
    onPlain(obstaclesOf([point([east_m, north]), { height: 40, name: "mast", radius }]));

  test("on the centre line, in the corridor, outside", () => {
    expect(east(mast(0), 50)).toMatchObject({ centre_m: 10, corridor_m: 10, over: 0, groundSeen_share: 1 });
    expect(east(mast(1.9), 50)).toMatchObject({ centre_m: 10, corridor_m: 10 });
    expect(east(mast(2.1), 50)).toMatchObject({ centre_m: 50, corridor_m: 10, over: 0 });
    expect(east(mast(-9.9), 50)).toMatchObject({ centre_m: 50, corridor_m: 10, over: 0 });
    expect(east(mast(10.1), 50)).toMatchObject({ centre_m: 50, corridor_m: 50, over: -1 });
  });

  test("touching counts", () => {
    expect(east(mast(2), 50).centre_m).toBe(10);
    expect(east(mast(10), 50).corridor_m).toBe(10);
  });

  test("before and beyond the ends: the centre line ends there, the corridor reaches 8 m on", () => {
    expect(east(mast(0, 201.9), 50)).toMatchObject({ centre_m: 10, corridor_m: 10 });
    expect(east(mast(0, 202.1), 50)).toMatchObject({ centre_m: 50, corridor_m: 10 });
    expect(east(mast(0, -9.9), 50)).toMatchObject({ centre_m: 50, corridor_m: 10 });
    expect(east(mast(0, -10.1), 50)).toMatchObject({ centre_m: 50, corridor_m: 50 });
    // Off the corner of the rectangle by 1.5 m both ways: 2.12 m away.
    expect(east(mast(9.5, 209.5), 50).corridor_m).toBe(50);
    expect(east(mast(9.5, 209.5, 2.2), 50).corridor_m).toBe(10);
  });

  test("where it stands is told", () => {
    const at = spot(100, 5);
    const out = east(mast(5), 50);
    expect(out.latitude_deg).toBeCloseTo(at.latitude_deg, 8);
    expect(out.longitude_deg).toBeCloseTo(at.longitude_deg, 8);
  });

  test("under its top the clearance is below 0", () => {
    expect(east(mast(0), 30)).toMatchObject({ centre_m: -10, corridor_m: -10 });
  });

  test("a leg without length is a point, its corridor a square", () => {
    const here = (north: number) => clearance(mast(north), [100, 0], [100, 0], { path_m: 50 });
    expect(here(1)).toMatchObject({ centre_m: 10, corridor_m: 10, groundSeen_share: 1 });
    expect(here(9)).toMatchObject({ centre_m: 50, corridor_m: 10 });
    expect(here(11)).toMatchObject({ centre_m: 50, corridor_m: 50 });
  });
});

describe("a line is buffered by its radius", () => {
  const wire = (...at: Metres[]) => onPlain(obstaclesOf([lineOf(...at), { height: 30 }]));

  test("across, alongside, short of the way", () => {
    expect(east(wire([100, -50], [110, 50]), 35)).toMatchObject({ centre_m: 5, corridor_m: 5 });
    expect(east(wire([0, 0.4], [200, 0.4]), 35)).toMatchObject({ centre_m: 5, corridor_m: 5 });
    expect(east(wire([0, 0.6], [200, 0.6]), 35)).toMatchObject({ centre_m: 35, corridor_m: 5 });
    expect(east(wire([100, 8.4], [100, 50]), 35)).toMatchObject({ centre_m: 35, corridor_m: 5 });
    expect(east(wire([100, 8.6], [100, 50]), 35)).toMatchObject({ centre_m: 35, corridor_m: 35 });
  });

  test("over sloping ground its top is that of the piece in the way", () => {
    // Ground rises 1 m in 10 m to the north; the wire runs north.
    const map = Array.from({ length: 21 }, (_, k) => Array.from({ length: 21 }, () => 20 - k));
    const set = obstaclesOf([lineOf([100, 20], [100, 180]), { height: 30, radius: 1 }]);
    const out = clearance(onGrid(gridOf(map, 10), { obstacles: set }), [20, 100], [180, 100], { path_m: 60 });
    expect(out.centre_m).toBeCloseTo(60 - (10 + 0.1 + 30), 4);
    expect(out.corridor_m).toBeCloseTo(60 - (10 + 0.9 + 30), 4);
    expect(out.over).toBe(0);
  });

  test("over a ridge between its ends", () => {
    const row = [0, 0, 0, 20, 0, 0, 0];
    const set = obstaclesOf([lineOf([10, 60], [170, 60]), { height: 30 }]);
    const site = onGrid(gridOf([row, row, row, row, row], 30), { obstacles: set });
    expect(clearance(site, [20, 60], [160, 60], { path_m: 60 }).centre_m).toBeCloseTo(10, 6);
    // Half a metre beyond the end is within reach of it: the ground there is up to a third of a metre.
    expect(clearance(site, [20, 60], [60, 60], { path_m: 60 }).centre_m).toBeCloseTo(30 - 20 * (0.5 / 30), 4);
  });
});

describe("a polygon", () => {
  const house = (...rings: Metres[][]) => onPlain(obstaclesOf([polygon(...rings), { height: 12 }]));
  const ring = square(80, -20, 40);

  test("across the way, round it, beside it", () => {
    expect(east(house(ring), 20)).toMatchObject({ centre_m: 8, corridor_m: 8 });
    expect(east(house(square(-100, -200, 400)), 20)).toMatchObject({ centre_m: 8, corridor_m: 8 });
    expect(east(house(square(80, 7.9, 40)), 20)).toMatchObject({ centre_m: 20, corridor_m: 8 });
    expect(east(house(square(80, 8.1, 40)), 20)).toMatchObject({ centre_m: 20, corridor_m: 20 });
    expect(east(house(square(80, 8, 40)), 20).corridor_m).toBe(8);
    expect(east(house(square(95, -1, 2)), 20)).toMatchObject({ centre_m: 8, corridor_m: 8 });
    expect(east(house(square(50, -40, 39)), 20)).toMatchObject({ centre_m: 20, corridor_m: 8 });
  });

  test("winding either way, open or turned, is the same", () => {
    expect(east(house(ring.toReversed()), 20)).toEqual({
      ...east(house(ring), 20),
      latitude_deg: expect.any(Number),
      longitude_deg: expect.any(Number),
    });
  });

  test("a hole is a way through", () => {
    const wide = square(-50, -100, 300);
    for (const hole of [square(-20, -30, 240), square(-20, -30, 240).toReversed()]) {
      expect(east(house(wide, hole), 20)).toMatchObject({ centre_m: 20, corridor_m: 20 });
    }
    // The corridor is wider than this one, the way itself is not.
    const slit: Metres[] = [
      [-20, -5],
      [220, -5],
      [220, 5],
      [-20, 5],
    ];
    expect(east(house(wide, slit), 20)).toMatchObject({ centre_m: 20, corridor_m: 8 });
  });

  test("a notch that no corner of the corridor is in", () => {
    const comb: Metres[] = [
      [-50, 50],
      [-50, -60],
      [250, -60],
      [250, 50],
      [240, 50],
      [240, -50],
      [-40, -50],
      [-40, 50],
    ];
    expect(east(house(comb), 20)).toMatchObject({ centre_m: 20, corridor_m: 20 });
  });

  test("with a radius it reaches farther", () => {
    const site = onPlain(obstaclesOf([polygon(square(80, 10, 40)), { height: 12, radius: 3 }]));
    expect(east(site, 20)).toMatchObject({ centre_m: 20, corridor_m: 8 });
  });

  test("stands on the highest ground in its footprint", () => {
    // A node of 7 m inside the footprint, and none of it under the way.
    const map = [
      [0, 0, 0, 0, 0],
      [0, 0, 7, 0, 0],
      [0, 0, 0, 0, 0],
      [0, 0, 0, 0, 0],
    ];
    const set = obstaclesOf([polygon(square(40, 20, 50)), { height: 10 }]);
    const site = onGrid(gridOf(map, 30), { obstacles: set });
    const out = clearance(site, [20, 25], [100, 25], { path_m: 30, corridor_m: 2 });
    expect(out.centre_m).toBeCloseTo(13, 9);
  });

  test("or on the slope at its edge, not on a node that is in a hole", () => {
    const map = [
      [0, 0, 0, 0, 0],
      [0, 0, 9, 0, 0],
      [0, 0, 0, 0, 0],
      [0, 0, 0, 0, 0],
    ];
    const set = obstaclesOf([polygon(square(20, 20, 80), square(50, 50, 20)), { height: 10 }]);
    const site = onGrid(gridOf(map, 30), { obstacles: set });
    // The rim of the hole is 10 m from the peak: 9 · 2/3 on its west side.
    expect(clearance(site, [15, 25], [105, 25], { path_m: 30, corridor_m: 2 }).centre_m).toBeCloseTo(14, 3);
  });
});

describe("underside", () => {
  const bridge = onPlain(obstaclesOf([polygon(square(80, -20, 40)), { height: 30, underside: 20 }]));

  test("over it, in it, under it", () => {
    expect(east(bridge, 35).centre_m).toBe(5);
    expect(east(bridge, 30).centre_m).toBe(0);
    expect(east(bridge, 20).centre_m).toBe(-10);
    expect(east(bridge, 19).centre_m).toBe(1);
    // 12 m beneath the bridge, 8 m over the ground.
    expect(east(bridge, 8)).toMatchObject({ centre_m: 8, over: -1 });
  });

  test("counts above the ground, on a slope from the lowest of it", () => {
    const map = Array.from({ length: 9 }, () => Array.from({ length: 9 }, (_, k) => 3 * k));
    const set = obstaclesOf(
      [polygon(square(80, 20, 40)), { height: 30, underside: 10 }],
      [lineOf([170, 80], [190, 80]), { height: 30, underside: 10, radius: 1 }],
    );
    const site = onGrid(gridOf(map, 30), { obstacles: set });
    // Lowest ground of the footprint 8 m, highest 12 m.
    expect(clearance(site, [75, 40], [130, 40], { path_m: 17, corridor_m: 0 }).centre_m).toBeCloseTo(1, 6);
    expect(clearance(site, [75, 40], [130, 40], { path_m: 44, corridor_m: 0 }).centre_m).toBeCloseTo(2, 6);
    // Along the wire from 17 m to 19 m.
    expect(clearance(site, [165, 80], [200, 80], { path_m: 26, corridor_m: 0 }).centre_m).toBeCloseTo(1, 3);
    expect(clearance(site, [165, 80], [200, 80], { path_m: 50, corridor_m: 0 }).centre_m).toBeCloseTo(1, 3);
  });

  test("above the top, by mistake, it is a plate at the top", () => {
    const plate = onPlain(obstaclesOf([polygon(square(80, -20, 40)), { height: 20, underside: 25 }]));
    expect(east(plate, 21).centre_m).toBe(1);
    expect(east(plate, 19).centre_m).toBe(1);
  });
});

describe("top above sea level", () => {
  const tower = obstaclesOf([point([60, 30]), { name: "tower", top: 480 }]);
  const map = [
    [400, 400, 400, 400, 400],
    [400, 400, 400, 400, 400],
    [400, 400, 400, 400, 400],
  ];

  test("counts in the datum of the terrain; the higher of top and height", () => {
    const out = clearance(onGrid(gridOf(map, 30), { obstacles: tower }), [10, 30], [110, 30], { path_m: 500 });
    expect(out).toMatchObject({ centre_m: 20, over: 0, groundSeen_share: 1 });
    const both = obstaclesOf([point([60, 30]), { top: 480, height: 90 }]);
    expect(clearance(onGrid(gridOf(map, 30), { obstacles: both }), [10, 30], [110, 30], { path_m: 500 }).centre_m).toBe(
      10,
    );
    const lineTop = obstaclesOf([lineOf([60, 0], [60, 50]), { top: 470, underside: 60 }]);
    const site = onGrid(gridOf(map, 30), { obstacles: lineTop });
    expect(clearance(site, [10, 30], [110, 30], { path_m: 500 }).centre_m).toBe(30);
    expect(clearance(site, [10, 30], [110, 30], { path_m: 450 }).centre_m).toBe(10);
  });

  test.each([{ terrain: undefined }, { terrain: { kind: "flat" as const } }])("is an error over %j", ({ terrain }) => {
    expect(() => buildSite({ terrain, obstacles: tower })).toThrow(UserError);
    expect(() => buildSite({ terrain, obstacles: tower })).toThrow(
      "Feature 1 (tower) gives its top above sea level, and no terrain",
    );
  });

  test("on a plain with a height too, the height counts", () => {
    const both = obstaclesOf([point([100, 0]), { top: 480, height: 40 }]);
    expect(east(onPlain(both), 50).centre_m).toBe(10);
  });
});

describe("without terrain, and over what is not known of it", () => {
  const mast = obstaclesOf([point([100, 0]), { height: 40 }]);

  test("obstacles stand on 0, nothing is known of the ground", () => {
    const site = buildSite({ terrain: undefined, obstacles: mast });
    expect(site).toMatchObject({ hasTerrain: false, isFlat: false, hasObstacles: true });
    expect(east(site, 30)).toMatchObject({ centre_m: -10, corridor_m: -10, over: 0, groundSeen_share: 0 });
    const aside = clearance(site, [0, 50], [200, 50], { path_m: 30 });
    expect(aside).toMatchObject({ centre_m: Infinity, corridor_m: Infinity, over: -1, groundSeen_share: 0 });
    expect(aside.latitude_deg).toBe(spot(0, 50).latitude_deg);
  });

  test("an obstacle on a void leaves the ground not wholly seen, as far as its height counts from there", () => {
    const map = [
      [0, 0, 0, Number.NaN, 0],
      [0, 0, 0, Number.NaN, 0],
      [0, 0, 0, Number.NaN, 0],
    ];
    const ask = (properties: object) => {
      const set = obstaclesOf([point([70, 30]), { radius: 12, ...properties }]);
      return clearance(onGrid(gridOf(map, 30), { obstacles: set }), [10, 30], [50, 30], { path_m: 50 });
    };
    expect(ask({ height: 40 })).toMatchObject({ centre_m: 50, corridor_m: 50, groundSeen_share: 0.999 });
    expect(ask({ top: 45 })).toMatchObject({ corridor_m: 5, over: 0, groundSeen_share: 1 });
    // Of an underside nothing is known: solid from the ground.
    expect(ask({ top: 60, underside: 55 })).toMatchObject({ corridor_m: -10 });
  });

  test("a polygon partly on a void stands on what is known of it", () => {
    const map = [
      [0, 5, 0, Number.NaN, 0],
      [0, 5, 0, Number.NaN, 0],
      [0, 5, 0, Number.NaN, 0],
    ];
    const set = obstaclesOf([polygon(square(20, 10, 60)), { height: 10 }]);
    const out = clearance(onGrid(gridOf(map, 30), { obstacles: set }), [10, 30], [50, 30], { path_m: 50 });
    expect(out.corridor_m).toBeCloseTo(35, 9);
    expect(out.groundSeen_share).toBe(0.999);
  });
});

describe("over 180 degrees", () => {
  const set = (coordinates: unknown, type = "Point") =>
    parseObstacles(
      new TextEncoder().encode(
        JSON.stringify({ type: "Feature", geometry: { type, coordinates }, properties: { height: 40 } }),
      ),
      "o",
    );
  const leg = (lon1: number, lon2: number) => ({
    from: { latitude_deg: -17, longitude_deg: lon1 },
    to: { latitude_deg: -17, longitude_deg: lon2 },
    path_m: 50,
    corridor_m: 8,
  });
  const ask = (site: BuiltSite, lon1: number, lon2: number) => {
    const out = blank();
    site.legClearance(leg(lon1, lon2), out);
    return out;
  };

  test.each([
    [179.999, -179.999, [180, -17]],
    [179.999, -179.999, [-180, -17]],
    [-179.999, 179.999, [-179.9995, -17]],
    [-179.999, 179.999, [179.9995, -17]],
    [179.998, 179.999, [179.9985, -17]],
    [-179.999, -179.998, [-179.9985, -17]],
    [-179.999, -179.998, [180.0015, -17]],
  ])("a point on the way from %d to %d at %j", (lon1, lon2, at) => {
    const out = ask(onPlain(set(at)), lon1, lon2);
    expect(out.centre_m).toBe(10);
    expect(out.longitude_deg).toBeGreaterThanOrEqual(-180);
    expect(out.longitude_deg).toBeLessThanOrEqual(180);
  });

  test("a line cut there as RFC 7946 §3.1.9 asks, and one left whole", () => {
    const cut = [
      [
        [179.99, -17.01],
        [180, -17],
      ],
      [
        [-180, -17],
        [-179.99, -16.99],
      ],
    ];
    expect(ask(onPlain(set(cut, "MultiLineString")), 179.999, -179.999).centre_m).toBe(10);
    const whole = [
      [179.9995, -17.01],
      [-179.9995, -16.99],
    ];
    expect(ask(onPlain(set(whole, "LineString")), 179.999, -179.999).centre_m).toBe(10);
    expect(ask(onPlain(set(whole, "LineString")), -179.9999, -179.999).centre_m).toBe(50);
  });

  test("a polygon left whole, with its hole written on the other side", () => {
    const ring = [
      [179.99, -17.1],
      [-179.99, -17.1],
      [-179.99, -16.9],
      [179.99, -16.9],
      [179.99, -17.1],
    ];
    const hole = [
      [-180.005, -17.05],
      [-179.995, -17.05],
      [-179.995, -16.95],
      [-180.005, -16.95],
      [-180.005, -17.05],
    ];
    expect(ask(onPlain(set([ring], "Polygon")), -179.999, 179.999).centre_m).toBe(10);
    expect(ask(onPlain(set([ring, hole], "Polygon")), -179.999, 179.999).centre_m).toBe(50);
  });

  test("a grid whose longitudes run on past 180", () => {
    const grid = {
      ...gridOf(
        [
          [0, 9, 0],
          [0, 9, 0],
        ],
        200,
      ),
      west_deg: 179.998,
      south_deg: -17.001,
      stepEast_deg: 0.002,
      stepNorth_deg: 0.002,
    };
    expect(ask(onGrid(grid), 179.999, -179.999)).toMatchObject({ corridor_m: 41, groundSeen_share: 1 });
    expect(onGrid(grid).ground(-17, -179.999)).toBeCloseTo(4.5, 6);
  });
});

describe("of several obstacles", () => {
  test("the one with the least clearance is told; names are in order", () => {
    const site = onPlain(
      obstaclesOf(
        [point([50, 0]), { height: 30, name: "tree" }],
        [point([100, 0]), { height: 45, name: "mast" }],
        [point([150, 0]), { height: 40 }],
      ),
    );
    expect(site.obstacleNames).toEqual(["tree", "mast", "obstacle 3"]);
    expect(east(site, 50)).toMatchObject({ centre_m: 5, over: 1 });
  });

  test("an empty list declares that there are none", () => {
    const site = onPlain(obstaclesOf());
    expect(site).toMatchObject({ hasObstacles: true, obstacleNames: [], problems: [] });
    expect(east(site, 50)).toMatchObject({ centre_m: 50, corridor_m: 50, over: -1, groundSeen_share: 1 });
  });

  test("problems are handed on", () => {
    expect(onPlain(obstaclesOf([point([0, 0]), {}])).problems).toHaveLength(1);
  });
});

const metres = fc.double({ min: -60, max: 260, noNaN: true });
const anyFeature = fc
  .record({
    kind: fc.nat({ max: 2 }),
    x: metres,
    y: metres,
    dx: metres,
    dy: metres,
    height: fc.nat({ max: 60 }),
    radius: fc.nat({ max: 9 }),
  })
  .map(({ kind, x, y, dx, dy, height, radius }): [object, object] => [
    kind === 0
      ? point([x, y])
      : kind === 1
        ? lineOf([x, y], [dx, dy])
        : polygon([
            [x, y],
            [dx, y],
            [dx, dy],
          ]),
    { height, radius },
  ]);

test("a higher path never lowers the clearance, a wider corridor never raises it", () => {
  fc.assert(
    fc.property(
      fc.array(anyFeature, { maxLength: 5 }),
      metres,
      metres,
      metres,
      metres,
      fc.nat({ max: 80 }),
      fc.nat({ max: 20 }),
      (features, x1, y1, x2, y2, path_m, corridor_m) => {
        const site = onPlain(obstaclesOf(...features));
        const out = clearance(site, [x1, y1], [x2, y2], { path_m, corridor_m });
        const higher = clearance(site, [x1, y1], [x2, y2], { path_m: path_m + 7, corridor_m });
        const wider = clearance(site, [x1, y1], [x2, y2], { path_m, corridor_m: corridor_m + 5 });
        const back = clearance(site, [x2, y2], [x1, y1], { path_m, corridor_m });
        expect(higher.centre_m).toBe(out.centre_m + 7);
        expect(higher.corridor_m).toBe(out.corridor_m + 7);
        expect(wider.corridor_m).toBeLessThanOrEqual(out.corridor_m);
        expect(wider.centre_m).toBe(out.centre_m);
        expect(out.corridor_m).toBeLessThanOrEqual(out.centre_m);
        expect(back.centre_m).toBe(out.centre_m);
      },
    ),
    { numRuns: 500 },
  );
});

test("discs, lines and triangles in the way, against distances from dense samples", () => {
  fc.assert(
    fc.property(anyFeature, metres, metres, metres, metres, ([geometry, properties], x1, y1, x2, y2) => {
      const site = onPlain(obstaclesOf([geometry, { ...properties, height: 10 }]));
      const { centre_m } = clearance(site, [x1, y1], [x2, y2], { path_m: 50, corridor_m: 0 });
      // Each sample alone is a leg without length: a hit of one is a hit of the leg.
      let hit = false;
      for (let k = 0; k <= 40 && !hit; k += 1) {
        const at: [number, number] = [x1 + ((x2 - x1) * k) / 40, y1 + ((y2 - y1) * k) / 40];
        hit = clearance(site, at, at, { path_m: 50, corridor_m: 0 }).centre_m === 40;
      }
      if (hit) expect(centre_m).toBe(40);
    }),
    { numRuns: 300 },
  );
});
