import { describe, expect, it } from "vitest";
import { CLEARANCE_KEYS, CLIMB_KEYS, type MomentKey, ZONE_KEYS } from "../../src/recovery/moments.js";
import { emptyPlan, planFrom, planMoment, replayAtHeight } from "../../src/recovery/replay-flight.js";
import type { Replay } from "../../src/recovery/replay.js";
import type { Site } from "../../src/site/site.js";
import type { Given } from "../helpers/declared.js";
import { at, ORIGIN, type Row } from "../helpers/flights.js";
import { replayRows } from "../helpers/replay.js";
import { nothingKnown, openPlain } from "../helpers/sites.js";

const CALM = { speed_ms: 0, from_deg: 0, gust_ms: 0, height_m: 10, shear: 0 };
const GIVEN: Given = {
  drain: { hover: 6, climb: 12, cruise: 9, descent: 3 },
  speeds: { recovery: 10, climb: 2, descent: 4, landing: 1 },
  settings: { recoveryHeight_m: 50, triggerDelay_s: 2, turnTime_s: 4, slowHeight_m: 5 },
  wind: CALM,
  recoveryPoints: [{ ...ORIGIN, at_s: 0 }],
};
/** The moment that is asked about. */
const K = 20;

/** Hovers north of the recovery point for forty seconds. */
const hover = (distance_m = 300, height_m = 30, more: (time_s: number) => Partial<Row> = () => ({})): Row[] =>
  Array.from({ length: 40 }, (_, time_s) => ({
    time_s,
    ...at(distance_m, 0),
    height_m: time_s === 0 ? 0 : height_m,
    battery_pct: 80,
    airborne: 1,
    ...more(time_s),
  }));
const within = (settings: Given["settings"]): Given => ({ ...GIVEN, settings: { ...GIVEN.settings, ...settings } });
const value = (replay: Replay, ...keys: readonly MomentKey[]): number[] =>
  keys.map((key) => replay.moments[key][K] ?? Number.NaN);
const isBlank = ({ moments }: Replay, keys: readonly MomentKey[]): boolean[] =>
  keys.map((key) => moments[key].every((one) => Number.isNaN(one)));

describe("the moments of a flight", () => {
  it("have what the log says at the flight's rows, and nothing of what it lacks", () => {
    const ground = (time_s: number): Partial<Row> => ({ airborne: time_s < 5 ? 0 : 1, satellites: time_s });
    const replay = replayRows(hover(300, 30, ground), GIVEN);
    const { length, moments } = replay;
    expect(length).toBe(35);
    for (const column of Object.values(moments)) expect(column).toHaveLength(length);
    expect([moments.at_s[0], moments.satellites[0], moments.height_m[K], moments.battery_pct[K]]).toEqual([
      5, 5, 30, 80,
    ]);
    expect(moments.latitude_deg[K]).toBe(at(300, 0).latitude_deg);
    expect(moments.longitude_deg[K]).toBe(at(300, 0).longitude_deg);
    const people = ["adrift_m", "operatorDistance_m", "leadsAway_deg"] as const;
    expect(isBlank(replay, ["hdop", "fixType", ...people])).toEqual([true, true, true, true, true]);
    const bare = replayRows(
      hover().map(({ battery_pct: _, ...row }) => row),
      GIVEN,
    );
    expect(isBlank(bare, ["battery_pct", "touchdownMiddle_pct", "needMiddle_pct"])).toEqual([true, true, false]);
  });

  it("have where the operator is, each number in its own column", () => {
    const replay = replayRows(hover(), { ...GIVEN, operator: { kind: "position", ...at(100, 90) } });
    const [adrift_m, operator_m, away_deg] = value(replay, "adrift_m", "operatorDistance_m", "leadsAway_deg");
    expect(adrift_m).toBeCloseTo(100, 6);
    expect(operator_m).toBeCloseTo(Math.hypot(100, 300), 2);
    expect(away_deg).toBeCloseTo((180 / Math.PI) * Math.atan2(100, 300), 2);
    expect(isBlank(replay, ["hdop"])).toEqual([true]);
  });

  it("have of the site what there can be of it, and NaN of the rest", () => {
    const blank = (site: Partial<Site>, given: Given = GIVEN): boolean[] => {
      const replay = replayRows(hover(), {
        ...given,
        site: { ...openPlain(), hasZones: false, hasObstacles: false, ...site },
      });
      return [CLEARANCE_KEYS, ZONE_KEYS, CLIMB_KEYS].map((keys) => isBlank(replay, keys).every(Boolean));
    };
    expect(blank({})).toEqual([false, true, true]);
    expect(blank({}, { ...GIVEN, settings: {} })).toEqual([true, true, true]);
    expect(blank({ hasZones: true })).toEqual([false, false, false]);
    expect(blank({ hasObstacles: true })).toEqual([false, true, false]);
  });

  it.each<[string, Partial<Site>, boolean, boolean]>([
    ["nothing", nothingKnown(), false, false],
    ["a plain of which nothing else is known", { hasObstacles: false }, true, false],
    ["a plain with declared obstacles", {}, true, true],
    ["a surface", { isFlat: false, isSurface: true, hasObstacles: false }, true, true],
    ["obstacles alone", { hasTerrain: false, isFlat: false }, true, false],
    ["terrain that does not reach the take-off", { isFlat: false, standingGround: () => Number.NaN }, false, false],
  ])("know the ceiling, and the whole of it, over %s", (_, site, hasCeiling, isCeilingWhole) => {
    const replay = replayRows(hover(), { ...GIVEN, site: { ...openPlain(), ...site } });
    expect(replay).toMatchObject({ hasCeiling, isCeilingWhole });
    const assumed = { ...GIVEN, settings: {}, site: { ...openPlain(), ...site } };
    expect(replayRows(hover(), assumed)).toMatchObject({ hasCeiling: false, isCeilingWhole });
  });

  it("have an upper need at the policy's level, with bounds where something is only assumed", () => {
    const replay = replayRows(hover(), GIVEN);
    expect(replay.upperIs).toBe("level");
    expect(replay.model.z).toBeCloseTo(1.2816, 2);
    expect(replayRows(hover(), { ...GIVEN, policy: { upper: 50 } }).model.z).toBeCloseTo(0, 9);
    const { wind: _, ...windless } = GIVEN;
    expect(replayRows(hover(), windless).upperIs).toBe("bound");
  });

  it("have left what the battery has less each need", () => {
    const replay = replayRows(hover(), { ...GIVEN, speeds: {} });
    const [middle_pct = 0, upper_pct = 0] = value(replay, "needMiddle_pct", "needUpper_pct");
    const left = value(replay, "touchdownMiddle_pct", "touchdownUpper_pct");
    expect(left).toEqual([80 - middle_pct, 80 - upper_pct]);
    const [low_pct = 0, known_pct = 0] = value(replay, "touchdownLow_pct", "touchdownUpperKnown_pct");
    expect(low_pct).toBeGreaterThan(80 - middle_pct);
    expect(known_pct).toBeGreaterThan(80 - upper_pct);
    expect(known_pct).toBeLessThan(low_pct);
  });
});

