import { describe, expect, it } from "vitest";
import { groundVelocity } from "../../src/air/ground-velocity.js";
import type { Motion } from "../../src/track/motion.js";
import { type ColumnSpec, makeFlight, makeTrack, times } from "../track/make-track.js";

function velocityOf(speeds: readonly number[], columns: { course_deg?: ColumnSpec; east_m?: ColumnSpec }, first = 0) {
  const track = makeTrack(times(speeds.length - 1), columns);
  const motion = { groundSpeed_ms: Float64Array.from(speeds) } as unknown as Motion;
  const { north_ms, east_ms } = groundVelocity(track, makeFlight(track, { first }), motion);
  return Array.from(north_ms, (north, k) => [north, east_ms[k] ?? Number.NaN] as const);
}

describe("groundVelocity", () => {
  it("is the ground speed along the logged course", () => {
    const found = velocityOf([10, 10, 10, 10], { course_deg: [0, 90, 210, 315] });
    const [half, root] = [5, 10 * Math.SQRT1_2];
    const expected = [
      [10, 0],
      [0, 10],
      [-10 * Math.cos(Math.PI / 6), -half],
      [root, -root],
    ];
    expect(found).toHaveLength(4);
    found.forEach(([north, east], k) => {
      expect(north).toBeCloseTo(expected[k]?.[0] ?? Number.NaN, 12);
      expect(east).toBeCloseTo(expected[k]?.[1] ?? Number.NaN, 12);
    });
  });

  it("goes along the positions where no course is logged", () => {
    for (const [north, east] of velocityOf([5, 5, 5, 5], { east_m: (t) => 5 * t })) {
      expect(north).toBeCloseTo(0, 3);
      expect(east).toBeCloseTo(5, 6);
    }
  });

  it("stands still below 0.1 m/s, whatever the course, and is unknown from there on without one", () => {
    const found = velocityOf([0, 0.099, 0.1, Number.NaN], { course_deg: [Number.NaN, 90, Number.NaN, 0] });
    expect(found).toEqual([
      [0, 0],
      [0, 0],
      [Number.NaN, Number.NaN],
      [Number.NaN, Number.NaN],
    ]);
  });

  it("begins with the first row of the flight", () => {
    const found = velocityOf([1, 2, 3, 4], { course_deg: [90, 90, 0, 0] }, 2);
    expect(found).toEqual([
      [3, 0],
      [4, 0],
    ]);
  });
});
