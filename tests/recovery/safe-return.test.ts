import { describe, expect, it } from "vitest";
import { findTurnback } from "../../src/recovery/turnback.js";
import { at, outAndBack } from "../helpers/flights.js";
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
