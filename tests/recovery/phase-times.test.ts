import { describe, expect, it } from "vitest";
import { climbTime_min, descentTime_min, legTime_min } from "../../src/recovery/phase-times.js";

describe("the time of a leg", () => {
  it("is its length by the speed over the ground", () => {
    expect(legTime_min(600, 10)).toBe(1);
    expect(legTime_min(600, 2.5)).toBe(4);
  });

  it("is without end where there is no headway, and none where there is no leg", () => {
    expect(legTime_min(600, 0)).toBe(Number.POSITIVE_INFINITY);
    expect(legTime_min(600, -3)).toBe(Number.POSITIVE_INFINITY);
    expect(legTime_min(600, 0.001)).toBe(Number.POSITIVE_INFINITY);
    expect(legTime_min(6, 0.002)).toBe(50);
    expect(legTime_min(0, 0)).toBe(0);
    expect(legTime_min(0, Number.NaN)).toBe(0);
  });

  it("is not known where the distance or the speed is not", () => {
    expect(legTime_min(Number.NaN, 10)).toBeNaN();
    expect(legTime_min(600, Number.NaN)).toBeNaN();
  });
});

describe("the time of a climb", () => {
  it("is the rise by the rate", () => {
    expect(climbTime_min(20, 50, 3)).toBe(10 / 60);
    expect(climbTime_min(-10, 50, 1)).toBe(1);
  });

  it("is none from the height of the leg on", () => {
    expect(climbTime_min(50, 50, 3)).toBe(0);
    expect(climbTime_min(80, 50, 3)).toBe(0);
  });

  it("is not known where a height is not", () => {
    expect(climbTime_min(Number.NaN, 50, 3)).toBeNaN();
    expect(climbTime_min(20, Number.NaN, 3)).toBeNaN();
  });
});

describe("the time of a descent", () => {
  it("is that of the way down, the last of it slow", () => {
    // 45 m at 3 m/s, 5 m at 1 m/s.
    expect(descentTime_min(50, 3, 1, 5)).toBe(20 / 60);
    expect(descentTime_min(50, 3, 0.5, 20)).toBe(50 / 60);
  });

  it("is slow throughout from no higher than that", () => {
    expect(descentTime_min(5, 3, 0.5, 5)).toBe(10 / 60);
    expect(descentTime_min(2, 3, 0.5, 5)).toBe(4 / 60);
  });

  it("is none from the ground or below it", () => {
    expect(descentTime_min(0, 3, 1, 5)).toBe(0);
    expect(descentTime_min(-8, 3, 1, 5)).toBe(0);
  });

  it("is not known from an unknown height", () => {
    expect(descentTime_min(Number.NaN, 3, 1, 5)).toBeNaN();
  });
});
