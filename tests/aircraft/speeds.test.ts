import { describe, expect, it } from "vitest";
import { airSpeedOf, regimesOf, type RowWind } from "../../src/aircraft/regimes.js";
import { chooseSpeeds, type Speeds } from "../../src/aircraft/speeds.js";
import { motionOf } from "../../src/track/motion.js";
import { segmentsOf } from "../../src/track/segments.js";
import type { Track } from "../../src/track/track.js";
import { settingOf, type Given } from "../helpers/declared.js";
import { makeFlight, makeTrack, times, type ColumnSpec } from "../track/make-track.js";
import { trackOf } from "../helpers/flights.js";

function speedsOf(track: Track, declared: Given["speeds"] = {}, wind?: RowWind): Speeds {
  const motion = motionOf(track, segmentsOf(track, 5));
  const flight = makeFlight(track);
  const airSpeed_ms = airSpeedOf(track, flight, motion, wind);
  const regimes = regimesOf(track, flight, motion, airSpeed_ms);
  return chooseSpeeds(settingOf({ speeds: declared }).config, track, flight, motion, airSpeed_ms, regimes);
}

const flown = (groundSpeed_ms: ColumnSpec, climbRate_ms: ColumnSpec = 0, until_s = 100): Track =>
  makeTrack(times(until_s), { groundSpeed_ms, climbRate_ms });

describe("what nothing tells", () => {
  const speeds = speedsOf(flown(0));

  it("is assumed, with a slow end and no spread", () => {
    expect(speeds.recovery).toMatchObject({
      value: 8,
      basis: "assumed",
      from: "project default",
      spread: 0,
      adverse_ms: 6,
    });
    expect(speeds.climb).toMatchObject({ value: 3, basis: "assumed", spread: 0 });
    expect(speeds.descent).toMatchObject({ value: 2, basis: "assumed", spread: 0 });
    expect(speeds.landing).toMatchObject({ value: 0.8, basis: "assumed", spread: 0 });
    for (const speed of Object.values(speeds)) {
      expect(speed.adverse_ms).toBeLessThan(speed.value);
      expect(speed.best_ms).toBeGreaterThanOrEqual(speed.value);
    }
    expect(speeds.recovery.best_ms).toBeGreaterThan(speeds.recovery.value);
  });
});

describe("what is declared", () => {
  it("is taken as it is, with a spread and no bound", () => {
    const speeds = speedsOf(flown(12), { recovery: 10, climb: 4, descent: 2.5, landing: 0.6 });
    expect(speeds.recovery).toMatchObject({ value: 10, basis: "declared", spread: 0.03, adverse_ms: undefined });
    expect(speeds.climb).toMatchObject({ value: 4, basis: "declared", spread: 0.05, adverse_ms: undefined });
    expect(speeds.descent).toMatchObject({ value: 2.5, basis: "declared", spread: 0.05, adverse_ms: undefined });
    expect(speeds.landing).toMatchObject({ value: 0.6, basis: "declared", spread: 0.05, adverse_ms: undefined });
    for (const speed of Object.values(speeds)) expect(speed.best_ms).toBe(speed.value);
  });

  it("is taken one by one", () => {
    const speeds = speedsOf(flown(12), { climb: 4 });
    expect(speeds.climb.basis).toBe("declared");
    expect(speeds.recovery.basis).toBe("inferred");
    expect(speeds.descent.basis).toBe("assumed");
  });

  it("says where it stands", () => {
    const track = flown(0);
    const motion = motionOf(track, segmentsOf(track, 5));
    const { config } = settingOf({ speeds: { recovery: 10 } });
    const placed = { ...config, places: new Map([["aircraft.speeds.recovery", "homeleg.yaml:3"]]) };
    const { recovery } = chooseSpeeds(
      placed,
      track,
      makeFlight(track),
      motion,
      motion.groundSpeed_ms,
      new Uint8Array(track.length),
    );
    expect(recovery.from).toBe("homeleg.yaml:3");
  });
});

describe("recovery speed from fast legs", () => {
  it("is the median of the legs", () => {
    const { recovery } = speedsOf(flown((t) => (t < 50 ? 11 : 0)));
    expect(recovery).toMatchObject({ basis: "inferred", spread: 0.1, adverse_ms: undefined });
    expect(recovery.value).toBeCloseTo(11, 6);
  });

  it("is at least 8 m/s", () => {
    expect(speedsOf(flown(6.5)).recovery).toMatchObject({ value: 8, basis: "inferred" });
  });

  // Ground speed is a mean over a second, so a leg's edges are kept clear of the limit: NaN outside it.
  const leg = (from_s: number, to_s: number, speed: number): Track =>
    flown((t) => (t >= from_s && t <= to_s ? speed : Number.NaN));

  it.each([
    [20, "inferred"],
    [19, "assumed"],
  ])("needs a leg of 20 s: %d s is %s", (lasts_s, basis) => {
    expect(speedsOf(leg(10, 10 + lasts_s, 10)).recovery.basis).toBe(basis);
  });

  it.each([
    [6, "assumed"],
    [6.01, "inferred"],
  ])("needs over 6 m/s: %d is %s", (speed, basis) => {
    expect(speedsOf(leg(10, 50, speed)).recovery.basis).toBe(basis);
  });

  it("counts a leg that reaches the end of the flight", () => {
    expect(speedsOf(leg(80, 100, 9)).recovery).toMatchObject({ value: 9, basis: "inferred" });
    expect(speedsOf(leg(81, 100, 9)).recovery.basis).toBe("assumed");
  });

  it("leaves short dashes out of the median", () => {
    const { recovery } = speedsOf(
      flown((t) => (t <= 30 ? 9 : t >= 40 && t <= 58 ? 15 : t >= 70 && t <= 88 ? 15 : Number.NaN)),
    );
    expect(recovery.value).toBeCloseTo(9, 6);
  });

  it("does not join legs across a gap", () => {
    const at = [...times(30)].map((t) => (t <= 15 ? t : t + 60));
    expect(speedsOf(makeTrack(at, { groundSpeed_ms: 10, climbRate_ms: 0 })).recovery.basis).toBe("assumed");
  });

  it("goes by air speed where it is logged", () => {
    const track = makeTrack(times(60), { groundSpeed_ms: 15, airSpeed_ms: 10, climbRate_ms: 0 });
    expect(speedsOf(track).recovery.value).toBe(10);
    const slow = makeTrack(times(60), { groundSpeed_ms: 15, airSpeed_ms: 3, climbRate_ms: 0 });
    expect(speedsOf(slow).recovery.basis).toBe("assumed");
  });
});

