import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { SiteAdvice } from "../../src/advise/advice.js";
import { adviseOn, type AdviseOptions } from "../../src/advise/advise-site.js";
import { ceilingLow } from "../../src/rules/ceiling-low.js";
import { VERDICT } from "../../src/rules/verdict.js";
import { judgeMoments } from "../../src/score/judge.js";
import { buildSite } from "../../src/site/build-site.js";
import { parseObstacles } from "../../src/site/obstacles.js";
import type { Given } from "../helpers/declared.js";
import { at, ORIGIN, type Row } from "../helpers/flights.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";
import { nothingKnown, openPlain } from "../helpers/sites.js";
import { groundOf } from "../helpers/valleys.js";
import { leastWholeHeight, mostOverGround } from "../oracles/least-height.js";
import { highestUnder, type OracleGrid } from "../oracles/site-brute-force.js";

interface Spot {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
}

/** A flight that takes off at the origin and is then at each spot for a second, too high to be landing. */
function rowsAt(spots: readonly Spot[], height_m = 4): Row[] {
  return [ORIGIN, ...spots, ...spots.slice(-1)].map((spot, time_s) => ({
    time_s,
    ...spot,
    height_m: time_s === 0 ? 0 : height_m,
    battery_pct: 90,
    airborne: 1,
  }));
}

const LONG_ENOUGH = { shortest_flight: 0 };
function advise(spots: readonly Spot[], given: Given, options?: AdviseOptions, height_m?: number): SiteAdvice {
  const replay = replayRows(rowsAt(spots, height_m), { ...given, policy: { ...LONG_ENOUGH, ...given.policy } });
  return adviseOn([{ path: "invented.csv", replays: [replay] }], options);
}

/** Every code of ceiling-low had the flight had this recovery height. */
function ceilings(spots: readonly Spot[], given: Given, recoveryHeight_m: number): Uint8Array {
  const settings = { ...given.settings, recoveryHeight_m };
  const replay = replayRows(rowsAt(spots), { ...given, settings, policy: { ...LONG_ENOUGH, ...given.policy } });
  return judgeMoments(ceilingLow, replay);
}

const NODES = 7;
const STEP = 0.001;
const CORRIDOR = 8;
const CLEARANCE = 10;
const west = ORIGIN.longitude_deg - ((NODES - 1) / 2) * STEP;
const south = ORIGIN.latitude_deg - ((NODES - 1) / 2) * STEP;

function siteOf(heights: readonly number[]): { grid: OracleGrid; given: Given } {
  const grid: OracleGrid = { columns: NODES, rows: NODES, west, south, stepEast: STEP, stepNorth: STEP, heights };
  const model = {
    columns: NODES,
    rows: NODES,
    west_deg: west,
    south_deg: south,
    stepEast_deg: STEP,
    stepNorth_deg: STEP,
    heights_m: Float64Array.from(heights),
  };
  const site = buildSite({
    terrain: { kind: "grids", grids: [{ grid: model, surface: false, error_m: 0 }] },
    obstacles: { obstacles: [], problems: [], defaults: [] },
  });
  return { grid, given: { ...ALL_KNOWN, site } };
}

/** Heights and spots on a raster, so that nothing is degenerate; at least 40 m from home, the corridor inside the grid. */
const anyHeights = fc.array(fc.integer({ min: 0, max: 1500 }), { minLength: NODES ** 2, maxLength: NODES ** 2 });
const anyStep = fc.integer({ min: -25, max: 25 }).filter((step) => Math.abs(step) >= 6);
const anySpot = fc.record({ x: anyStep, y: anyStep }).map(({ x, y }) => ({
  latitude_deg: ORIGIN.latitude_deg + y * 1e-4 + 3.1e-6,
  longitude_deg: ORIGIN.longitude_deg + x * 1e-4 + 2.3e-6,
}));

