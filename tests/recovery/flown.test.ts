import { describe, expect, it } from "vitest";
import { findFlownRecoveries, type FlownRecovery, pathRatio } from "../../src/recovery/flown.js";
import { emptyMoments } from "../../src/recovery/moments.js";
import type { Replay } from "../../src/recovery/replay.js";
import { at, type Row } from "../helpers/flights.js";
import { BEGINS_S, FLOWN, flownHome, type Going, LASTS_S, NEED_PCT } from "../helpers/flown.js";
import { shortReplay } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";

const ENDS_S = BEGINS_S + LASTS_S;
const replayed = (going: Going = {}, more: (row: Row) => Partial<Row> = () => ({})): Replay =>
  replayRows(
    flownHome(going).map((row) => ({ ...row, ...more(row) })),
    FLOWN,
  );
const only = (replay: Replay): FlownRecovery | undefined => {
  const all = findFlownRecoveries(replay);
  expect(all).toHaveLength(1);
  return all[0];
};

describe("a recovery that was flown", () => {
  it("is beside the one rehearsed at its first moment", () => {
    const replay = replayed();
    const one = only(replay);
    expect(one).toMatchObject({ first: BEGINS_S, last: ENDS_S, basis: "measured", ended: "landed", isAtHand: false });
    expect(one?.predicted.time_s).toBeCloseTo(LASTS_S, 6);
    expect(one?.predicted.needMiddle_pct).toBeCloseTo(NEED_PCT, 6);
    expect(one?.predicted.needUpper_pct).toBeCloseTo(replay.moments.needUpper_pct[BEGINS_S] ?? Number.NaN, 9);
    expect(one?.predicted.height_m).toBe(50);
    expect(one?.actual).toMatchObject({ time_s: LASTS_S, height_m: 50 });
    expect(one?.actual.used_pct).toBeCloseTo(NEED_PCT, 6);
    expect(one?.actual.endedFromPoint_m).toBeCloseTo(0, 6);
    expect(one?.actual.pathRatio).toBeCloseTo(1, 6);
  });

  it("is rehearsed with the delay where only its shape tells of it", () => {
    const one = only(replayed({ flag: false }));
    expect(one).toMatchObject({ first: BEGINS_S, last: ENDS_S, basis: "inferred" });
    expect(one?.predicted.time_s).toBeCloseTo(LASTS_S + 6, 6);
    expect(one?.predicted.needMiddle_pct).toBeCloseTo(NEED_PCT + 0.6, 6);
  });

  it("is none where nothing tells of it", () => {
    expect(findFlownRecoveries(replayed({ flag: false, from_m: 60 }))).toEqual([]);
  });

  it("is held against the whole where it landed, if beside the point", () => {
    // 340 m to the point; the 40 m that it ends off it are no part that was left.
    expect(only(replayed({ off_m: 40 }))?.predicted.time_s).toBeCloseTo(LASTS_S + 4, 4);
  });

  it("is held against what was flown of it where it was taken over", () => {
    const replay = replayed({ takenOver_s: 30 });
    const one = only(replay);
    expect(one?.ended).toBe("taken-over");
    // Ten seconds of climb and twenty of the leg; 100 m, and 20 s of descent, were left.
    expect(one?.predicted.time_s).toBeCloseTo(30, 6);
    expect(one?.predicted.needMiddle_pct).toBeCloseTo(3, 6);
    const { needMiddle_pct, needUpper_pct } = replay.moments;
    const doubt_pct = (needUpper_pct[BEGINS_S] ?? 0) - (needMiddle_pct[BEGINS_S] ?? 0);
    expect(one?.predicted.needUpper_pct).toBeCloseTo(3 + doubt_pct, 6);
    expect(one?.actual.endedFromPoint_m).toBeCloseTo(100, 1);
    expect(one?.actual.used_pct).toBeCloseTo(3, 6);
  });

  it("has landed where its flag goes off up to 3 s before", () => {
    expect(only(replayed({ takenOver_s: LASTS_S - 3 }))?.ended).toBe("landed");
    expect(only(replayed({ takenOver_s: LASTS_S - 4 }))?.ended).toBe("taken-over");
  });

  it("ends with a record that ends in the air", () => {
    const rows = flownHome().slice(0, BEGINS_S + 31);
    const one = only(replayRows(rows, FLOWN));
    expect(one).toMatchObject({ last: BEGINS_S + 30, ended: "record-ends" });
    expect(one?.predicted.time_s).toBeCloseTo(30, 6);
  });

  it("is the descent alone where it begins at hand", () => {
    const one = only(replayed({ from_m: 10 }));
    expect(one?.isAtHand).toBe(true);
    // From 20 m: 15 m at 3 m/s, 5 m at 1 m/s.
    expect(one?.predicted.time_s).toBeCloseTo(10, 6);
    expect(one?.predicted.height_m).toBe(20);
  });

  it.each([
    [3, 3],
    [5, 5],
    [8, 6],
    [-2, 0],
  ])("takes from %d m at hand so many seconds down: %d", (height_m, expected_s) => {
    const low = replayed({ from_m: 10 });
    low.moments.height_m[BEGINS_S] = height_m;
    expect(only(low)?.predicted.time_s).toBeCloseTo(expected_s, 6);
  });

  it("lands at the landing's own speed", () => {
    const replay = replayed({ from_m: 10 });
    const { speeds } = replay.inputs;
    const slow = { ...speeds, landing: { ...speeds.landing, value: 0.5 } };
    expect(only({ ...replay, inputs: { ...replay.inputs, speeds: slow } })?.predicted.time_s).toBeCloseTo(15, 6);
  });

  it("climbs nowhere from above the recovery height", () => {
    const high = replayed();
    high.moments.height_m[BEGINS_S] = 80;
    // A leg of 30 s, 75 m down at 3 m/s, and 5 m at 1 m/s.
    expect(only(high)?.predicted).toMatchObject({ time_s: expect.closeTo(60, 6) as number, height_m: 80 });
  });

  it("has no time where there was no headway", () => {
    for (const ground_ms of [0, -3]) {
      const stalled = replayed();
      stalled.moments.groundSpeed_ms[BEGINS_S] = ground_ms;
      expect(only(stalled)?.predicted.time_s).toBeNaN();
    }
    // At hand there is no leg.
    const near = replayed({ from_m: 10 });
    near.moments.groundSpeed_ms[BEGINS_S] = -3;
    expect(only(near)?.predicted.time_s).toBeCloseTo(10, 6);
  });

  it("is as high as it got over the recovery point, as far as heights are known", () => {
    const highest = (change: (height_m: Float64Array) => void): number | undefined => {
      const replay = replayed();
      change(replay.moments.height_m);
      replay.pointGround_m.fill(5);
      const heights = { ...replay.inputs.heights, takeoffGround_m: 12 };
      return only({ ...replay, inputs: { ...replay.inputs, heights } })?.actual.height_m;
    };
    expect(highest(() => {})).toBe(57);
    expect(highest((height_m) => (height_m[BEGINS_S + 20] = 61))).toBe(68);
    expect(highest((height_m) => (height_m[BEGINS_S + 20] = Number.NaN))).toBe(57);
    expect(highest((height_m) => height_m.fill(Number.NaN, BEGINS_S, BEGINS_S + 2))).toBe(57);
    expect(highest((height_m) => (height_m[ENDS_S] = 70))).toBe(77);
    expect(highest((height_m) => (height_m[BEGINS_S] = 71))).toBe(78);
    expect(highest((height_m) => (height_m[BEGINS_S - 1] = 90))).toBe(57);
    expect(highest((height_m) => height_m.fill(Number.NaN))).toBeNaN();
  });
});

