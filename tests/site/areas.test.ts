import fc from "fast-check";
import geodesic from "geographiclib-geodesic";
import { describe, expect, test } from "vitest";
import { buildSite } from "../../src/site/build-site.js";
import { nothingMet } from "../../src/site/column.js";
import type { KeepOutMet } from "../../src/site/keep-out-met.js";
import { ZONE_BITS } from "../../src/site/zones.js";
import {
  distanceTo,
  distanceToEdges,
  isInside,
  lengthInside,
  type Shape,
  type Spot,
} from "../oracles/areas-brute-force.js";
import { metresPerDegree } from "../oracles/site-brute-force.js";
import {
  lineOf,
  type Metres,
  obstaclesOf,
  onPlain,
  PLACE,
  point,
  polygon,
  spot,
  square,
  zonesOf,
} from "./site-helpers.js";

const RUNS = Number(process.env["AREA_RUNS"] ?? 60);
/** Whole centimetres: no degenerate lengths. */
const metres = (most: number): fc.Arbitrary<number> =>
  fc.integer({ min: -most * 100, max: most * 100 }).map((cm) => cm / 100);
const spotIn = (most: number): fc.Arbitrary<Metres> => fc.tuple(metres(most), metres(most));

/** A star-shaped ring: any angles, any radii; so it never crosses itself. */
const star = (centre: Metres, radii: readonly number[]): Metres[] =>
  radii.map((radius, k) => {
    const angle = (k / radii.length) * 2 * Math.PI;
    return [centre[0] + radius * Math.sin(angle), centre[1] + radius * Math.cos(angle)];
  });
const radius = (least: number, most: number): fc.Arbitrary<number> =>
  fc.integer({ min: least * 100, max: most * 100 }).map((cm) => cm / 100);

const area = fc
  .tuple(spotIn(150), fc.array(radius(20, 90), { minLength: 3, maxLength: 9 }), fc.boolean(), fc.boolean())
  .map(([centre, radii, hasHole, isReversed]): Shape => {
    const outer = star(centre, radii);
    // A small triangle about the centre is inside, if the star has no flat side there.
    const rings = hasHole && radii.length > 4 ? [outer, star(centre, [4, 4, 4])] : [outer];
    return { kind: "polygon", rings: isReversed ? rings.map((ring) => ring.toReversed()) : rings, radius: 0 };
  });
const thing = fc.oneof(
  area,
  fc.tuple(spotIn(150), radius(1, 30)).map(([at, wide]): Shape => ({ kind: "point", rings: [[at]], radius: wide })),
  fc
    .tuple(fc.array(spotIn(150), { minLength: 2, maxLength: 5 }), radius(1, 20))
    .map(([way, wide]): Shape => ({ kind: "line", rings: [way], radius: wide })),
);

function geometryOf({ kind, rings }: Shape): object {
  const written = rings.map((ring) => ring.map(([x, y]): Metres => [x, y]));
  const first = written[0] ?? [];
  if (kind === "polygon") return polygon(...written);
  return kind === "line" ? lineOf(...first) : point(first[0] ?? [0, 0]);
}

function crossed(site: ReturnType<typeof onPlain>, from: Metres, to: Metres, corridor_m = 8): KeepOutMet {
  const out = { inside_m: 9, entered_m: 9, isTouched: true, zone: 9, isStillInside: false };
  site.keepOut({ from: spot(...from), to: spot(...to), path_m: 0, corridor_m }, out);
  return out;
}

const keepOuts = (shapes: readonly Shape[]) =>
  onPlain(
    undefined,
    zonesOf(
      ...shapes.map((shape): [object, object] => [geometryOf(shape), { zone: "keep-out", radius: shape.radius }]),
    ),
  );