describe("the advised recovery height, over random sites", () => {
  it("is the least that an audit finds clear, as brute force finds it, and legal or not as that says", () => {
    let none = 0;
    fc.assert(
      fc.property(anyHeights, fc.array(anySpot, { minLength: 1, maxLength: 5 }), (tenths, spots) => {
        const { grid, given } = siteOf(tenths.map((tenth) => tenth / 10));
        const { recovery_height: advised } = advise(spots, given);
        const set_m = advised.set_m ?? Number.NaN;
        expect(
          [...ceilings(spots, given, set_m)].every((code) => code <= VERDICT.clear && code !== VERDICT.unknown),
        ).toBe(true);
        expect([...ceilings(spots, given, set_m - 1)].some((code) => code >= VERDICT.thin)).toBe(true);
        const home = [ORIGIN.longitude_deg, ORIGIN.latitude_deg] as const;
        const starts = spots.map(({ longitude_deg, latitude_deg }) => [longitude_deg, latitude_deg] as const);
        const oracle = leastWholeHeight(grid, home, starts, CORRIDOR, CLEARANCE);
        if (oracle.margin > 0.02) expect(set_m).toBe(oracle.height);
        const over_m = mostOverGround(grid, home, starts, set_m + groundAtHome(grid));
        expect(advised.over_ground?.most_m).toBeGreaterThanOrEqual(over_m - 1e-6);
        expect(advised.over_ground?.most_m).toBeLessThanOrEqual(over_m + 1);
        if (advised.status === "none") none += 1;
        if (Math.abs(over_m - 120) > 1) expect(advised.status).toBe(over_m > 120 ? "none" : "safe");
        if (advised.status === "none") expect(advised.over_ground?.at.latitude_deg).toBeGreaterThan(46);
      }),
      { numRuns: 25 },
    );
    // Both answers occur, or half of this says nothing.
    expect(none).toBeGreaterThan(1);
    expect(none).toBeLessThan(24);
  });

  it("covers every way home from the declared radius, and asks for little more", () => {
    fc.assert(
      fc.property(
        anyHeights,
        fc.integer({ min: 30, max: 180 }),
        fc.integer({ min: 0, max: 359 }),
        (tenths, radius_m, course_deg) => {
          const { grid, given } = siteOf(tenths.map((tenth) => tenth / 10));
          const { recovery_height: advised } = advise([at(40, 0)], given, { radius_m });
          const home = [ORIGIN.longitude_deg, ORIGIN.latitude_deg] as const;
          const from = at(radius_m, course_deg);
          const start = [from.longitude_deg, from.latitude_deg] as const;
          const one = leastWholeHeight(grid, home, [start], CORRIDOR, CLEARANCE);
          expect(advised.set_m).toBeGreaterThanOrEqual(one.height ?? Number.NaN);
          // A square round the disc and its corridors holds everything that can dictate.
          const reach_m = Math.max(40, radius_m) + 3 * CORRIDOR;
          const highest = highestUnder(grid, { from: home, to: home }, reach_m, 1e-2);
          expect(advised.least_m).toBeLessThanOrEqual(highest + CLEARANCE - groundAtHome(grid) + 0.02);
        },
      ),
      { numRuns: 12 },
    );
  });
});

function groundAtHome({ heights }: OracleGrid): number {
  return heights[((NODES - 1) / 2) * NODES + (NODES - 1) / 2] ?? Number.NaN;
}

