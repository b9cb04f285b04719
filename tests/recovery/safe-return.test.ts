import { describe, expect, it } from "vitest";
import { findTurnback } from "../../src/recovery/turnback.js";
import { at, outAndBack } from "../helpers/flights.js";
import { shortReplay } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";

/**
 * Point of safe return: time E·H/(O+H), with E the endurance left after what does not depend on the distance.
 * Published: USAF AFM 51-40 / AFPAM 11-216 (formula in words); worked example E 6 h 30 min, O 240 kt, H 210 kt → 182 min,
 * 728 nm (aerofile, "Point of No Return", flight-computer method).
 */
function safeReturn_s(endurance_s: number, out_ms: number, home_ms: number): number {
  return (endurance_s * home_ms) / (out_ms + home_ms);
}

const AIR_SPEED_MS = 10;
const RATE = 6;
const DRAIN = { hover: RATE, climb: RATE, cruise: RATE, descent: RATE };
const STEP_S = 0.5;
const RESERVE_PCT = 25;

interface Case {
  readonly name: string;
  readonly out_ms: number;
  readonly home_ms: number;
  readonly wind: { readonly speed_ms: number; readonly from_deg: number };
  readonly height_m: number;
  readonly recoveryHeight_m: number;
}

// Flown due north, so that the way home is due south along the same meridian at every distance. Wind from 180 is a
// tailwind on the way out and a headwind on the way home.
const CASES: readonly Case[] = [
  { name: "calm", out_ms: 10, home_ms: 10, wind: { speed_ms: 0, from_deg: 0 }, height_m: 40, recoveryHeight_m: 40 },
  {
    name: "tailwind out",
    out_ms: 14,
    home_ms: 6,
    wind: { speed_ms: 4, from_deg: 180 },
    height_m: 40,
    recoveryHeight_m: 40,
  },
  {
    name: "headwind out",
    out_ms: 6,
    home_ms: 14,
    wind: { speed_ms: 4, from_deg: 0 },
    height_m: 40,
    recoveryHeight_m: 40,
  },
  {
    name: "crosswind",
    out_ms: 8,
    home_ms: Math.sqrt(AIR_SPEED_MS ** 2 - 6 ** 2),
    wind: { speed_ms: 6, from_deg: 90 },
    height_m: 40,
    recoveryHeight_m: 40,
  },
  {
    name: "extra climb",
    out_ms: 10,
    home_ms: 10,
    wind: { speed_ms: 0, from_deg: 0 },
    height_m: 40,
    recoveryHeight_m: 70,
  },
  {
    name: "a start above the recovery height",
    out_ms: 10,
    home_ms: 10,
    wind: { speed_ms: 0, from_deg: 0 },
    height_m: 90,
    recoveryHeight_m: 40,
  },
];