describe("keep-outs on a way", () => {
  test("property: the length inside is that of many small steps", () => {
    fc.assert(
      fc.property(fc.array(thing, { minLength: 1, maxLength: 3 }), spotIn(250), spotIn(250), (shapes, from, to) => {
        const steps = 4000;
        const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
        const out = crossed(keepOuts(shapes), from, to, 0);
        // Each way in or out is off by half a step at most; the plane of the way is that of its middle.
        const edges = 2 * shapes.reduce((sum, { rings }) => sum + rings.flat().length + 1, 0);
        expect(Math.abs(out.inside_m - lengthInside(shapes, from, to, steps))).toBeLessThan(
          0.05 + (edges * length) / steps,
        );
        expect(out.entered_m).toBeLessThanOrEqual(out.inside_m);
      }),
      { numRuns: RUNS },
    );
  });

  test("property: the corridor touches what is nearer than it, and not what is farther than its corner", () => {
    fc.assert(
      fc.property(thing, spotIn(250), spotIn(250), radius(1, 30), (shape, from, to, corridor) => {
        let nearest = Infinity;
        for (let k = 0; k <= 2000; k += 1) {
          const t = k / 2000;
          const at: Spot = [from[0] + (to[0] - from[0]) * t, from[1] + (to[1] - from[1]) * t];
          nearest = Math.min(nearest, distanceTo(shape, at));
        }
        const { isTouched } = crossed(keepOuts([shape]), from, to, corridor);
        if (nearest < corridor - 0.05) expect(isTouched).toBe(true);
        if (nearest > corridor * Math.SQRT2 + 0.5) expect(isTouched).toBe(false);
      }),
      { numRuns: RUNS },
    );
  });

  test("property: a way of 2 km is the geodesic within 0.1 m", () => {
    const course = fc.integer({ min: 0, max: 359 });
    fc.assert(
      fc.property(course, radius(300, 900), fc.integer({ min: -60, max: 60 }), (course_deg, along_m, latitude_deg) => {
        const direct = (lat: number, lon: number, azimuth: number, m: number): [number, number] => {
          const { lat2, lon2 } = geodesic.Geodesic.WGS84.Direct(lat, lon, azimuth, m);
          return [lon2 ?? Number.NaN, lat2 ?? Number.NaN];
        };
        const end = direct(latitude_deg, 8, course_deg, 2000);
        // A square about a spot of the geodesic, one side of it 30 m on each side of the way.
        const middle = direct(latitude_deg, 8, course_deg, along_m + 500);
        const ring = [45, 135, 225, 315, 45].map((turn) =>
          direct(middle[1], middle[0], course_deg + turn, 30 * Math.SQRT2),
        );
        const feature = { type: "Polygon", coordinates: [ring] };
        const site = onPlain(undefined, zonesOf([feature, { zone: "keep-out" }]));
        const out = { inside_m: 0, entered_m: 0, isTouched: false, zone: -1, isStillInside: false };
        const leg = { from: { latitude_deg, longitude_deg: 8 }, to: { latitude_deg: end[1], longitude_deg: end[0] } };
        site.keepOut({ ...leg, path_m: 0, corridor_m: 8 }, out);
        expect(Math.abs(out.inside_m - 60)).toBeLessThan(0.1);
      }),
      { numRuns: RUNS },
    );
  });

  test("what a way begins in is left, what it comes to is entered", () => {
    const site = keepOuts([
      { kind: "polygon", rings: [square(-10, -10, 20)], radius: 0 },
      { kind: "polygon", rings: [square(40, -10, 20)], radius: 0 },
    ]);
    const out = crossed(site, [0, 0], [100, 0]);
    expect(out.inside_m).toBeCloseTo(30, 3);
    expect(out.entered_m).toBeCloseTo(20, 3);
    expect(crossed(site, [0, 0], [30, 0]).entered_m).toBe(0);
    expect(crossed(site, [-30, 0], [30, 0]).entered_m).toBeCloseTo(20, 3);
  });

  test("overlaps count once; the zone that is entered is named", () => {
    const site = onPlain(
      undefined,
      zonesOf(
        [polygon(square(20, 5, 10)), { zone: "keep-out", name: "beside" }],
        [polygon(square(20, -10, 14)), { zone: "keep-out", name: "first" }],
        [polygon(square(30, -10, 14)), { zone: "keep-out", name: "second" }],
        [polygon(square(-100, -100, 200)), { zone: "water", name: "lake" }],
      ),
    );
    const out = crossed(site, [0, 0], [100, 0]);
    expect(out.inside_m).toBeCloseTo(24, 3);
    expect(["first", "second"]).toContain(site.zoneNames[out.zone]);
  });

  test("a way that is long stays inside over its pieces", () => {
    const site = keepOuts([{ kind: "polygon", rings: [square(-3000, -3000, 11_000)], radius: 0 }]);
    const out = crossed(site, [0, 0], [6000, 4000]);
    expect(out.inside_m).toBeCloseTo(Math.hypot(6000, 4000), -1);
    expect(out.entered_m).toBe(0);
  });

  test("NaN stays NaN", () => {
    const site = keepOuts([{ kind: "polygon", rings: [square(0, 0, 10)], radius: 0 }]);
    expect(crossed(site, [Number.NaN, 0], [5, 5]).inside_m).toBeNaN();
  });
});