describe("the advised recovery height", () => {
  const east = at(400, 90);

  it("is the clearance over a plain with nothing on it", () => {
    const { recovery_height: advised } = advise([east], { ...ALL_KNOWN, site: openPlain() });
    expect(advised).toMatchObject({ status: "safe", set_m: 10, least_m: 10, was_m: 50, unseen: 0 });
    expect(advised.over_ground).toMatchObject({ most_m: 10, legal_m: 120, is_legal: true });
  });

  it("names the obstacle that dictates it, where it stands, and from where", () => {
    const mast = {
      type: "Feature",
      properties: { name: "the mast", height: 47.2 },
      geometry: { type: "Point", coordinates: [at(200, 90).longitude_deg, 47] },
    };
    const bytes = new TextEncoder().encode(JSON.stringify({ type: "FeatureCollection", features: [mast] }));
    const site = buildSite({ terrain: { kind: "flat" }, obstacles: parseObstacles(bytes, "masts.geojson") });
    const { recovery_height: advised } = advise([at(400, 0), east], { ...ALL_KNOWN, site });
    expect(advised).toMatchObject({ status: "safe", set_m: 58, least_m: 57.2 });
    expect(advised.dictated_by?.over).toBe("the mast");
    expect(advised.dictated_by?.at.longitude_deg).toBeCloseTo(at(200, 90).longitude_deg, 4);
    expect(advised.dictated_by?.from).toMatchObject({ log: "invented.csv", flight: 1, at_s: 2 });
  });

  it("takes what the height cannot be trusted for off: the declared error of the terrain", () => {
    const site = groundOf(() => 100, { error_m: 3 });
    expect(advise([east], { ...ALL_KNOWN, site }).recovery_height.least_m).toBe(13);
  });

  it("counts from where the setting counts", () => {
    const site = groundOf((east_deg) => 100 + 10_000 * east_deg);
    const recoveryPoints = [{ latitude_deg: 47, longitude_deg: 8.003, at_s: 0 }];
    const given = { ...ALL_KNOWN, site, recoveryPoints };
    const spots = [at(50, 90)];
    const own = advise(spots, given, {}, 60).recovery_height;
    const takeoff = advise(
      spots,
      { ...given, settings: { ...ALL_KNOWN.settings, recoveryHeightAbove: "take-off" } },
      {},
      60,
    );
    expect(takeoff.recovery_height.counts_from).toBe("take-off");
    expect(takeoff.recovery_height.least_m).toBeCloseTo((own.least_m ?? Number.NaN) + 30, 6);
  });

  it("is not lower because the flight was high", () => {
    const given = { ...ALL_KNOWN, site: groundOf((east_deg) => (east_deg > 0.002 ? 140 : 100)) };
    const low = advise([east], given, {}, 4).recovery_height;
    const high = advise([east], given, {}, 100).recovery_height;
    expect(high.least_m).toBe(low.least_m);
  });

  it("says where no height is both clear and legal", () => {
    const site = groundOf((east_deg) =>
      Math.abs(east_deg - 0.003) < 1e-9 ? 80 : Math.abs(east_deg - 0.002) < 1e-9 ? 260 : 200,
    );
    const advice = advise([east], { ...ALL_KNOWN, site });
    expect(advice.recovery_height).toMatchObject({ status: "none", set_m: 70 });
    expect(advice.recovery_height.over_ground).toMatchObject({ most_m: 190, is_legal: false });
    expect(advice.recovery_height.over_ground?.at.longitude_deg).toBeCloseTo(8.003, 6);
    expect(advice.lost_link.elsewhere.action).toBeNull();
  });

  it.each([
    ["without terrain", nothingKnown(), "unknown"],
    ["where nobody said what stands on the ground", { ...openPlain(), hasObstacles: false }, "partly"],
    ["over ground that is partly not known", groundOf((east_deg) => (east_deg > 0.004 ? Number.NaN : 100)), "partly"],
  ] as const)("is not called safe %s", (_, site, status) => {
    const { recovery_height: advised } = advise([east], { ...ALL_KNOWN, site });
    expect(advised.status).toBe(status);
    if (status === "unknown") expect(advised.set_m).toBeNull();
  });

  it("counts the ways home that are not known, and says where the first begins", () => {
    const site = groundOf((east_deg) => (east_deg > 0.004 ? Number.NaN : 100));
    const { recovery_height: advised } = advise([at(100, 90), east], { ...ALL_KNOWN, site });
    expect(advised).toMatchObject({ asked: 3, unseen: 2 });
    expect(advised.unseen_from?.at_s).toBe(2);
  });
});

