import { describe, expect, it } from "vitest";
import { auditFlight } from "../../src/score/flight-result.js";
import { at, ORIGIN, type Row } from "../helpers/flights.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";
import { nothingKnown, openPlain } from "../helpers/sites.js";
import type { Site } from "../../src/site/site.js";

/** A hillside that rises 1 m every 10 m to the east. */
function hillside(): Site {
  const east = at(1000, 90).longitude_deg - ORIGIN.longitude_deg;
  const ground = (_: number, longitude_deg: number): number => ((longitude_deg - ORIGIN.longitude_deg) / east) * 100;
  return { ...openPlain(), isFlat: false, ground, standingGround: ground };
}

/** Hovers 200 m east of take-off, 30 m above the take-off spot; takes off at the origin. */
function rows(heights: (row: Row) => Partial<Row>): Row[] {
  return Array.from({ length: 30 }, (_, time_s) => {
    const row = { time_s, ...at(time_s === 0 ? 0 : 200, 90), battery_pct: 90, airborne: 1 };
    return { ...row, ...heights({ ...row, height_m: time_s === 0 ? 0 : 30 }) };
  });
}

describe("height above take-off", () => {
  it("is the log's own before anything else", () => {
    const replay = replayRows(rows(({ height_m = 0 }) => ({ height_m, altitude_m: 900 })));
    expect(replay.moments.height_m[10]).toBe(30);
    expect(replay.inputs.heights.from).toMatch(/in the log/);
  });

  it("is else the altitude less that at take-off", () => {
    const replay = replayRows(rows(({ height_m = 0 }) => ({ altitude_m: 512 + height_m })));
    // The flag alone says airborne at the first row, and no height says that it was low: it begins in the air.
    expect(replay.flight.beginsInAir).toBe(true);
    const later = rows(({ height_m = 0, time_s }) => ({ altitude_m: 512 + height_m, airborne: time_s === 0 ? 0 : 1 }));
    later[1] = { ...later[1], time_s: 1, ...ORIGIN, altitude_m: 512 };
    expect(replayRows(later).moments.height_m[10]).toBe(30);
  });

  it("is else the height over the ground on terrain, tied to the ground at take-off", () => {
    const agl = rows(({ height_m = 0, time_s }) => ({
      heightAboveGround_m: time_s === 0 ? 0 : height_m - 20,
      airborne: time_s === 0 ? 0 : 1,
    }));
    agl[1] = { ...agl[1], time_s: 1, ...ORIGIN, heightAboveGround_m: 0 };
    const replay = replayRows(agl, { ...ALL_KNOWN, site: hillside() });
    expect(replay.moments.height_m[10]).toBeCloseTo(30, 6);
    expect(replayRows(agl).moments.height_m[10]).toBeNaN();
  });

  it("is not known without any", () => {
    const replay = replayRows(rows(() => ({})));
    expect(replay.moments.height_m.every((height) => Number.isNaN(height))).toBe(true);
    expect(auditFlight(replay).result.inputs["height"]).toMatchObject({ value: "unknown", basis: "assumed" });
  });
});

describe("the recovery height", () => {
  // The recovery point lies 10 m above the take-off spot, the aircraft 30 m above it.
  const point = [{ ...at(100, 90), at_s: 0 }];
  const flown = rows(({ height_m = 0 }) => ({ height_m }));
  const legHeight = (above: "recovery-point" | "take-off" | undefined): number => {
    const settings = { recoveryHeight_m: 50, recoveryHeightAbove: above };
    const replay = replayRows(flown, { ...ALL_KNOWN, recoveryPoints: point, settings, site: hillside() });
    return replay.moments.top_m[10] ?? Number.NaN;
  };

  it("counts from the recovery point unless declared", () => {
    expect(legHeight(undefined)).toBe(50);
    expect(legHeight("recovery-point")).toBe(50);
  });

  it("counts from take-off where declared: the leg is that much lower over a point on the hill", () => {
    expect(legHeight("take-off")).toBeCloseTo(40, 6);
  });

  it("advises a height that counts from where the setting counts", () => {
    const site: Site = {
      ...hillside(),
      legClearance: (leg, out) => {
        Object.assign(out, {
          centre_m: 4,
          corridor_m: 4,
          latitude_deg: 47,
          longitude_deg: 8,
          over: -1,
          groundSeen_share: 1,
        });
        expect(leg.path_m).toBeGreaterThan(0);
      },
    };
    const least = (above: "recovery-point" | "take-off"): unknown => {
      const settings = { recoveryHeight_m: 50, recoveryHeightAbove: above };
      const replay = replayRows(flown, { ...ALL_KNOWN, recoveryPoints: point, settings, site });
      const found = auditFlight(replay).result.findings.find(({ rule }) => rule === "ceiling-low");
      return found?.evidence["least_recovery_height_m"];
    };
    expect(least("recovery-point")).toBe(56);
    expect(least("take-off")).toBeCloseTo(56, 0);
  });

  it("says which spot it counts from where the two lie apart", () => {
    const { inputs } = auditFlight(replayRows(flown, { ...ALL_KNOWN, recoveryPoints: point })).result;
    expect(inputs["recovery_point"]?.from).toMatch(
      /100 m from take-off, the recovery height counts from the recovery point/,
    );
  });

  it("is 50 m for the battery alone where nothing says, and then there is no ceiling", () => {
    const replay = replayRows(flown, { ...ALL_KNOWN, settings: {} });
    expect(replay.moments.top_m[10]).toBe(50);
    expect(replay.hasCeiling).toBe(false);
  });

  it("follows a logged setting that changes in flight", () => {
    const changing = rows(({ height_m = 0, time_s }) => ({ height_m, recoveryHeight_m: time_s < 15 ? 40 : 80 }));
    const { moments, inputs } = replayRows(changing, ALL_KNOWN);
    expect([moments.top_m[14], moments.top_m[15]]).toEqual([40, 80]);
    expect(inputs.recoveryHeight).toMatchObject({ basis: "measured" });
  });
});

describe("terrain that ends before take-off", () => {
  it("leaves the battery judged on level ground and the ceiling unknown", () => {
    const site = { ...nothingKnown(), hasTerrain: true, hasObstacles: true };
    const replay = replayRows(
      rows(({ height_m = 0 }) => ({ height_m })),
      { ...ALL_KNOWN, site },
    );
    expect(replay.hasCeiling).toBe(false);
    expect(replay.moments.top_m[10]).toBe(50);
    const open = auditFlight(replay).result.not_assessed.find(({ rule }) => rule === "ceiling-low");
    expect(open?.share).toBe(1);
  });
});
