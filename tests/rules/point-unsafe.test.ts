import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { pointUnsafe } from "../../src/rules/point-unsafe.js";
import type { Conduct } from "../../src/rules/rule.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { buildSite } from "../../src/site/build-site.js";
import type { Grid } from "../../src/site/grid.js";
import type { Site } from "../../src/site/site.js";
import { landingSlope_deg } from "../../src/site/slope.js";
import { askConduct } from "../helpers/conduct.js";
import { at, ORIGIN } from "../helpers/flights.js";
import { ALL_KNOWN, shortReplay } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";
import { nothingKnown } from "../helpers/sites.js";
import { collection, noObstacles, obstaclesFrom, ringAround, type Spot, zonesFrom } from "../helpers/zones.js";

/** The recovery point of these replays is the origin. */
function around(zones: Uint8Array = collection(), obstacles: Uint8Array = collection()): Site {
  return buildSite({ terrain: { kind: "flat" }, obstacles: obstaclesFrom(obstacles), zones: zonesFrom(zones) });
}

const zone = (kind: string, spot: Spot = ORIGIN): Uint8Array =>
  collection([ringAround(spot, 10), { zone: kind, name: "Mill Pond", underside: 5 }]);
const mast = (distance_m: number, radius = 1): Uint8Array => {
  const { latitude_deg, longitude_deg } = at(distance_m, 30);
  return collection([
    { type: "Point", coordinates: [longitude_deg, latitude_deg] },
    { name: "mast", height: 9, radius },
  ]);
};
const asked = (site: Site): Conduct => askConduct(pointUnsafe, shortReplay(20, { ...ALL_KNOWN, site }));

/** A plane that rises towards the north, 10 m between its nodes. */
function slope(tan: number): Grid {
  const step = 10 / 111_180;
  const heights_m = Float64Array.from({ length: 41 * 41 }, (_, k) => Math.floor(k / 41) * 10 * tan);
  const [west_deg, south_deg] = [ORIGIN.longitude_deg - 20 * step, ORIGIN.latitude_deg - 20 * step];
  return { columns: 41, rows: 41, west_deg, south_deg, stepEast_deg: step, stepNorth_deg: step, heights_m };
}
const sloped = (tan: number, surface = false, hasObstacles = true): Site =>
  buildSite({
    terrain: { kind: "grids", grids: [{ grid: slope(tan), surface, error_m: 0 }] },
    obstacles: hasObstacles ? noObstacles() : undefined,
    zones: zonesFrom(collection()),
  });