describe("across ±180", () => {
  const way = (west: number, east: number): KeepOutMet => {
    const out = { inside_m: 0, entered_m: 0, isTouched: false, zone: -1, isStillInside: false };
    const leg = { from: { latitude_deg: -17, longitude_deg: west }, to: { latitude_deg: -17, longitude_deg: east } };
    site.keepOut({ ...leg, path_m: 0, corridor_m: 0 }, out);
    return out;
  };
  const box = (west: number, east: number): number[][] => [
    [west, -17.01],
    [east, -17.01],
    [east, -16.99],
    [west, -16.99],
    [west, -17.01],
  ];
  const cut = { type: "MultiPolygon", coordinates: [[box(179.999, 180)], [box(-180, -179.998)]] };
  const uncut = { type: "Polygon", coordinates: [box(179.999, 180.002)] };
  const jumping = { type: "Polygon", coordinates: [box(179.999, -179.998)] };
  let site = onPlain();

  test.each([
    ["cut in two", cut],
    ["running on", uncut],
    ["jumping", jumping],
  ])("%s", (_, geometry) => {
    site = onPlain(undefined, zonesOf([geometry, { zone: "keep-out" }]));
    const wide = 0.003 * metresPerDegree(-17).east;
    expect(way(179.99, -179.99).inside_m).toBeCloseTo(wide, 1);
    expect(way(-179.99, 179.99).inside_m).toBeCloseTo(wide, 1);
    expect(way(170, 170.5).inside_m).toBe(0);
    expect(site.zoneKinds(-17, 179.9995)).toBe(ZONE_BITS["keep-out"]);
    expect(site.zoneKinds(-17, -179.9995)).toBe(ZONE_BITS["keep-out"]);
    expect(site.zoneKinds(-17, 180)).toBe(ZONE_BITS["keep-out"]);
    expect(site.zoneKinds(-17, 0)).toBe(0);
  });
});

