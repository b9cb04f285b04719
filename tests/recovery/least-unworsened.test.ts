import { describe, expect, it } from "vitest";
import { leastUnworsened } from "../../src/recovery/least-unworsened.js";
import type { Replay } from "../../src/recovery/replay.js";
import { outOver } from "../helpers/hillside.js";

/** The most that the ground of the flight wants: 20 m at 200 m out, and a clearance of 10 m. */
const MOST_M = 30;

/** The same flight with a recovery height, or one for each of its 30 moments. */
function setTo(replay: Replay, height_m: number | Float64Array): Replay {
  const { inputs } = replay;
  return typeof height_m === "number"
    ? { ...replay, inputs: { ...inputs, recoveryHeight: { ...inputs.recoveryHeight, value: height_m } } }
    : { ...replay, inputs: { ...inputs, recoveryHeights_m: height_m } };
}

describe("the least recovery height that worsens no way home", () => {
  it("keeps clear ones clear, and takes no height from the others", () => {
    expect(leastUnworsened(outOver(20), () => true)).toBeCloseTo(MOST_M, 4);
    expect(leastUnworsened(outOver(20), () => false)).toBe(50);
    expect(leastUnworsened(outOver(20), (k) => k !== 3)).toBe(50);
  });

  it("is not known where some way home at the recovery height is not", () => {
    expect(leastUnworsened(outOver(20), (k) => (k === 15 ? undefined : true))).toBeUndefined();
  });

  it("is the clearance alone where all are clear level", () => {
    // From 30 m it clears all of them level, from 28 m the last ones not.
    expect(leastUnworsened(outOver(31), () => true)).toBe(10);
    expect(leastUnworsened(outOver(28), () => true)).toBeCloseTo(MOST_M, 4);
    // So from 20 m over a take-off that lies 11 m higher than the point.
    const high = outOver(20);
    const heights = { ...high.inputs.heights, takeoffGround_m: 11 };
    expect(leastUnworsened({ ...high, inputs: { ...high.inputs, heights } }, () => true)).toBe(10);
  });

  it("asks nothing of what flies home level whatever is set, known or not", () => {
    expect(leastUnworsened(outOver(50), (k) => (k === 0 ? true : undefined))).toBe(10);
    expect(leastUnworsened(outOver(49), (k) => (k === 0 ? true : undefined))).toBeUndefined();
    // From the twelfth moment on at what is set.
    const logged = new Float64Array(30).fill(50).fill(45, 12);
    expect(leastUnworsened(setTo(outOver(45), logged), (k) => (k >= 12 ? undefined : true))).toBe(10);
  });

  it("asks for no more than is set, flight by logged settings too", () => {
    expect(leastUnworsened(setTo(outOver(20), new Float64Array(30).fill(25)), () => true)).toBe(25);
    expect(leastUnworsened(setTo(outOver(20), new Float64Array(30).fill(25)), (k) => k !== 5)).toBe(25);
    expect(leastUnworsened(setTo(outOver(20), 26), () => true)).toBe(26);
  });

  it("counts from the spot that the setting counts from", () => {
    const above = (value: "take-off" | "recovery-point"): number | undefined => {
      const replay = outOver(20);
      const heights = { ...replay.inputs.heights, takeoffGround_m: 4 };
      replay.pointGround_m.fill(7);
      const recoveryHeightAbove = { value, basis: "declared", from: "declared" } as const;
      return leastUnworsened({ ...replay, inputs: { ...replay.inputs, heights, recoveryHeightAbove } }, () => true);
    };
    expect(above("take-off")).toBeCloseTo(MOST_M - 4, 4);
    expect(above("recovery-point")).toBeCloseTo(MOST_M - 7, 4);
  });

  it("asks nothing of moments at hand", () => {
    const replay = outOver(20);
    replay.moments.atHand.fill(1);
    expect(leastUnworsened(replay, () => undefined)).toBe(10);
  });
});