describe("point-unsafe", () => {
  it.each<[string, Site, string]>([
    ["in the open", around(), "clear"],
    ["in water", around(zone("water")), "fail"],
    ["in a keep-out zone", around(zone("keep-out")), "fail"],
    ["in a no-landing zone", around(zone("no-landing")), "fail"],
    ["under cover", around(zone("cover")), "fail"],
    ["beside water", around(zone("water", at(10.01, 90))), "clear"],
    ["a hair inside the edge of the water", around(zone("water", at(9.99, 90))), "fail"],
    ["in a footprint", around(undefined, mast(0.9)), "fail"],
    ["just outside a footprint", around(undefined, mast(1.01)), "thin"],
    ["a mast just within the corridor", around(undefined, mast(8.99)), "thin"],
    ["a mast just beyond the corridor", around(undefined, mast(9.01)), "clear"],
    ["ground that slopes a hair under 10°", sloped(0.1762), "clear"],
    ["ground that slopes a hair over 10°", sloped(0.1765), "thin"],
    ["a steep surface", sloped(0.5, true), "unknown"],
    ["an even surface without obstacles", sloped(0.01, true, false), "clear"],
    ["even ground without obstacles", sloped(0.01, false, false), "unknown"],
    ["nothing known", nothingKnown(), "unknown"],
  ])("%s", (_, site, verdict) => {
    expect(asked(site).verdict).toBe(verdict);
  });

  it("fails or is thin by what is known, whatever else is not", () => {
    const zones = zonesFrom(zone("water"));
    expect(asked(buildSite({ terrain: undefined, obstacles: undefined, zones })).verdict).toBe("fail");
    const obstacles = obstaclesFrom(mast(5));
    expect(asked(buildSite({ terrain: undefined, obstacles })).verdict).toBe("thin");
  });

  it("says what it lacks", () => {
    expect(asked(nothingKnown()).lacks).toEqual(["terrain", "obstacles", "zones"]);
    expect(asked(sloped(0.5, true)).lacks).toEqual(["ground-slope", "obstacles", "zones"]);
    expect(asked(sloped(0.01, false, false)).lacks).toEqual(["obstacles", "zones"]);
    const unlevelled = buildSite({ terrain: undefined, obstacles: noObstacles(), zones: zonesFrom(collection()) });
    expect(asked(unlevelled)).toEqual({ verdict: "unknown", lacks: ["terrain", "obstacles", "zones"] });
  });

  it("is unknown where no recovery point is", () => {
    const replay = shortReplay(20, { ...ALL_KNOWN, site: around() });
    const point = { ...replay.inputs.point, setRow: undefined };
    const without = { ...replay, inputs: { ...replay.inputs, point } };
    expect(askConduct(pointUnsafe, without)).toEqual({ verdict: "unknown", lacks: ["recovery-point"] });
  });

  it("spells out what is there, and caps the score", () => {
    const { result } = auditFlight(shortReplay(20, { ...ALL_KNOWN, site: around(zone("water")) }));
    const finding = result.findings.find(({ rule }) => rule === "point-unsafe");
    expect(finding).toMatchObject({ verdict: "fail", start_s: 0, end_s: 19, decided_by: "declared" });
    expect(finding?.message).toBe(
      "The recovery point lies in the water of Mill Pond: a recovery comes down there by itself.",
    );
    expect(result.score).toBe(59);
    expect(asked(around(undefined, mast(5))).finding?.message).toBe(
      "The recovery point has mast within 8 m, the error that a landing may have: a recovery comes down there by itself.",
    );
    const { finding: steep } = asked(sloped(0.3));
    expect(steep).toMatchObject({ limit: 10, unit: "deg" });
    expect(steep?.value).toBeCloseTo((Math.atan(0.3) * 180) / Math.PI, 2);
    expect(steep?.message).toMatch(/^The recovery point is on ground that slopes 17° \(limit 10°\)/);
  });

  it("says nothing more of a point that is clear", () => {
    expect(asked(around())).toEqual({ verdict: "clear" });
  });

  it("spells out what to do, and all the numbers", () => {
    const numbers = { thing: "Mill Pond", slope_deg: 0, unsafe_points: 1, points: 1 };
    expect(asked(around(zone("water"))).finding).toMatchObject({
      value: Number.NaN,
      limit: Number.NaN,
      unit: "m",
      advice: "Take off clear of Mill Pond, or move the recovery point before you need it.",
      evidence: numbers,
    });
    expect(asked(around(undefined, mast(5))).finding).toMatchObject({
      limit: 8,
      unit: "m",
      evidence: { ...numbers, thing: "mast" },
    });
    const steep = asked(sloped(0.3)).finding;
    expect(steep?.advice).toBe("Take off where the ground is level, or set the recovery point there.");
    expect(steep?.evidence).toMatchObject({ thing: null, slope_deg: steep?.value });
    const blind = asked(buildSite({ terrain: undefined, obstacles: undefined, zones: zonesFrom(zone("water")) }));
    expect(blind.finding?.evidence["slope_deg"]).toBe(null);
    expect(pointUnsafe.bases(shortReplay())).toEqual(["declared", "declared"]);
  });

  it("takes a slope just at the limit", () => {
    const site = sloped(0.3);
    const limit_deg = landingSlope_deg(site, ORIGIN.latitude_deg, ORIGIN.longitude_deg);
    const under = (slope: number, on = site): Conduct =>
      askConduct(pointUnsafe, shortReplay(20, { ...ALL_KNOWN, site: on, policy: { slope } }));
    expect(under(limit_deg)).toEqual({ verdict: "clear" });
    expect(under(limit_deg - 1e-9).verdict).toBe("thin");
    expect(under(limit_deg, sloped(0.3, false, false)).lacks).toEqual(["obstacles", "zones"]);
  });

  it("counts rows from the flight's first, and tells the first of two that are as bad", () => {
    const rows = Array.from({ length: 40 }, (_, time_s) => ({
      time_s,
      ...at(100, 90),
      height_m: time_s < 10 ? 0 : 30,
      battery_pct: 80,
      airborne: time_s < 10 ? 0 : 1,
    }));
    const recoveryPoints = [
      { ...ORIGIN, at_s: 0 },
      { ...at(60, 0), at_s: 16 },
      { ...at(120, 0), at_s: 22 },
      { ...at(180, 0), at_s: 30 },
    ];
    const [first, second] = [at(60, 0), at(180, 0)];
    const masts = [first, second].map(({ latitude_deg, longitude_deg }) => {
      const place = { type: "Point", coordinates: [longitude_deg, latitude_deg + 4 / 111_180] };
      return [place, { name: "mast", height: 9, radius: 1 }] as const;
    });
    const conduct = (site: Site): Conduct =>
      askConduct(pointUnsafe, replayRows(rows, { ...ALL_KNOWN, site, recoveryPoints }));
    expect(conduct(around(undefined, collection(...masts)))).toMatchObject({
      verdict: "thin",
      finding: { first: 16, at: 16, last: 21, evidence: { points: 4, unsafe_points: 2 } },
    });
    expect(conduct(around(zone("water", second), collection(...masts)))).toMatchObject({
      verdict: "fail",
      finding: { first: 30, at: 30, last: 39, evidence: { points: 4, unsafe_points: 2 } },
    });
    // Known nowhere but under the second point, where it is thin.
    const part = { ...nothingKnown(), obstacleNames: ["mast"] };
    const near = (latitude_deg: number, _: number, within_m: number): number =>
      within_m > 0 && Math.abs(latitude_deg - first.latitude_deg) < 1e-9 ? 0 : -1;
    expect(conduct({ ...part, standsWithin: near }).verdict).toBe("thin");
    expect(conduct(part).verdict).toBe("unknown");
  });

  it("asks every point of a flight and tells the worst, for as long as it counted", () => {
    const points = [
      { ...ORIGIN, at_s: 0 },
      { ...at(60, 0), at_s: 6 },
      { ...at(120, 0), at_s: 12 },
    ];
    const site = around(zone("no-landing", at(60, 0)));
    const conduct = askConduct(pointUnsafe, shortReplay(20, { ...ALL_KNOWN, recoveryPoints: points, site }));
    expect(conduct).toMatchObject({
      verdict: "fail",
      finding: { first: 6, last: 11, evidence: { points: 3, unsafe_points: 1 } },
    });
    expect(conduct.finding?.message).toMatch(/^The recovery point set at 00:06 lies in the no-landing zone Mill Pond:/);
  });

  it("never gets better by a nearer mast", () => {
    const rank = ["clear", "unknown", "thin", "fail"];
    const distance = fc.double({ min: 0, max: 30, noNaN: true });
    fc.assert(
      fc.property(distance, distance, (a, b) => {
        const said = (d: number): number => rank.indexOf(asked(around(undefined, mast(d))).verdict);
        expect(said(Math.min(a, b))).toBeGreaterThanOrEqual(said(Math.max(a, b)));
      }),
      { numRuns: 40 },
    );
  });
});