describe("when recoveries were flown", () => {
  /** First and last row of each, by the rows at which the flag is up; a row so many seconds. */
  const runs = (up: (k: number) => boolean, step_s = 1): [number, number][] => {
    const replay = shortReplay(60);
    replay.moments.at_s.set(Array.from({ length: 60 }, (_, k) => step_s * k));
    const isFlown = Uint8Array.from({ length: 60 }, (_, k) => (up(k) ? 1 : 0));
    const flown = { basis: "declared", from: "declared", isFlown } as const;
    return findFlownRecoveries({ ...replay, inputs: { ...replay.inputs, flown } }).map(({ first, last }) => [
      first,
      last,
    ]);
  };
  const within = (k: number, from: number, to: number): boolean => k >= from && k <= to;

  it("is from the first row with the flag to the last, for 5 s or more", () => {
    expect(runs((k) => within(k, 10, 15))).toEqual([[10, 15]]);
    expect(runs((k) => within(k, 10, 14))).toEqual([]);
    expect(runs((k) => within(k, 0, 59))).toEqual([[0, 59]]);
    expect(runs(() => false)).toEqual([]);
  });

  it("goes on where the flag blinks off for up to 3 s", () => {
    expect(runs((k) => within(k, 10, 20) || within(k, 23, 30))).toEqual([[10, 30]]);
    expect(runs((k) => within(k, 10, 20) || within(k, 24, 30))).toEqual([
      [10, 20],
      [24, 30],
    ]);
    // Together they last long enough.
    expect(runs((k) => within(k, 10, 12) || within(k, 14, 15))).toEqual([[10, 15]]);
  });

  it("goes on from row to row however slow the log is", () => {
    expect(runs((k) => within(k, 10, 12), 4)).toEqual([[10, 12]]);
    expect(runs((k) => k === 10 || k === 12, 4)).toEqual([]);
    expect(runs((k) => within(k, 10, 12) || within(k, 14, 16), 4)).toEqual([
      [10, 12],
      [14, 16],
    ]);
  });
});