describe("point of safe return", () => {
  it("reproduces the published worked example", () => {
    expect(safeReturn_s(390, 240, 210)).toBe(182);
    expect((safeReturn_s(390, 240, 210) / 60) * 240).toBe(728);
  });

  it.each(CASES)("$name: the last safe moment is E·H/(O+H) to within one sample", (given) => {
    const rows = outAndBack({
      course_deg: 0,
      out_ms: given.out_ms,
      outFor_s: 600,
      back_ms: given.home_ms,
      height_m: given.height_m,
      battery_pct: 100,
      rate_pctPerMin: RATE,
      step_s: STEP_S,
    });
    const replay = replayRows(rows, {
      drain: DRAIN,
      speeds: { recovery: AIR_SPEED_MS, climb: 3, descent: 3, landing: 0.8 },
      settings: { recoveryHeight_m: given.recoveryHeight_m, triggerDelay_s: 3, turnTime_s: 3, slowHeight_m: 5 },
      // No growth with height, so that the wind on the leg is the wind of the case.
      wind: { ...given.wind, gust_ms: undefined, height_m: 10, shear: 0 },
    });
    const top_m = Math.max(given.height_m, given.recoveryHeight_m);
    const fixed_s = 3 + 3 + (top_m - given.height_m) / 3 + (top_m - 5) / 3 + 5 / 0.8;
    const endurance_s = ((100 - RESERVE_PCT) / RATE) * 60 - fixed_s;
    const expected_s = safeReturn_s(endurance_s, given.out_ms, given.home_ms);

    const turnback = findTurnback(replay, "middle", RESERVE_PCT);
    const lastSafe_s = replay.moments.at_s[turnback?.lastSafe ?? -1] ?? Number.NaN;

    expect(lastSafe_s).toBeLessThanOrEqual(expected_s);
    expect(lastSafe_s).toBeGreaterThan(expected_s - STEP_S);
    const turned_s = replay.moments.at_s[turnback?.turned ?? -1] ?? Number.NaN;
    expect(turned_s).toBe(600);
    expect(turnback?.outboundAfter_s).toBeCloseTo(turned_s - lastSafe_s, 9);
  });

  it("takes loitering about as far out as ever for being out, and a steady way home for being on it", () => {
    const legs = outAndBack({
      course_deg: 0,
      out_ms: 10,
      outFor_s: 400,
      back_ms: 10,
      height_m: 40,
      battery_pct: 100,
      rate_pctPerMin: RATE,
      step_s: STEP_S,
    });
    const apex = legs.findIndex(({ time_s }) => time_s === 400);
    // Twenty seconds of going to and fro by 20 m, within 5 % of the 4 km.
    const loiter = Array.from({ length: 40 }, (_, i) => {
      const away_m = 4000 - 60 - (i % 8) * 5;
      return { ...legs[apex], time_s: 400.5 + i * STEP_S, ...at(away_m, 0) };
    });
    const home = legs.slice(apex + 1).map((row) => ({ ...row, time_s: row.time_s + 10 }));
    const replay = replayRows([...legs.slice(0, apex + 1), ...loiter, ...home.slice(20)], {
      drain: DRAIN,
      speeds: { recovery: 10 },
    });
    const turned = findTurnback(replay, "middle", RESERVE_PCT)?.turned ?? -1;
    // The last of the outer ends of the loiter: from there it only came nearer.
    expect(replay.moments.at_s[turned]).toBe(416.5);
  });

  it("any steady wind along the way shortens it, whichever way it blows", () => {
    // Theorem quoted with the published formula: E·(v² − w²)/(2v) is greatest at w = 0.
    const distances = [0, 2, 4, 6].map((wind_ms) => {
      const home_ms = AIR_SPEED_MS - wind_ms;
      const out_ms = AIR_SPEED_MS + wind_ms;
      return safeReturn_s(600, out_ms, home_ms) * out_ms;
    });
    expect(distances).toEqual([...distances].sort((a, b) => b - a));
    expect(distances[2]).toBeCloseTo((600 * (10 ** 2 - 4 ** 2)) / (2 * 10), 9);
  });

  it("no headway at all: every moment away from home needs more than there is", () => {
    const rows = outAndBack({
      course_deg: 0,
      out_ms: 10,
      outFor_s: 60,
      back_ms: 10,
      height_m: 40,
      battery_pct: 100,
      rate_pctPerMin: RATE,
      step_s: STEP_S,
    });
    const replay = replayRows(rows, {
      drain: DRAIN,
      speeds: { recovery: AIR_SPEED_MS },
      settings: { recoveryHeight_m: 40 },
      wind: { speed_ms: 10, from_deg: 180, gust_ms: undefined, height_m: 10, shear: 0 },
    });
    const away = [...replay.moments.atHand.keys()].filter((k) => replay.moments.atHand[k] === 0);
    expect(away.length).toBeGreaterThan(100);
    for (const k of away) {
      expect(replay.moments.needMiddle_pct[k]).toBe(Number.POSITIVE_INFINITY);
      expect(replay.moments.touchdownMiddle_pct[k]).toBe(Number.NEGATIVE_INFINITY);
    }
    const turnback = findTurnback(replay, "middle", RESERVE_PCT);
    expect(turnback?.firstUnsafe).toBe(away[0]);
  });

  it("enough battery throughout: no last safe moment, nothing outbound after", () => {
    const rows = outAndBack({
      course_deg: 0,
      out_ms: 10,
      outFor_s: 60,
      back_ms: 10,
      height_m: 40,
      battery_pct: 100,
      rate_pctPerMin: RATE,
      step_s: STEP_S,
    });
    const replay = replayRows(rows, { drain: DRAIN, speeds: { recovery: AIR_SPEED_MS } });
    expect(findTurnback(replay, "middle", RESERVE_PCT)).toMatchObject({ lastSafe: undefined, outboundAfter_s: 0 });
  });
});

