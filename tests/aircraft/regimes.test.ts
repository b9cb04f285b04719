import { describe, expect, it } from "vitest";
import {
  airSpeedOf,
  CLIMB,
  CRUISE,
  DESCENT,
  HOVER,
  REGIMES,
  regimesOf,
  type RowWind,
} from "../../src/aircraft/regimes.js";
import { motionOf } from "../../src/track/motion.js";
import { segmentsOf } from "../../src/track/segments.js";
import type { Track } from "../../src/track/track.js";
import { makeFlight, makeTrack, times } from "../track/make-track.js";

function regimes(track: Track, wind?: RowWind, given: { first?: number; last?: number } = {}): number[] {
  const flight = makeFlight(track, given);
  const motion = motionOf(track, segmentsOf(track, 5));
  return [...regimesOf(track, flight, motion, airSpeedOf(track, flight, motion, wind))];
}

/** The one regime of a steady flight. */
function steady(climbRate_ms: number, groundSpeed_ms: number): string {
  const found = new Set(regimes(makeTrack(times(20), { climbRate_ms, groundSpeed_ms })));
  expect(found.size).toBe(1);
  return REGIMES[[...found][0] ?? -1] ?? "none";
}

describe("regimesOf", () => {
  it.each([
    [0, 0, "hover"],
    [0, 0.99, "hover"],
    [0, 1, "cruise"],
    [0, 10, "cruise"],
    [0.5, 0, "hover"],
    [0.51, 0, "climb"],
    [3, 12, "climb"],
    [-0.5, 0, "hover"],
    [-0.51, 0, "descent"],
    [-3, 12, "descent"],
    [0.5, 5, "cruise"],
    [Number.NaN, 5, "cruise"],
    [Number.NaN, 0, "hover"],
    [0, Number.NaN, "cruise"],
    [2, Number.NaN, "climb"],
  ])("climbing at %d, over the ground at %d: %s", (climb, ground, regime) => {
    expect(steady(climb, ground)).toBe(regime);
  });

  it("judges on means of three seconds, so that one gust is not a climb", () => {
    const gust = makeTrack(times(20, 0.1), {
      climbRate_ms: (t) => (Math.abs(t - 10) < 0.05 ? 6 : 0),
      groundSpeed_ms: 0,
    });
    expect(new Set(regimes(gust))).toEqual(new Set([HOVER]));
    const climb = makeTrack(times(30, 0.1), { climbRate_ms: (t) => (t >= 10 && t < 20 ? 2 : 0), groundSpeed_ms: 0 });
    const found = regimes(climb);
    expect(found[150]).toBe(CLIMB);
    expect(found[50]).toBe(HOVER);
    expect(found[250]).toBe(HOVER);
  });

  it("goes by the logged air speed before the ground speed", () => {
    const into = makeTrack(times(10), { climbRate_ms: 0, groundSpeed_ms: 0, airSpeed_ms: 8 });
    expect(new Set(regimes(into))).toEqual(new Set([CRUISE]));
    const drifting = makeTrack(times(10), { climbRate_ms: 0, groundSpeed_ms: 5, airSpeed_ms: 0.2 });
    expect(new Set(regimes(drifting))).toEqual(new Set([HOVER]));
  });

  it("subtracts a known wind from the way over the ground", () => {
    const wind = { north_ms: new Float64Array(11).fill(0), east_ms: new Float64Array(11).fill(6) };
    // Carried along at the wind's own speed: no air speed.
    const carried = makeTrack(times(10), { climbRate_ms: 0, groundSpeed_ms: 6, course_deg: 90 });
    expect(new Set(regimes(carried, wind))).toEqual(new Set([HOVER]));
    const northward = { north_ms: wind.east_ms, east_ms: wind.north_ms };
    const carriedNorth = makeTrack(times(10), { climbRate_ms: 0, groundSpeed_ms: 6, course_deg: 0 });
    expect(new Set(regimes(carriedNorth, northward))).toEqual(new Set([HOVER]));
    const across = makeTrack(times(10), { climbRate_ms: 0, groundSpeed_ms: 6, course_deg: 0 });
    expect(new Set(regimes(across, wind))).toEqual(new Set([CRUISE]));
    // Standing over the ground in a wind is flying at the wind's speed, course or none.
    const standing = makeTrack(times(10), { climbRate_ms: 0, groundSpeed_ms: 0, course_deg: Number.NaN });
    expect(new Set(regimes(standing, wind))).toEqual(new Set([CRUISE]));
    const calm = { north_ms: new Float64Array(11), east_ms: new Float64Array(11) };
    expect(new Set(regimes(standing, calm))).toEqual(new Set([HOVER]));
  });

  it("takes standing still in a wind for cruise, which needs no course, and a ground speed without a course as it is", () => {
    const wind = { north_ms: new Float64Array(11), east_ms: new Float64Array(11).fill(6) };
    const track = makeTrack(times(10), { climbRate_ms: 0, groundSpeed_ms: 0 });
    expect(new Set(regimes(track, wind))).toEqual(new Set([CRUISE]));
    const slow = makeTrack(times(10), { climbRate_ms: 0, groundSpeed_ms: 0.5 });
    expect(new Set(regimes(slow, wind))).toEqual(new Set([HOVER]));
  });

  it("numbers the rows of the flight", () => {
    const track = makeTrack(times(30), { climbRate_ms: (t) => (t < 10 ? 3 : t < 20 ? 0 : -3), groundSpeed_ms: 0 });
    const found = regimes(track, undefined, { first: 15, last: 30 });
    expect(found).toHaveLength(16);
    expect(found[0]).toBe(HOVER);
    expect(found[15]).toBe(DESCENT);
  });

  it("keeps its means within a segment", () => {
    const track = makeTrack([0, 1, 2, 3, 4, 5, 6], { climbRate_ms: [0, 0, 0, 9, 9, 9, 9], groundSpeed_ms: 0 }, [3]);
    expect(regimes(track)).toEqual([HOVER, HOVER, HOVER, CLIMB, CLIMB, CLIMB, CLIMB]);
  });
});
