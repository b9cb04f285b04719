import { describe, expect, it } from "vitest";
import { leastHeight } from "../../src/recovery/least-height.js";
import { leastUnworsened } from "../../src/recovery/least-unworsened.js";
import type { Replay } from "../../src/recovery/replay.js";
import type { Site } from "../../src/site/site.js";
import { at, ORIGIN } from "../helpers/flights.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";
import { openPlain } from "../helpers/sites.js";

describe("the least recovery height of a flight", () => {
  /** Goes east over ground that wants 1 m more every 10 m; hovers at 30 m. */
  function outOver(height_m: number, seen: (east_m: number) => number = () => 1): Replay {
    const flown = Array.from({ length: 30 }, (_, time_s) => ({
      time_s,
      ...at(10 * Math.min(time_s, 20), 90),
      height_m: time_s === 0 ? 0 : height_m,
      battery_pct: 90,
      airborne: 1,
    }));
    const degree_m = 1000 / (at(1000, 90).longitude_deg - ORIGIN.longitude_deg);
    const site: Site = {
      ...openPlain(),
      isSurface: true,
      legClearance: (leg, out) => {
        const east_m = (leg.from.longitude_deg - ORIGIN.longitude_deg) * degree_m;
        Object.assign(out, { corridor_m: leg.path_m - east_m / 10, groundSeen_share: seen(east_m), over: -1 });
      },
    };
    return replayRows(flown, { ...ALL_KNOWN, site });
  }

  it("is the most that any way home needs, from the first moment that needs it", () => {
    const least = leastHeight(outOver(30));
    expect(least).toMatchObject({ isWhole: true });
    expect(least.height_m).toBeCloseTo(30, 4);
    expect(least.at).toBeGreaterThanOrEqual(20);
  });

  it("is not whole where one way home is not, or the ceiling is not", () => {
    expect(leastHeight(outOver(30, (east_m) => (east_m > 95 && east_m < 105 ? 0.99 : 1))).isWhole).toBe(false);
    expect(leastHeight({ ...outOver(30), isCeilingWhole: false }).isWhole).toBe(false);
    // What is under a moment at hand does not count.
    expect(leastHeight(outOver(30, (east_m) => (east_m < 5 ? 0 : 1))).isWhole).toBe(true);
  });

  it("is that of none where all is at hand", () => {
    const replay = outOver(30);
    replay.moments.atHand.fill(1);
    expect(leastHeight(replay)).toEqual({ height_m: Number.NEGATIVE_INFINITY, at: -1, isWhole: true });
  });

  it("worsens no way home: clear ones keep theirs, the others lose no height", () => {
    expect(leastUnworsened(outOver(20), () => true)).toBeCloseTo(30, 4);
    expect(leastUnworsened(outOver(20), () => false)).toBe(50);
    expect(leastUnworsened(outOver(20), (k) => (k === 15 ? undefined : true))).toBeUndefined();
    // From 30 m it clears all of them level, from 28 m the last ones not.
    expect(leastUnworsened(outOver(31), () => true)).toBe(10);
    expect(leastUnworsened(outOver(28), () => true)).toBeCloseTo(30, 4);
    // Level from the recovery height or above whatever is set, known or not.
    expect(leastUnworsened(outOver(50), (k) => (k === 0 ? true : undefined))).toBe(10);
    expect(leastUnworsened(outOver(49), (k) => (k === 0 ? true : undefined))).toBeUndefined();
  });

  it("asks for no more than is set, flight by logged settings too", () => {
    const replay = outOver(20);
    const set = { ...replay, inputs: { ...replay.inputs, recoveryHeights_m: new Float64Array(30).fill(25) } };
    expect(leastUnworsened(set, () => true)).toBe(25);
    expect(leastUnworsened(set, (k) => k !== 5)).toBe(25);
    replay.moments.atHand.fill(1);
    expect(leastUnworsened(replay, () => undefined)).toBe(10);
  });
});
