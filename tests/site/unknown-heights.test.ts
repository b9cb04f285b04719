import { describe, expect, it } from "vitest";
import { VERDICT } from "../../src/rules/verdict.js";
import { ceilingLow } from "../../src/rules/ceiling-low.js";
import { describeLacks } from "../../src/rules/lacks.js";
import { judgeMoments } from "../../src/score/judge.js";
import { buildSite } from "../../src/site/build-site.js";
import { nothingMet } from "../../src/site/column.js";
import { parseObstacles } from "../../src/site/obstacles.js";
import { at, landed, outAndBack } from "../helpers/flights.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";
import {
  blank,
  clearance,
  gridOf,
  obstaclesOf,
  onGrid,
  onPlain,
  point,
  polygon,
  spot,
  square,
} from "./site-helpers.js";

const UNKNOWN = { name: "old mast", radius: 2 };
const leg = (site: Parameters<typeof clearance>[0]) => clearance(site, [0, 0], [200, 0], { path_m: 50, corridor_m: 8 });

describe("what stands there with a height that nobody knows", () => {
  const plain = onPlain(obstaclesOf([point([100, 0]), UNKNOWN]));

  it("leaves the leg over it not known in full, and lowers no clearance", () => {
    expect(leg(plain)).toMatchObject({ centre_m: 50, corridor_m: 50, over: -1, groundSeen_share: 0.999 });
    expect(plain.hasUnknownHeights).toBe(true);
    expect(plain.obstacleNames).toEqual(["old mast (height not known)"]);
  });

  it("does so in the corridor too, and not beside it", () => {
    const beside = (north: number) => leg(onPlain(obstaclesOf([point([100, north]), UNKNOWN]))).groundSeen_share;
    expect(beside(9.9)).toBe(0.999);
    expect(beside(10.1)).toBe(1);
  });

  it("is left out where only what is known is asked for", () => {
    const out = blank();
    plain.legClearance({ from: spot(0, 0), to: spot(200, 0), path_m: 50, corridor_m: 8, knownOnly: true }, out);
    expect(out).toMatchObject({ corridor_m: 50, groundSeen_share: 1 });
  });

  it("hides nothing of what is known to be in the way", () => {
    const site = onPlain(obstaclesOf([point([100, 0]), UNKNOWN], [point([150, 0]), { height: 60 }]));
    expect(leg(site)).toMatchObject({ centre_m: -10, over: 1, groundSeen_share: 0.999 });
  });

  it("is in a surface already, whose heights have it", () => {
    const flat = Array.from({ length: 10 }, () => Array.from({ length: 10 }, () => 0));
    const terrain = (surface: boolean) =>
      buildSite({
        terrain: { kind: "grids", grids: [{ grid: gridOf(flat, 30), surface, error_m: 0 }] },
        obstacles: obstaclesOf([point([100, 100]), UNKNOWN]),
      });
    const share = (surface: boolean) =>
      clearance(terrain(surface), [30, 100], [200, 100], { path_m: 50, corridor_m: 8 }).groundSeen_share;
    expect([share(true), share(false)]).toEqual([1, 0.999]);
    expect(onGrid(gridOf(flat, 30), { obstacles: obstaclesOf([point([100, 100]), UNKNOWN]) }).hasUnknownHeights).toBe(
      true,
    );
  });

  it("leaves a climb beside it open, and is near to a point that it is near to", () => {
    const out = nothingMet();
    plain.climb({ ...spot(104, 0), from_m: 5, to_m: 50, ground_m: 0, radius_m: 8 }, out);
    expect(out).toMatchObject({ up_m: Infinity, upNear_m: Infinity, isWhole: false });
    plain.climb({ ...spot(120, 0), from_m: 5, to_m: 50, ground_m: 0, radius_m: 8 }, out);
    expect(out.isWhole).toBe(true);
    const { latitude_deg, longitude_deg } = spot(105, 0);
    expect(plain.standsWithin(latitude_deg, longitude_deg, 8)).toBe(0);
    expect(plain.standsWithin(latitude_deg, longitude_deg, 2)).toBe(-1);
  });

  it("has the shape that is drawn, of an area too", () => {
    const hall = onPlain(obstaclesOf([polygon(square(100, 0, 20)), { building: "yes" }]));
    expect(leg(hall).groundSeen_share).toBe(0.999);
    expect(clearance(hall, [0, 60], [200, 60], { path_m: 50, corridor_m: 8 }).groundSeen_share).toBe(1);
  });
});

describe("a flight beyond such a thing", () => {
  const rows = landed(
    outAndBack({
      course_deg: 90,
      out_ms: 8,
      outFor_s: 40,
      back_ms: 8,
      height_m: 40,
      battery_pct: 95,
      rate_pctPerMin: 4,
      step_s: 1,
    }),
  );

  const judged = (...things: readonly { metres: number; height?: number }[]) => {
    const features = things.map(({ metres, height }, i) => {
      const { latitude_deg, longitude_deg } = at(metres, 90);
      const geometry = { type: "Point", coordinates: [longitude_deg, latitude_deg] };
      return { type: "Feature", properties: { name: `mast ${i}`, height }, geometry };
    });
    const text = JSON.stringify({ type: "FeatureCollection", features });
    const site = buildSite({
      terrain: { kind: "flat" },
      obstacles: parseObstacles(new TextEncoder().encode(text), "masts.geojson"),
      zones: { zones: [], problems: [] },
    });
    const replay = replayRows(rows, { ...ALL_KNOWN, site });
    const codes = judgeMoments(ceilingLow, replay);
    const far = [...replay.moments.distance_m].map((distance_m) => distance_m > 170);
    const isFlying = [...replay.moments.atHand].map((atHand) => atHand === 0);
    const among = (isFar: boolean) => new Set([...codes].filter((_, k) => isFlying[k] === true && far[k] === isFar));
    const lacks = describeLacks(ceilingLow.lacks(replay), replay);
    return { beyond: among(true), before: among(false), lacks };
  };

  it("is unknown from beyond it, clear from before it, and says what is lacking", () => {
    const { beyond, before, lacks } = judged({ metres: 165 });
    expect([...beyond]).toEqual([VERDICT.unknown]);
    expect(before.has(VERDICT.clear)).toBe(true);
    expect(before.has(VERDICT.fail)).toBe(false);
    expect(lacks).toEqual([
      { lack: "obstacle-heights", label: "heights of obstacles under the way home that have none (in part)" },
    ]);
  });

  it("still fails where something else is in the way for certain", () => {
    expect([...judged({ metres: 165 }, { metres: 160, height: 90 }).beyond]).toEqual([VERDICT.fail]);
  });

  it("is clear where nothing of unknown height is under the way home", () => {
    const { beyond, before, lacks } = judged({ metres: 900 });
    expect([[...beyond], [...before], lacks]).toEqual([[VERDICT.clear], [VERDICT.clear], []]);
  });
});