describe("vertical speeds from the log", () => {
  it("are near the upper end of what was flown", () => {
    const { climb, descent } = speedsOf(flown(0, (t) => (t < 20 ? 4 : t < 60 ? 0 : t < 90 ? -1.5 : 0)));
    expect(climb).toMatchObject({ basis: "inferred", spread: 0.15, adverse_ms: undefined, from: "this log's climbs" });
    expect(climb.value).toBeCloseTo(4, 6);
    expect(descent).toMatchObject({ basis: "inferred", from: "this log's descents" });
    expect(descent.value).toBeCloseTo(1.5, 6);
  });

  it("take the third quarter of the rates", () => {
    const { climb } = speedsOf(flown(0, (t) => 1 + t / 50)); // 1 to 3 m/s, evenly
    expect(climb.value).toBeCloseTo(2.5, 1);
  });

  it("need 8 s of it", () => {
    const climbing = (for_s: number): Track =>
      makeTrack(times(60, 0.1), { groundSpeed_ms: 0, climbRate_ms: (t) => (t < for_s ? 3 : 0) });
    expect(speedsOf(climbing(6)).climb.basis).toBe("assumed");
    expect(speedsOf(climbing(9)).climb.basis).toBe("inferred");
  });
});

describe("recovery speed from a recovery that was flown", () => {
  const recovered = (from_s: number, to_s: number, speed = 5, columns: Parameters<typeof makeTrack>[1] = {}): Track =>
    makeTrack(times(100), {
      groundSpeed_ms: (t) => (t >= from_s && t <= to_s ? speed : 11),
      climbRate_ms: 0,
      recoveryActive: (t) => (t >= from_s && t <= to_s ? 1 : 0),
      ...columns,
    });

  it("comes before fast legs, and has no floor of its own", () => {
    const { recovery } = speedsOf(recovered(60, 90));
    expect(recovery).toMatchObject({
      basis: "inferred",
      from: "the recovery flown in this log",
      adverse_ms: undefined,
    });
    expect(recovery.value).toBeCloseTo(5, 6);
    expect(recovery.best_ms).toBe(recovery.value);
  });

  it("comes after what is declared", () => {
    expect(speedsOf(recovered(60, 90), { recovery: 9 }).recovery).toMatchObject({ value: 9, basis: "declared" });
  });

  it("needs 10 s of level flight", () => {
    expect(speedsOf(recovered(60, 69)).recovery.value).toBeCloseTo(5, 6);
    expect(speedsOf(recovered(60, 68)).recovery.value).toBeCloseTo(11, 6);
    const climbing = recovered(60, 90, 5, { climbRate_ms: (t) => (t >= 59 && t <= 91 ? 2 : 0) });
    expect(speedsOf(climbing).recovery.value).toBeCloseTo(11, 6);
  });

  it("goes by air speed where it is logged", () => {
    expect(speedsOf(recovered(60, 90, 5, { airSpeed_ms: 9 })).recovery.value).toBe(9);
  });
});

describe("recovery speed in a known wind", () => {
  it("is the air speed, not what a tailwind makes of it, with a course logged or told by the positions", () => {
    // 14 m/s over the ground due north with 6 m/s of wind from the south behind it.
    const wind = (n: number): RowWind => ({
      north_ms: new Float64Array(n).fill(6),
      east_ms: new Float64Array(n),
    });
    const rows = Array.from({ length: 60 }, (_, time_s) => ({
      time_s,
      latitude_deg: 47 + (time_s * 14) / 111_180,
      longitude_deg: 8,
      groundSpeed_ms: 14,
      climbRate_ms: 0,
    }));
    for (const more of [{}, { course_deg: 0 }]) {
      const track = trackOf(rows.map((row) => ({ ...row, ...more })));
      expect(speedsOf(track, {}, wind(60)).recovery).toMatchObject({ basis: "inferred" });
      expect(speedsOf(track, {}, wind(60)).recovery.value).toBeCloseTo(8, 1);
      expect(speedsOf(track).recovery.value).toBeCloseTo(14, 6);
    }
  });
});