describe("the way flown by the straight line", () => {
  type Place = readonly [east_m: number, north_m: number];

  /** Of rows after one that is far from them all. */
  const ratio = (...asked: readonly Place[]): number => {
    const places: readonly Place[] = [[0, -90], ...asked];
    const moments = emptyMoments(places.length);
    places.forEach(([east_m, north_m], k) => {
      const spot = at(Math.hypot(east_m, north_m), (180 / Math.PI) * Math.atan2(east_m, north_m));
      moments.latitude_deg[k] = spot.latitude_deg;
      moments.longitude_deg[k] = spot.longitude_deg;
    });
    return pathRatio({ ...shortReplay(), moments }, 1, places.length - 1);
  };

  it("is 1 for a straight one, and more for a bent one", () => {
    expect(ratio([0, 0], [100, 0], [300, 0])).toBeCloseTo(1, 4);
    expect(ratio([0, 0], [300, 0], [300, 400])).toBeCloseTo(1.4, 4);
  });

  it("takes steps of under 5 m for noise, and still gets to the end", () => {
    expect(ratio([0, 0], [0, 4], [10, 0], [10, 4.9], [20, 0], [23, 0])).toBeCloseTo(1, 4);
    // Out by 5.1 m and on: √(20² + 5.1²) m and the way out, by 20 m.
    expect(ratio([0, 0], [0, 5.1], [20, 0])).toBeCloseTo((5.1 + Math.hypot(20, 5.1)) / 20, 4);
  });

  it("is not told of less than 15 m, nor of an unknown end", () => {
    expect(ratio([0, 0], [14.9, 0])).toBeNaN();
    expect(ratio([0, 0], [15.1, 0])).toBeCloseTo(1, 4);
    expect(ratio([0, 0], [300, 0], [Number.NaN, 0])).toBeNaN();
    // In between it goes straight over what is not known.
    expect(ratio([0, 0], [Number.NaN, 0], [300, 0])).toBeCloseTo(1, 4);
  });
});
