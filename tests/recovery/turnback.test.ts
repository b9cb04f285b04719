import { describe, expect, it } from "vitest";
import { findTurnback } from "../../src/recovery/turnback.js";
import { shortReplay } from "../helpers/moments.js";

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
    moments.at_s.set(distances_m.map((_, k) => 100 + 2 * k));
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
