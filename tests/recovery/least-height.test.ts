import { describe, expect, it } from "vitest";
import { leastHeight } from "../../src/recovery/least-height.js";
import { at } from "../helpers/flights.js";
import { outOver } from "../helpers/hillside.js";

describe("the least recovery height of a flight", () => {
  it("is the most that any way home needs, from the first moment that needs it", () => {
    const least = leastHeight(outOver(30));
    expect(least).toMatchObject({ isWhole: true });
    expect(least.height_m).toBeCloseTo(30, 4);
    expect(least.at).toBe(20);
    // Once it was farther out than later.
    const once = outOver(30);
    once.moments.longitude_deg[10] = at(250, 90).longitude_deg;
    expect(leastHeight(once)).toMatchObject({ height_m: expect.closeTo(35, 4) as number, at: 10 });
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
});