describe("the battery to turn back with", () => {
  const given: Given = { ...ALL_KNOWN, wind: { speed_ms: 3, from_deg: 270, gust_ms: 4, height_m: 10, shear: 0.143 } };

  it("is what an audit needs from there, and the reserve", () => {
    const { turnback } = advise([at(780, 90)], given);
    const cell = turnback?.rows
      .find(({ distance_m }) => distance_m === 500)
      ?.cells.find(({ direction }) => direction === "E");
    // The same spot flown: from the ground, 500 m east.
    const replay = replayRows(
      rowsAt(
        Array.from({ length: 15 }, () => at(500, 90)),
        0,
      ),
      { ...given, policy: LONG_ENOUGH },
    );
    expect(cell?.upper_pct).toBeCloseTo(25 + (replay.moments.needUpper_pct[1] ?? Number.NaN), 4);
    expect(cell?.middle_pct).toBeCloseTo(25 + (replay.moments.needMiddle_pct[1] ?? Number.NaN), 4);
  });

  it("goes in round steps as far as the flights went, or the radius", () => {
    const distances = (options?: AdviseOptions): (number | undefined)[] =>
      advise([at(780, 90)], given, options).turnback?.rows.map(({ distance_m }) => distance_m) ?? [];
    expect(distances()).toEqual([100, 200, 300, 400, 500, 600, 700, 800]);
    expect(distances({ radius_m: 1500 })).toEqual([200, 400, 600, 800, 1000, 1200, 1400, 1600]);
  });

  it("is dearest into the wind, and says where no battery is enough", () => {
    const { turnback } = advise([at(780, 90)], {
      ...given,
      wind: { ...given.wind, speed_ms: 9, gust_ms: 12 } as Given["wind"],
    });
    const [row] = turnback?.rows ?? [];
    const by = Object.fromEntries((row?.cells ?? []).map((cell) => [cell.direction, cell]));
    expect(by["E"]).toMatchObject({ upper_pct: null, reason: "no_headway" });
    expect(by["W"]?.upper_pct).toBeGreaterThan(25);
    const calm = advise([at(780, 90)], given).turnback?.rows[0]?.cells ?? [];
    const upper = (direction: string): number =>
      calm.find((cell) => cell.direction === direction)?.upper_pct ?? Number.NaN;
    expect(upper("E")).toBeGreaterThan(upper("S"));
    expect(upper("S")).toBeGreaterThan(upper("W"));
  });

  it("takes the worst of the logged winds for each direction, and the declared one before them", () => {
    const rows = rowsAt(Array.from({ length: 300 }, () => at(300, 90))).map((row, i) => ({
      ...row,
      windSpeed_ms: i < 150 ? 2 : 5,
      windFrom_deg: i < 150 ? 90 : 270,
    }));
    const { wind: _, ...still } = { ...given, policy: LONG_ENOUGH };
    const ask = (one: Given): SiteAdvice => adviseOn([{ path: "a", replays: [replayRows(rows, one)] }]);
    const logged = ask(still).turnback;
    expect(logged?.wind).toMatchObject({ basis: "measured", text: expect.stringMatching(/up to 5 m\/s/) as string });
    const cell = (advice: SiteAdvice["turnback"], direction: string): number =>
      advice?.rows[0]?.cells.find((one) => one.direction === direction)?.middle_pct ?? Number.NaN;
    // From the west the easterly is against; from the east the westerly, which was stronger.
    expect(cell(logged, "W")).toBeGreaterThan(cell(logged, "N") - 5);
    expect(cell(logged, "E")).toBeGreaterThan(cell(logged, "W"));
    const declared = ask({ ...given, policy: LONG_ENOUGH }).turnback;
    expect(declared?.wind.text).toBe("3 m/s from 270° at 10 m, as declared");
  });
});

describe("the rest of the advice", () => {
  it("says what suits each zone, and that none was declared", () => {
    const site = { ...(ALL_KNOWN.site ?? nothingKnown()), hasZones: false };
    const given: Given = { ...ALL_KNOWN, site, settings: { recoveryHeight_m: 50, lostLinkAction: "hold" } };
    expect(advise([at(100, 0)], given).lost_link).toMatchObject({ declared: "hold", zones_declared: false, zones: [] });
    const { lost_link } = advise([at(100, 0)], {
      ...given,
      site: { ...site, hasZones: true, zoneNames: ["the wood", "the lake"], zoneTypes: ["cover", "water"] },
    });
    expect(lost_link.zones.map(({ name, action }) => [name, action])).toEqual([
      ["the wood", "hold"],
      ["the lake", "return"],
    ]);
    expect(lost_link.elsewhere.action).toBe("return");
  });

  it("lists what to declare, and nothing that is known", () => {
    const { wants } = advise([at(100, 0)], {});
    const labels = wants.map(({ label }) => label);
    expect(labels).toEqual(["recovery height", "terrain", "wind", "drain rates", "lost-link action", "zones"]);
    const known = advise([at(100, 0)], { ...ALL_KNOWN, settings: { recoveryHeight_m: 50, lostLinkAction: "return" } });
    expect(known.wants).toEqual([]);
  });

  it("has something to say of nothing", () => {
    const advice = adviseOn([]);
    expect(advice).toMatchObject({ flights: [], recovery_point: null, turnback: null });
    expect(advice.recovery_height.status).toBe("unknown");
    expect(JSON.stringify(advice)).not.toMatch(/NaN|undefined/);
  });
});
