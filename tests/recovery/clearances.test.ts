import { describe, expect, it } from "vitest";
import { clearanceAt } from "../../src/recovery/clearances.js";
import { at } from "../helpers/flights.js";
import { hillside, hover, POINT, replayOn, TOPS_M } from "../helpers/hillside.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";

describe("the clearance of a moment's way home", () => {
  it("is asked from the aircraft to the point, at the leg's elevation, in the corridor", () => {
    const { site, legs } = hillside(TOPS_M);
    const { moments, setting } = replayOn(site);
    const leg = legs[10];
    const from = at(150, 90);
    expect(leg?.from.latitude_deg).toBe(from.latitude_deg);
    expect(leg?.from.longitude_deg).toBe(from.longitude_deg);
    expect(leg?.to.latitude_deg).toBe(POINT.latitude_deg);
    expect(leg?.to.longitude_deg).toBe(POINT.longitude_deg);
    expect(leg?.path_m).toBeCloseTo(455, 6);
    expect(leg).toMatchObject({ corridor_m: setting.policy.corridor, knownOnly: false });
    expect(legs.some(({ knownOnly }) => knownOnly === true)).toBe(false);
    expect(moments.clearanceCentre_m[10]).toBeCloseTo(25, 6);
    expect(moments.clearanceCorridor_m[10]).toBeCloseTo(21, 6);
    // Less 2 m of drift and 1.5 m of the terrain's error.
    expect(moments.clearanceJudged_m[10]).toBeCloseTo(17.5, 6);
    expect(moments.clearanceKnownCentre_m[10]).toBeCloseTo(25, 6);
    expect(moments.clearanceKnownJudged_m[10]).toBeCloseTo(17.5, 6);
    expect(moments.groundSeen_share[10]).toBe(0.75);
  });

  it("is asked again without what is only assumed to be high, every moment anew", () => {
    const { site, legs } = hillside(TOPS_M);
    const { moments } = replayOn({ ...site, hasAssumedHeights: true });
    expect(legs.slice(0, 4).map(({ knownOnly }) => knownOnly)).toEqual([false, true, false, true]);
    expect(moments.clearanceCentre_m[10]).toBeCloseTo(25, 6);
    expect(moments.clearanceJudged_m[10]).toBeCloseTo(17.5, 6);
    expect(moments.clearanceKnownCentre_m[10]).toBeCloseTo(35, 6);
    expect(moments.clearanceKnownJudged_m[10]).toBeCloseTo(31.5, 6);
  });

  it("is not asked at hand, nor where the leg's height is not known", () => {
    const { site, legs } = hillside(TOPS_M);
    const rows = hover().map((row) => ({
      ...row,
      ...(row.time_s === 10 ? POINT : {}),
      height_m: row.time_s === 12 ? Number.NaN : (row.height_m ?? Number.NaN),
    }));
    const settings = { recoveryHeight_m: 50 };
    const { moments } = replayRows(rows, { ...ALL_KNOWN, site, settings, recoveryPoints: [{ ...POINT, at_s: 0 }] });
    expect([moments.atHand[10], moments.atHand[12]]).toEqual([1, 0]);
    expect([moments.clearanceCentre_m[10], moments.clearanceCentre_m[12]]).toEqual([Number.NaN, Number.NaN]);
    expect(legs.every(({ path_m }) => !Number.isNaN(path_m))).toBe(true);
  });

  it("is told of one moment with its place", () => {
    const { site, legs } = hillside(TOPS_M);
    const replay = replayOn(site);
    legs.length = 0;
    const met = clearanceAt(replay, 10, 12);
    expect(met).toMatchObject({ latitude_deg: 47.25, longitude_deg: 8.25, over: 3, groundSeen_share: 0.75 });
    expect(met.centre_m).toBeCloseTo(25, 6);
    expect(met.corridor_m).toBeCloseTo(21, 6);
    expect(legs[0]).toMatchObject({ from: at(150, 90), to: POINT, corridor_m: 12, knownOnly: false });
    expect(clearanceAt(replay, 10, 12, true).centre_m).toBeCloseTo(35, 6);
    const silent = { ...replay, setting: { ...replay.setting, site: { ...site, legClearance: () => undefined } } };
    expect(clearanceAt(silent, 10, 0)).toEqual({
      centre_m: Number.NaN,
      corridor_m: Number.NaN,
      latitude_deg: Number.NaN,
      longitude_deg: Number.NaN,
      over: -1,
      groundSeen_share: Number.NaN,
    });
  });
});