describe("a moment at hand", () => {
  const atHand = (rows: readonly Row[], given: Given = GIVEN, k = K): number =>
    replayRows(rows, given).moments.atHand[k] ?? -1;

  it("is within the policy's radius, or that of the declared near action", () => {
    expect([atHand(hover(14.99)), atHand(hover(15.01))]).toEqual([1, 0]);
    const wide = { ...GIVEN, policy: { at_hand: 25 } };
    expect([atHand(hover(24.99), wide), atHand(hover(25.01), wide)]).toEqual([1, 0]);
    const near = { ...within({ near: { radius_m: 40, action: "level" } }), policy: { at_hand: 25 } };
    expect([atHand(hover(39.99), near), atHand(hover(40.01), near)]).toEqual([1, 0]);
  });

  it("is low in the last ten seconds before a landing", () => {
    const landing = (height_m: number, more: (time_s: number) => Partial<Row> = () => ({})): Row[] => [
      ...hover(300, 30, (time_s) => ({ ...(time_s > 20 ? { height_m } : {}), ...more(time_s) })),
      { time_s: 40, ...at(300, 0), height_m: 0, battery_pct: 80, airborne: 0 },
    ];
    expect([28, 29, 39].map((k) => atHand(landing(2.9), GIVEN, k))).toEqual([0, 1, 1]);
    expect(atHand(landing(3), GIVEN, 39)).toBe(0);
    // Where the record ends in the air nobody saw a landing.
    const seen = replayRows(landing(2.9), GIVEN);
    planMoment({ ...seen, flight: { ...seen.flight, endsInAir: true } }, 39, emptyPlan(seen));
    expect(seen.moments.atHand[39]).toBe(0);
  });

  it("is neither where the way home is not known", () => {
    expect(atHand(hover(), { ...GIVEN, recoveryPoints: [{ ...ORIGIN, at_s: 30 }] })).toBeNaN();
  });
});

