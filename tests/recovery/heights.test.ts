import { describe, expect, it } from "vitest";
import { chooseHeights, type Heights } from "../../src/recovery/heights.js";
import { auditFlight } from "../../src/score/flight-result.js";
import type { Flight } from "../../src/track/flights.js";
import { at, flightOfRows, ORIGIN, type Row, trackOf } from "../helpers/flights.js";
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

/** Rows 1 to 3 of five, from take-off at the origin to 5 m east of it. */
const FLIGHT = flightOfRows(1, 3);

/** A slope that rises 1 m every 10 m to the east and 2 m every 10 m to the north, 400 m high at the origin. */
function slope(): Site {
  const east = at(1000, 90).longitude_deg - ORIGIN.longitude_deg;
  const north = at(1000, 0).latitude_deg - ORIGIN.latitude_deg;
  const ground = (latitude_deg: number, longitude_deg: number): number =>
    400 + ((longitude_deg - ORIGIN.longitude_deg) / east) * 100 + ((latitude_deg - ORIGIN.latitude_deg) / north) * 200;
  return { ...openPlain(), isFlat: false, ground, standingGround: ground };
}

const PLACES = [at(300, 0), ORIGIN, at(100, 45), at(5, 90), at(700, 200)];

function chosen(
  values: Partial<Record<"height_m" | "altitude_m" | "altitudeEllipsoidal_m" | "heightAboveGround_m", number[]>>,
  flight: Partial<Flight> = {},
  { site = openPlain(), places = PLACES }: { readonly site?: Site; readonly places?: readonly object[] } = {},
): Heights {
  const rows = places.map((place, i) => {
    const row: Record<string, number> = { time_s: i, ...place };
    for (const [key, column] of Object.entries(values)) row[key] = column[i] ?? Number.NaN;
    return row as Row;
  });
  return chooseHeights(trackOf(rows), { ...FLIGHT, ...flight }, site);
}

describe("the heights of a flight's rows", () => {
  const height_m = [-5, 0, 40, 2, 90];
  const heightsOf = (heights: Heights): number[] => [...heights.overTakeoff_m];

  it("are those logged at its rows alone, before any altitude", () => {
    const heights = chosen({ height_m, altitude_m: height_m.map((up) => up + 900) }, { takeoffAltitude_m: 880 });
    expect(heights).toMatchObject({ basis: "measured", from: "height above take-off in the log" });
    expect(heightsOf(heights)).toEqual([0, 40, 2]);
  });

  it("are the altitudes less that at take-off, above the sea before above the ellipsoid", () => {
    const altitude_m = height_m.map((up) => up + 512);
    const altitudeEllipsoidal_m = height_m.map((up) => up + 560);
    const both = chosen({ altitude_m, altitudeEllipsoidal_m }, { takeoffAltitude_m: 512 });
    expect(both).toMatchObject({ basis: "measured", from: "altitude in the log less that at take-off" });
    expect(heightsOf(both)).toEqual([0, 40, 2]);
    expect(heightsOf(chosen({ altitudeEllipsoidal_m }, { takeoffAltitude_m: 560 }))).toEqual([0, 40, 2]);
  });

  it.each([
    ["the altitude at take-off was not seen", { altitude_m: height_m }, {}],
    ["an altitude at take-off has no column", {}, { takeoffAltitude_m: 500 }],
    ["the ground at take-off is not known", { heightAboveGround_m: height_m }, { takeoff: undefined }],
    ["nothing is logged", {}, {}],
  ])("are not known where %s", (_, values, flight) => {
    const heights = chosen(values, flight, { site: slope() });
    expect(heights).toMatchObject({ basis: "assumed", from: "not known", drift_m: 0 });
    expect(heightsOf(heights)).toEqual([Number.NaN, Number.NaN, Number.NaN]);
  });

  it("are those over the ground, with the ground's rise since take-off", () => {
    const heights = chosen({ heightAboveGround_m: height_m }, {}, { site: slope() });
    expect(heights).toMatchObject({ basis: "measured", from: "height above ground in the log, over the terrain" });
    // 100 m to the north-east: 300 / √2 · 1/10 m higher.
    const [first = Number.NaN, second = Number.NaN, third = Number.NaN] = heightsOf(heights);
    expect(heights.overTakeoff_m).toHaveLength(3);
    expect(first).toBe(0);
    expect(second).toBeCloseTo(40 + 30 / Math.SQRT2, 3);
    expect(third).toBeCloseTo(2.5, 6);
    expect(heights.isTied).toBe(true);
    expect(heights.takeoffGround_m).toBeCloseTo(400, 9);
  });

  it("are tied to a flat ground from a start in the air, and to no other", () => {
    const inAir = { takeoff: undefined, beginsInAir: true };
    expect(chosen({ heightAboveGround_m: height_m }, inAir)).toMatchObject({ isTied: true, takeoffGround_m: 0 });
    expect(heightsOf(chosen({ heightAboveGround_m: height_m }, inAir))).toEqual([0, 40, 2]);
    expect(chosen({ height_m }, inAir, { site: slope() })).toMatchObject({ isTied: false, takeoffGround_m: 0 });
    const untold = { ...slope(), hasTerrain: false };
    expect(chosen({ height_m }, {}, { site: untold })).toMatchObject({ isTied: false, takeoffGround_m: 0 });
  });
});

describe("the drift of the height", () => {
  const height_m = [-5, 0, 40, 2, 90];
  const driftOf = (flight: Partial<Flight>, last: object, site?: Site): number => {
    const places = PLACES.map((place, i) => (i === 3 ? last : place));
    return chosen({ height_m }, flight, { places, ...(site === undefined ? {} : { site }) }).drift_m;
  };

  it("is what the height reads at the end, landed within 10 m of take-off", () => {
    expect(driftOf({}, at(9.9, 90))).toBe(2);
    expect(driftOf({}, at(10.1, 90))).toBe(0);
    expect(driftOf({}, at(9.9, 0))).toBe(2);
    expect(driftOf({}, at(10.1, 0))).toBe(0);
  });

  it("leaves out what the ground rises, where that is known", () => {
    // 5 m east: half a metre up; 5 m south: one down.
    expect(driftOf({}, at(5, 90), slope())).toBeCloseTo(1.5, 6);
    expect(driftOf({}, at(5, 180), slope())).toBeCloseTo(3, 5);
    expect(driftOf({}, at(5, 90), { ...slope(), hasTerrain: false })).toBe(2);
    const hole = slope();
    const edge = (latitude_deg: number, longitude_deg: number): number =>
      longitude_deg > ORIGIN.longitude_deg ? Number.NaN : hole.ground(latitude_deg, longitude_deg);
    expect(driftOf({}, at(5, 90), { ...hole, standingGround: edge })).toBe(2);
  });

  it("cannot be seen without a take-off, a landing or a height at the end", () => {
    expect(driftOf({ takeoff: undefined }, at(5, 90))).toBe(0);
    expect(driftOf({ endsInAir: true }, at(5, 90))).toBe(0);
    expect(driftOf({}, { latitude_deg: Number.NaN, longitude_deg: Number.NaN })).toBe(0);
    expect(chosen({ height_m: [-5, 0, 40, Number.NaN, 90] }).drift_m).toBe(0);
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