describe("the turn for home, row by row", () => {
  interface Rows {
    readonly distances_m: readonly number[];
    /** Of the middle; that at the favourable end is 5 % more. */
    readonly left_pct: readonly number[];
    readonly atHand?: readonly number[];
  }

  /** Two seconds a row. */
  function turnback({ distances_m, left_pct, atHand }: Rows, touchdown: "middle" | "low" = "middle"): unknown {
    const replay = { ...shortReplay(), length: distances_m.length };
    const { moments } = replay;
    moments.at_s.set(distances_m.map((_, k) => 2 * k));
    moments.distance_m.set(distances_m);
    moments.touchdownMiddle_pct.set(left_pct);
    moments.touchdownLow_pct.set(left_pct.map((pct) => pct + 5));
    moments.atHand.set(atHand ?? distances_m.map(() => 0));
    return findTurnback(replay, touchdown, 25);
  }

  /** Out by 100 m a row and back; unsafe from a row on. */
  const OUT_AND_BACK = [0, 100, 200, 300, 400, 500, 400, 300, 200, 100, 0];
  const AT_HAND = OUT_AND_BACK.map((away_m) => (away_m === 0 ? 1 : 0));
  const unsafeFrom = (row: number): number[] => OUT_AND_BACK.map((_, k) => (k < row ? 25 : 24.9));

  it("is still safe with just the limit left, and turned at the farthest", () => {
    const rows = { distances_m: OUT_AND_BACK, left_pct: unsafeFrom(3), atHand: AT_HAND };
    expect(turnback(rows)).toEqual({ lastSafe: 2, firstUnsafe: 3, turned: 5, outboundAfter_s: 6 });
    expect(turnback({ ...rows, left_pct: unsafeFrom(11) })).toEqual({
      lastSafe: undefined,
      firstUnsafe: undefined,
      turned: undefined,
      outboundAfter_s: 0,
    });
  });

  it("goes by the favourable end where that is asked", () => {
    const left_pct = OUT_AND_BACK.map((_, k) => 26 - k);
    const rows = { distances_m: OUT_AND_BACK, left_pct, atHand: AT_HAND };
    expect(turnback(rows)).toMatchObject({ lastSafe: 1, firstUnsafe: 2 });
    expect(turnback(rows, "low")).toMatchObject({ lastSafe: 6, firstUnsafe: 7 });
  });

  it("was never safe where the first known moment is not", () => {
    const rows = { distances_m: OUT_AND_BACK, left_pct: unsafeFrom(0), atHand: AT_HAND };
    // The row at hand counts as safe: it lands from there.
    expect(turnback(rows)).toEqual({ lastSafe: 0, firstUnsafe: 1, turned: 5, outboundAfter_s: 10 });
    const fromAway = { distances_m: OUT_AND_BACK.slice(1), left_pct: unsafeFrom(0).slice(1), atHand: AT_HAND.slice(1) };
    expect(turnback(fromAway)).toEqual({ lastSafe: undefined, firstUnsafe: 0, turned: 4, outboundAfter_s: 8 });
  });

  it("has turned in time where the last safe moment is on the way home", () => {
    const rows = { distances_m: OUT_AND_BACK, left_pct: unsafeFrom(8), atHand: AT_HAND };
    expect(turnback(rows)).toEqual({ lastSafe: 7, firstUnsafe: 8, turned: 7, outboundAfter_s: 0 });
  });

  it("is not known where no moment away from home is", () => {
    const nothing = OUT_AND_BACK.map(() => Number.NaN);
    expect(turnback({ distances_m: OUT_AND_BACK, left_pct: nothing, atHand: AT_HAND })).toBeUndefined();
    const all = OUT_AND_BACK.map(() => 1);
    expect(turnback({ distances_m: OUT_AND_BACK, left_pct: unsafeFrom(0), atHand: all })).toBeUndefined();
  });

  it("passes over moments that are not known", () => {
    const left_pct = [25, 25, Number.NaN, Number.NaN, 20, 20, 20, 20, 20, 20, 20];
    const rows = { distances_m: OUT_AND_BACK, left_pct, atHand: AT_HAND };
    expect(turnback(rows)).toMatchObject({ lastSafe: 1, firstUnsafe: 4, turned: 5, outboundAfter_s: 8 });
  });

  it("counts the trip that became unsafe, not one after it that went farther", () => {
    const twice = [...OUT_AND_BACK, 400, 800, 400, 0];
    const left_pct = twice.map((_, k) => (k < 3 ? 25 : 24));
    const atHand = twice.map((away_m) => (away_m === 0 ? 1 : 0));
    expect(turnback({ distances_m: twice, left_pct, atHand })).toMatchObject({ turned: 5, outboundAfter_s: 6 });
  });

  it("counts to the last row where it never came home", () => {
    const out = [0, 100, 200, 300];
    const rows = { distances_m: out, left_pct: [25, 25, 24, 24], atHand: [1, 0, 0, 0] };
    expect(turnback(rows)).toEqual({ lastSafe: 1, firstUnsafe: 2, turned: 3, outboundAfter_s: 4 });
  });

  it("is a later end almost as far out: 10 m near home, 5 % of the farthest far out", () => {
    const left_pct = [25, 24, 24, 24, 24, 24, 24];
    const turnedOf = (distances_m: number[]): unknown => turnback({ distances_m, left_pct });
    // Just 10 m nearer than the farthest, and a little more.
    expect(turnedOf([10, 100, 70, 90, 60, 30, 0])).toMatchObject({ turned: 3 });
    expect(turnedOf([10, 100, 70, 89.9, 60, 30, 0])).toMatchObject({ turned: 1 });
    expect(turnedOf([10, 1000, 800, 950, 600, 300, 0])).toMatchObject({ turned: 3 });
    expect(turnedOf([10, 1000, 800, 949, 600, 300, 0])).toMatchObject({ turned: 1 });
  });

  it("follows the leg back over a dip of 10 m and no more, to the last of equal ends", () => {
    const left_pct = [25, 24, 24, 24, 24, 24, 24];
    const turnedOf = (distances_m: number[]): unknown => turnback({ distances_m, left_pct });
    expect(turnedOf([10, 1000, 980, 990, 600, 300, 0])).toMatchObject({ turned: 1 });
    expect(turnedOf([10, 1000, 979, 990, 600, 300, 0])).toMatchObject({ turned: 3 });
    expect(turnedOf([10, 1000, 1000, 990, 600, 300, 0])).toMatchObject({ turned: 2 });
    // Nothing before the last safe moment counts.
    expect(turnback({ distances_m: [2000, 1000, 995, 600, 0], left_pct: [25, 25, 24, 24, 24] })).toMatchObject({
      lastSafe: 1,
      turned: 1,
    });
  });

  it("takes a distance that is not known for no turn", () => {
    const distances_m = [10, 500, Number.NaN, 900, 600, Number.NaN, 0];
    expect(turnback({ distances_m, left_pct: [25, 24, 24, 24, 24, 24, 24] })).toMatchObject({ turned: 3 });
  });
});