describe("the climb and the leg", () => {
  const heights = (rows: readonly Row[], given: Given = GIVEN): number[] =>
    value(replayRows(rows, given), "climb_m", "top_m");

  it("are up to the recovery height, or level from above it", () => {
    expect(heights(hover(300, 30))).toEqual([20, 50]);
    expect(heights(hover(300, 50))).toEqual([0, 50]);
    expect(heights(hover(300, 80))).toEqual([0, 80]);
  });

  it("are not known without a height", () => {
    const lost = hover(300, 30, (time_s) => (time_s === K ? { height_m: Number.NaN } : {}));
    expect(heights(lost)).toEqual([Number.NaN, Number.NaN]);
  });

  it("may be a climb at hand, unless an action that does not was declared", () => {
    // Rehearsed is the landing, and what it would climb is told all the same.
    expect(heights(hover(10, 30))).toEqual([20, 30]);
    const near = (action: "land" | "level" | "climb"): number[] =>
      heights(hover(25, 30), within({ near: { radius_m: 30, action } }));
    expect([near("land"), near("level"), near("climb")]).toEqual([
      [0, 30],
      [0, 30],
      [20, 50],
    ]);
    expect(heights(hover(35, 30), within({ near: { radius_m: 30, action: "land" } }))).toEqual([20, 50]);
  });

  it("count from the ground at the recovery point, or at take-off where the setting does", () => {
    /** The take-off, under the hover, lies 12 m over the ground at the recovery point. */
    const north = at(300, 0).latitude_deg;
    const ground = (latitude_deg: number): number => (Math.abs(latitude_deg - north) < 1e-4 ? 412 : 400);
    const site: Site = { ...openPlain(), isFlat: false, ground, standingGround: ground };
    expect(heights(hover(), { ...GIVEN, site })).toEqual([8, 50]);
    expect(heights(hover(), { ...within({ recoveryHeightAbove: "take-off" }), site })).toEqual([20, 62]);
  });

  it("follow a logged setting row by row", () => {
    const logged = hover(300, 30, (time_s) => ({ recoveryHeight_m: time_s < K ? 40 : 65 }));
    expect(heights(logged)).toEqual([35, 65]);
  });
});

describe("the speed home", () => {
  const SPEEDS = [
    "groundSpeed_ms",
    "groundSpeedAdverse_ms",
    "groundSpeedBest_ms",
    "groundSpeedAdverseBest_ms",
  ] as const;
  const speeds = (rows: readonly Row[], wind: Given["wind"], given: Given = GIVEN): number[] =>
    value(replayRows(rows, { ...given, wind }), ...SPEEDS);
  const close = (...expected: readonly number[]): number[] => expected.map((one) => expect.closeTo(one, 6) as number);

  it("is less the wind against it, and the gust over that", () => {
    const against = { ...CALM, speed_ms: 3, from_deg: 180, gust_ms: 5 };
    expect(speeds(hover(), against)).toEqual(close(7, 5, 7, 5));
    expect(speeds(hover(), { ...against, from_deg: 0 })[0]).toBeCloseTo(13, 6);
    expect(speeds(hover(), { ...against, from_deg: 90 })[0]).toBeCloseTo(Math.sqrt(91), 6);
  });

  it("is at hand what holding station leaves, wherever the wind is from", () => {
    const wind = { ...CALM, speed_ms: 3, from_deg: 0, gust_ms: 5 };
    expect(speeds(hover(10), wind)).toEqual(close(7, 5, 7, 5));
    // Assumed are 8 m/s, and 12 at best.
    const { speeds: _, ...unsaid } = GIVEN;
    expect(speeds(hover(10), wind, unsaid)).toEqual(close(5, 3, 9, 7));
  });

  it("is by the wind at the height of the leg", () => {
    const sheared = { ...CALM, speed_ms: 3, from_deg: 180, gust_ms: 4, shear: 0.2 };
    const raised_ms = 3 * 5 ** 0.2;
    expect(speeds(hover(), sheared).slice(0, 2)).toEqual(close(10 - raised_ms, 10 - (4 / 3) * raised_ms));
    // From 80 m it flies home there.
    expect(speeds(hover(300, 80), sheared)[0]).toBeCloseTo(10 - 3 * 8 ** 0.2, 6);
  });

  it("takes a logged wind to hold where the aircraft was", () => {
    const logged = hover(300, 25, () => ({ windSpeed_ms: 3, windFrom_deg: 180 }));
    expect(speeds(logged, { ...CALM, shear: 0.2 })[0]).toBeCloseTo(10 - 3 * 2 ** 0.2, 6);
  });

  it("is in calm where the wind is only assumed, with 5 m/s against it as a bound", () => {
    const { wind: _, ...windless } = GIVEN;
    const replay = replayRows(hover(), windless);
    expect(value(replay, ...SPEEDS).slice(0, 2)).toEqual(close(10, 10));
    const plan = emptyPlan(replay);
    planMoment(replay, K, plan);
    expect(plan).toMatchObject({ wind_ms: 0, windOff_ms: 0, windBound_ms: 5 });
    expect(emptyPlan(replayRows(hover(), GIVEN)).windBound_ms).toBe(0);
  });
});

