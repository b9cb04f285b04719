import { describe, expect, it } from "vitest";
import { motionOf, smooth } from "../../src/track/motion.js";
import { segmentsOf } from "../../src/track/segments.js";
import type { Track } from "../../src/track/track.js";
import { makeTrack, place, repeat, through, times } from "./make-track.js";

const motion = (track: Track) => motionOf(track, segmentsOf(track, 5));

describe("ground speed", () => {
  it("is the log's own where it has one", () => {
    const { groundSpeed_ms } = motion(makeTrack(times(5), { groundSpeed_ms: 7, east_m: (t) => 3 * t }));
    expect([...groundSpeed_ms]).toEqual(repeat(7, 6));
  });

  it.each([0.1, 0.5, 1, 4])("is derived from positions every %d s", (step_s) => {
    const { groundSpeed_ms } = motion(makeTrack(times(20, step_s), { east_m: (t) => 12 * t }));
    groundSpeed_ms.forEach((speed) => expect(speed).toBeCloseTo(12, 1));
  });

  it("counts both directions", () => {
    const at = times(10);
    const track = makeTrack(at, {
      latitude_deg: (t) => place(0, 4 * t).latitude_deg,
      longitude_deg: (t) => place(3 * t).longitude_deg,
    });
    expect(motion(track).groundSpeed_ms[5]).toBeCloseTo(5, 1);
  });

  it("does not read a position that updates once a second, in a log of ten rows a second, as jumps", () => {
    const { groundSpeed_ms } = motion(makeTrack(times(20, 0.1), { east_m: (t) => 10 * Math.floor(t + 1e-9) }));
    expect(Math.max(...groundSpeed_ms.subarray(20, 180))).toBeLessThan(15.5);
    expect(Math.min(...groundSpeed_ms.subarray(20, 180))).toBeGreaterThan(9);
  });

  it("is not derived across a gap or a break", () => {
    const jump = (t: number): number => (t < 5 ? 0 : 10_000);
    expect(Math.max(...motion(makeTrack(times(9), { east_m: jump }, [5])).groundSpeed_ms)).toBeLessThan(0.01);
    const at = [0, 1, 2, 3, 4, 60, 61, 62];
    expect(Math.max(...motion(makeTrack(at, { east_m: jump })).groundSpeed_ms)).toBeLessThan(0.01);
  });

  it("is NaN where no position is near, and where a row stands alone", () => {
    const lost = makeTrack(times(9), { latitude_deg: Number.NaN, longitude_deg: Number.NaN });
    expect([...motion(lost).groundSpeed_ms].every(Number.isNaN)).toBe(true);
    expect([...motion(makeTrack([0])).groundSpeed_ms]).toEqual([Number.NaN]);
  });

  it("bridges one lost position between known ones", () => {
    const { groundSpeed_ms } = motion(makeTrack(times(9), { east_m: (t) => (t === 5 ? Number.NaN : 8 * t) }));
    expect(groundSpeed_ms[5]).toBeCloseTo(8, 1);
  });
});

describe("climb rate", () => {
  it("is the log's own where it has one", () => {
    const { climbRate_ms } = motion(makeTrack(times(5), { climbRate_ms: -2, height_m: 50 }));
    expect([...climbRate_ms]).toEqual(repeat(-2, 6));
  });

  it.each([0.1, 1, 4])("is derived from heights every %d s, up positive", (step_s) => {
    const height = through([0, 0], [20, 60], [40, 20]);
    const { climbRate_ms } = motion(makeTrack(times(40, step_s), { height_m: height }));
    expect(climbRate_ms[Math.round(12 / step_s)]).toBeCloseTo(3, 6);
    expect(climbRate_ms[Math.round(32 / step_s)]).toBeCloseTo(-2, 6);
    expect(climbRate_ms[0]).toBeCloseTo(3, 6);
    expect(climbRate_ms[climbRate_ms.length - 1]).toBeCloseTo(-2, 6);
  });

  it("is not derived across a break", () => {
    const track = makeTrack(times(9), { height_m: (t) => (t < 5 ? 0 : 100) }, [5]);
    expect([...motion(track).climbRate_ms]).toEqual(repeat(0, 10));
  });

  it("is NaN without any height", () => {
    const { climbRate_ms, hasVertical, anyHeight_m } = motion(makeTrack(times(5)));
    expect([...climbRate_ms].every(Number.isNaN)).toBe(true);
    expect(hasVertical).toBe(false);
    expect(anyHeight_m).toBeUndefined();
  });
});

describe("which height", () => {
  const all = { height_m: 1, altitude_m: 2, altitudeEllipsoidal_m: 3 };

  it.each([
    [all, 1, true],
    [{ altitude_m: 2, altitudeEllipsoidal_m: 3 }, 2, false],
    [{ altitudeEllipsoidal_m: 3 }, 3, false],
  ])("of %j is %d", (columns, height, isAboveTakeoff) => {
    const found = motion(makeTrack(times(2), columns));
    expect(found.anyHeight_m?.[0]).toBe(height);
    expect(found.heightIsAboveTakeoff).toBe(isAboveTakeoff);
    expect(found.hasVertical).toBe(true);
  });

  it("a height above ground is none of them: it follows the hills", () => {
    expect(motion(makeTrack(times(2), { heightAboveGround_m: 30 })).hasVertical).toBe(false);
  });

  it("a climb rate alone is not: in level flight it shows nothing", () => {
    const found = motion(makeTrack(times(2), { climbRate_ms: 1 }));
    expect(found.hasVertical).toBe(false);
    expect(found.anyHeight_m).toBeUndefined();
  });
});

describe("smooth", () => {
  it("means over its width, a second unless said", () => {
    const track = makeTrack(times(4, 0.5));
    const values = Float64Array.from([0, 0, 6, 0, 0, 0, 0, 0, 0]);
    expect([...smooth(track, segmentsOf(track, 5), values)]).toEqual([0, 2, 2, 2, 0, 0, 0, 0, 0]);
    expect(smooth(track, segmentsOf(track, 5), values, 2)[4]).toBeCloseTo(6 / 5, 12);
  });
});