describe("zones at a spot", () => {
  test("property: as the angles around it say", () => {
    fc.assert(
      fc.property(fc.array(thing, { minLength: 1, maxLength: 4 }), spotIn(250), (shapes, at) => {
        fc.pre(shapes.every((shape) => Math.abs(distanceToEdges(shape, at) - shape.radius) > 0.05));
        const kinds = ["water", "keep-out", "no-landing", "cover"] as const;
        const site = onPlain(
          undefined,
          zonesOf(
            ...shapes.map((shape, k): [object, object] => [
              geometryOf(shape),
              { zone: kinds[k], radius: shape.radius, underside: 5 },
            ]),
          ),
        );
        let wanted = 0;
        for (const [k, shape] of shapes.entries()) {
          if (distanceTo(shape, at) === 0) wanted |= ZONE_BITS[kinds[k] ?? "water"];
        }
        const { latitude_deg, longitude_deg } = spot(...at);
        expect(site.zoneKinds(latitude_deg, longitude_deg)).toBe(wanted);
        for (const [k, shape] of shapes.entries()) {
          const bit = ZONE_BITS[kinds[k] ?? "water"];
          expect(site.zoneAt(latitude_deg, longitude_deg, bit)).toBe(distanceTo(shape, at) === 0 ? k : -1);
        }
      }),
      { numRuns: RUNS },
    );
  });

  test("an edge is inside, and nowhere is NaN", () => {
    const site = onPlain(undefined, zonesOf([polygon(square(0, 0, 10)), { zone: "water" }]));
    const { latitude_deg, longitude_deg } = spot(0, 5);
    expect(site.zoneKinds(latitude_deg, longitude_deg)).toBe(ZONE_BITS.water);
    expect(site.zoneKinds(Number.NaN, 8)).toBeNaN();
    expect(site.zoneAt(Number.NaN, 8, 15)).toBe(-1);
  });

  test("a hole is outside", () => {
    const site = onPlain(undefined, zonesOf([polygon(square(0, 0, 30), square(10, 10, 10)), { zone: "water" }]));
    expect(site.zoneKinds(spot(15, 15).latitude_deg, spot(15, 15).longitude_deg)).toBe(0);
    expect(site.zoneKinds(spot(5, 5).latitude_deg, spot(5, 5).longitude_deg)).toBe(ZONE_BITS.water);
  });
});