describe("the plan of a moment", () => {
  const planOf = (rows: readonly Row[], given: Given = GIVEN) => {
    const replay = replayRows(rows, given);
    const plan = emptyPlan(replay);
    planMoment(replay, K, plan);
    return plan;
  };

  it("is its delay, heights, way and wind", () => {
    const wind = { ...CALM, speed_ms: 3, from_deg: 250, gust_ms: 5 };
    expect(planOf(hover(), { ...GIVEN, wind })).toEqual({
      delay_s: 6,
      height_m: 30,
      top_m: 50,
      bestTop_m: 50,
      distance_m: expect.closeTo(300, 6) as number,
      course_deg: expect.closeTo(180, 6) as number,
      wind_ms: 3,
      windFrom_deg: 250,
      windOff_ms: 2,
      windBound_ms: 0,
    });
  });

  it("has no climb at best where the recovery height is only assumed", () => {
    expect(planOf(hover(), within({ recoveryHeight_m: undefined }))).toMatchObject({ top_m: 50, bestTop_m: 30 });
    const near = { recoveryHeight_m: undefined, near: { radius_m: 400, action: "level" } } as const;
    expect(planOf(hover(), within(near))).toMatchObject({ top_m: 30, bestTop_m: 30 });
  });

  it("has no delay at hand, nor where a recovery is flown", () => {
    expect(planOf(hover(10))).toMatchObject({ delay_s: 0, distance_m: 0 });
    expect(planOf(hover(300, 30, () => ({ recoveryActive: 1 })))).toMatchObject({ delay_s: 0 });
    const level = within({ near: { radius_m: 30, action: "level" } });
    expect(planOf(hover(25), level)).toMatchObject({ delay_s: 6, distance_m: expect.closeTo(25, 6) as number });
  });

  it("stays unknown where the way is", () => {
    const none = { ...GIVEN, recoveryPoints: [{ ...ORIGIN, at_s: 30 }] };
    expect(planOf(hover(), none)).toMatchObject({ distance_m: Number.NaN, course_deg: Number.NaN });
  });
});

describe("a recovery from elsewhere", () => {
  it("climbs from the ground at the recovery point, in the wind of the moment", () => {
    const wind = { ...CALM, speed_ms: 3, from_deg: 250, gust_ms: 4, shear: 0.2 };
    const replay = replayRows(hover(), { ...GIVEN, wind });
    const plan = emptyPlan(replay);
    planFrom(replay, K, { distance_m: 1000, courseHome_deg: 45, top_m: 80 }, plan);
    expect(plan).toEqual({
      delay_s: 6,
      height_m: 0,
      top_m: 80,
      bestTop_m: 80,
      distance_m: 1000,
      course_deg: 45,
      wind_ms: expect.closeTo(3 * 8 ** 0.2, 9) as number,
      windFrom_deg: 250,
      windOff_ms: expect.closeTo(8 ** 0.2, 9) as number,
      windBound_ms: 0,
    });
  });

  it("takes a logged wind to hold where the aircraft was, over the ground at the recovery point", () => {
    const logged = hover(300, 30, () => ({ windSpeed_ms: 3, windFrom_deg: 180 }));
    const replay = replayRows(logged, { ...GIVEN, wind: { ...CALM, shear: 0.2 } });
    replay.pointGround_m.fill(15);
    const heights = { ...replay.inputs.heights, takeoffGround_m: 25 };
    const plan = emptyPlan(replay);
    const spot = { distance_m: 1000, courseHome_deg: 45, top_m: 80 };
    planFrom({ ...replay, inputs: { ...replay.inputs, heights } }, K, spot, plan);
    // From 40 to 80 m.
    expect(plan.wind_ms).toBeCloseTo(3 * 2 ** 0.2, 9);
  });
});

describe("the same flight at another recovery height", () => {
  it("climbs less high, and never higher than it was set", () => {
    const replay = replayRows(hover(), GIVEN);
    const set = (height_m: number): number[] => {
      const other = replayAtHeight(replay, height_m);
      return [other.inputs.recoveryHeight.value, ...value(other, "top_m")];
    };
    expect([set(40), set(50), set(60)]).toEqual([
      [40, 40],
      [50, 50],
      [50, 50],
    ]);
    expect(replayAtHeight(replay, 40).inputs.recoveryHeight.basis).toBe("declared");
    expect(value(replay, "top_m")).toEqual([50]);
  });

  it("leaves a logged one that was lower as it was", () => {
    const logged = hover(300, 30, (time_s) => ({ recoveryHeight_m: time_s < K ? 40 : 65 }));
    const lower = replayAtHeight(replayRows(logged, GIVEN), 45);
    expect([lower.moments.top_m[K - 1], lower.moments.top_m[K]]).toEqual([40, 45]);
    expect(lower.inputs.recoveryHeight.value).toBe(40);
  });
});