describe("a climb", () => {
  const climb = (
    site: ReturnType<typeof onPlain>,
    at: Metres,
    from_m: number,
    to_m: number,
    radius_m = 8,
    ground_m = 0,
  ) => {
    const out = nothingMet();
    site.climb({ ...spot(...at), from_m, to_m, ground_m, radius_m }, out);
    return out;
  };
  const level = radius(0, 40);

  test("property: what it meets is what stands within the disc, at its heights", () => {
    const standing = fc.tuple(thing, level, fc.option(level, { nil: undefined }));
    fc.assert(
      fc.property(
        fc.array(standing, { minLength: 1, maxLength: 3 }),
        spotIn(200),
        level,
        level,
        (all, at, from, by) => {
          fc.pre(all.every(([shape]) => Math.abs(distanceToEdges(shape, at) - shape.radius - 8) > 0.05));
          fc.pre(all.every(([shape]) => Math.abs(distanceToEdges(shape, at) - shape.radius) > 0.05));
          const features = all.map(([shape, height, underside]): [object, object] => [
            geometryOf(shape),
            { height, underside, radius: shape.radius },
          ]);
          const out = climb(onPlain(obstaclesOf(...features)), at, from, from + by);
          const bands = all.map(([shape, top, underside]) => {
            const low = underside === undefined ? -Infinity : Math.min(underside, top);
            return { distance: distanceTo(shape, at), low, top, up: Math.max(0, low - from) };
          });
          const met = bands.filter(({ top, up, distance }) => distance < 8 && top > from && up < by);
          const over = met.filter(({ distance }) => distance === 0);
          const least = (some: readonly { up: number }[]): number => Math.min(Infinity, ...some.map(({ up }) => up));
          expect(out.upNear_m).toBeCloseTo(least(met), 6);
          expect(out.up_m).toBeCloseTo(least(over.filter(({ low }) => low >= from)), 6);
          expect(out.inside >= 0).toBe(over.some(({ low }) => low < from));
          expect(out.isWhole).toBe(true);
          expect([out.upKnown_m, out.upNearKnown_m]).toEqual([out.up_m, out.upNear_m]);
        },
      ),
      { numRuns: RUNS },
    );
  });

  const branches = (underside: number) =>
    onPlain(undefined, zonesOf([polygon(square(-20, -20, 40)), { zone: "cover", name: "oak", underside }]));

  test("under a cover, at its underside, over it, beside it", () => {
    expect(climb(branches(6), [0, 0], 2, 50)).toMatchObject({ up_m: 4, upNear_m: 4, over: -2, isWhole: true });
    expect(climb(branches(6), [0, 0], 6, 50).up_m).toBe(Infinity);
    expect(climb(branches(6), [0, 0], 30, 50).up_m).toBe(Infinity);
    expect(climb(branches(6), [0, 0], 2, 6).up_m).toBe(Infinity);
    expect(climb(branches(6), [0, 0], 2, 6.001).up_m).toBe(4);
    expect(climb(branches(6), [27, 0], 2, 50)).toMatchObject({ up_m: Infinity, upNear_m: 4, overNear: -2 });
    expect(climb(branches(6), [29, 0], 2, 50).upNear_m).toBe(Infinity);
    expect(climb(branches(6), [26, 26], 2, 50).upNear_m).toBe(Infinity);
    // The ground under the aircraft lifts the branches.
    expect(climb(branches(6), [0, 0], 102, 150, 8, 100).up_m).toBe(4);
  });

  test("a solid is met at its underside, and is over at its top", () => {
    const roof = onPlain(obstaclesOf([polygon(square(-20, -20, 40)), { height: 9, underside: 6 }]));
    expect(climb(roof, [0, 0], 6, 50)).toMatchObject({ up_m: 0, over: 0, inside: -1 });
    expect(climb(roof, [0, 0], 6.001, 50)).toMatchObject({ up_m: Infinity, inside: 0 });
    expect(climb(roof, [0, 0], 8.999, 50).inside).toBe(0);
    expect(climb(roof, [0, 0], 9, 50)).toMatchObject({ up_m: Infinity, upNear_m: Infinity, inside: -1 });
  });

  test("what nobody knows the height of is not clear, and only where it is near", () => {
    expect(climb(branches(6), [0, 0], Number.NaN, Number.NaN).isWhole).toBe(false);
    expect(climb(branches(6), [0, 0], 2, 50, 8, Number.NaN).isWhole).toBe(false);
    expect(climb(branches(6), [60, 0], Number.NaN, Number.NaN).isWhole).toBe(true);
    const mast = onPlain(obstaclesOf([point([0, 0]), { height: 20 }]));
    expect(climb(mast, [5, 0], Number.NaN, Number.NaN)).toMatchObject({ isWhole: false, upNear_m: Infinity });
    expect(climb(mast, [Number.NaN, 0], 2, 50).isWhole).toBe(false);
  });

  test("what a project default makes high is told apart", () => {
    const site = onPlain(
      obstaclesOf(
        [point([0, 0]), { natural: "tree" }],
        [polygon(square(20, -5, 10)), { building: "roof", "building:levels": 4, min_height: 6 }],
      ),
    );
    expect(site.hasAssumedHeights).toBe(true);
    const beside = climb(site, [6, 0], 5, 50);
    expect([beside.upNear_m, beside.upNearKnown_m]).toEqual([0, Infinity]);
    const under = climb(site, [25, 0], 2, 50);
    expect([under.up_m, under.upKnown_m]).toEqual([4, Infinity]);
    expect(climb(site, [0, 0], 5, 50)).toMatchObject({ inside: 0, insideKnown: -1 });
  });
});

describe("what stands near a spot", () => {
  test("property: within the radius, by distance", () => {
    fc.assert(
      fc.property(thing, spotIn(200), radius(0, 30), (shape, at, within) => {
        fc.pre(
          Math.abs(distanceTo(shape, at) - within) > 0.05 && Math.abs(distanceToEdges(shape, at) - shape.radius) > 0.05,
        );
        const site = onPlain(obstaclesOf([geometryOf(shape), { height: 5, radius: shape.radius }]));
        const { latitude_deg, longitude_deg } = spot(...at);
        expect(site.standsWithin(latitude_deg, longitude_deg, within)).toBe(distanceTo(shape, at) <= within ? 0 : -1);
      }),
      { numRuns: RUNS },
    );
  });

  test("nothing stands nowhere", () => {
    expect(buildSite({ terrain: undefined, obstacles: undefined }).standsWithin(Number.NaN, 8, 5)).toBe(-1);
    expect(
      isInside(
        [
          [
            [0, 0],
            [1, 0],
            [0, 1],
          ],
        ],
        [0.2, 0.2],
      ),
    ).toBe(true);
    expect(PLACE.latitude_deg).toBe(47);
  });
});
