import { describe, expect, it } from "vitest";
import { POLICY } from "../../src/config/policy.js";
import { cleanPositions, jumpSpeeds_ms } from "../../src/track/clean-positions.js";
import { trackOf } from "../helpers/flights.js";
import type { Track } from "../../src/track/track.js";
import { makeTrack, repeat, times } from "./make-track.js";

const N = Number.NaN;
const JUMP_MS = POLICY["fix.jump"].value;

/** Rows that have no position after cleaning, and the codes of the notes. */
function cleaned(track: Track, jump_ms: number = JUMP_MS): { lost: number[]; codes: string[]; messages: string[] } {
  const { track: after, problems } = cleanPositions(track, jump_ms);
  const lost = [...after.columns.latitude_deg].flatMap((latitude, i) => {
    const isLost = Number.isNaN(latitude);
    expect(Number.isNaN(after.columns.longitude_deg[i] ?? N)).toBe(isLost);
    return isLost ? [i] : [];
  });
  return { lost, codes: problems.map(({ code }) => code), messages: problems.map(({ message }) => message) };
}

describe("cleanPositions", () => {
  it("leaves a good track alone, and its argument always", () => {
    const track = makeTrack(times(10), { east_m: (t) => 15 * t });
    expect(cleaned(track)).toEqual({ lost: [], codes: [], messages: [] });
    const zero = makeTrack(times(2), { latitude_deg: 0, longitude_deg: 0 });
    cleanPositions(zero, JUMP_MS);
    expect([...zero.columns.latitude_deg]).toEqual([0, 0, 0]);
  });

  it("takes 0,0 for no position, and counts its rows", () => {
    const zero = (t: number, value: number): number => (t < 3 ? 0 : value);
    const track = makeTrack(times(6), { latitude_deg: (t) => zero(t, 47), longitude_deg: (t) => zero(t, 8) });
    const { lost, codes, messages } = cleaned(track);
    expect(lost).toEqual([0, 1, 2]);
    expect(codes).toEqual(["position-zero"]);
    expect(messages[0]).toContain("3 rows");
  });

  it("keeps the equator and the prime meridian", () => {
    expect(cleaned(makeTrack(times(3), { latitude_deg: 0, longitude_deg: 8 })).lost).toEqual([]);
    expect(cleaned(makeTrack(times(3), { latitude_deg: 51.4779, longitude_deg: 0 })).lost).toEqual([]);
  });

  it("takes a lone spike out", () => {
    const { lost, codes } = cleaned(makeTrack(times(10), { east_m: (t) => (t === 5 ? 900 : 10 * t) }));
    expect(lost).toEqual([5]);
    expect(codes).toEqual(["position-spike"]);
  });

  it("takes out a spike that lasts for the rows of one update", () => {
    const track = makeTrack(times(5, 0.1), { east_m: (t) => (t > 1.95 && t < 2.95 ? 900 : 10 * Math.floor(t + 0.05)) });
    expect(cleaned(track).lost).toEqual([20, 21, 22, 23, 24, 25, 26, 27, 28, 29]);
  });

  it("takes out two spikes that are apart", () => {
    expect(cleaned(makeTrack(times(10), { east_m: (t) => (t === 3 || t === 5 ? 900 : t) })).lost).toEqual([3, 5]);
  });

  it("finds a spike beside missing positions", () => {
    const track = makeTrack(times(10), { east_m: (t) => (t === 5 ? 900 : t === 4 || t === 6 ? N : 10 * t) });
    expect(cleaned(track).lost).toEqual([4, 5, 6]);
  });

  it("keeps a jump that lasts: which side is right is not known", () => {
    expect(cleaned(makeTrack(times(10), { east_m: (t) => (t < 5 ? 0 : 900) + t })).lost).toEqual([]);
  });

  it("keeps a jump on the way to another: it does not come back", () => {
    expect(cleaned(makeTrack(times(10), { east_m: (t) => (t < 5 ? 0 : t === 5 ? 900 : 1800) })).lost).toEqual([]);
  });

  it("keeps what a fast aircraft can do", () => {
    expect(cleaned(makeTrack(times(10), { east_m: (t) => (t % 2 === 0 ? 0 : JUMP_MS - 1) })).lost).toEqual([]);
    expect(cleaned(makeTrack(times(2), { east_m: (t) => (t === 1 ? JUMP_MS + 1 : 0) })).lost).toEqual([1]);
  });

  it("takes for a jump what the policy says", () => {
    const track = makeTrack(times(2), { east_m: (t) => (t === 1 ? 60 : 0) });
    expect(cleaned(track, 59.9).lost).toEqual([1]);
    expect(cleaned(track, 60.1).lost).toEqual([]);
  });

  it("keeps a spike at either end: nothing says which position is odd", () => {
    expect(cleaned(makeTrack(times(5), { east_m: (t) => (t === 0 ? 900 : 0) })).lost).toEqual([]);
    expect(cleaned(makeTrack(times(5), { east_m: (t) => (t === 5 ? 900 : 0) })).lost).toEqual([]);
  });

  it("does nothing to no rows", () => {
    expect(cleaned(makeTrack([]))).toEqual({ lost: [], codes: [], messages: [] });
  });
});

describe("jumpSpeeds_ms", () => {
  const rounded = (track: Track): number[] => [...jumpSpeeds_ms(track)].map(Math.round);

  it("is the speed from each position to the next, 0 at the first", () => {
    expect(rounded(makeTrack(times(3), { east_m: (t) => 20 * t }))).toEqual([0, 20, 20, 20]);
  });

  it("shows a jump that lasts, once", () => {
    expect(rounded(makeTrack(times(5), { east_m: (t) => (t < 3 ? 0 : 900) + 10 * t }))).toEqual([0, 0, 0, 910, 0, 0]);
  });

  it("does not take one update a second in ten rows a second for jumps", () => {
    const speeds = rounded(makeTrack(times(3.9, 0.1), { east_m: (t) => 20 * Math.floor(t + 0.05) }));
    expect(speeds.slice(0, 10)).toEqual(repeat(0, 10));
    expect(speeds.slice(10)).toEqual(repeat(20, 30));
  });

  it("counts over a missing position from the last one known", () => {
    expect(rounded(makeTrack(times(4), { east_m: (t) => (t === 2 ? N : 20 * t) }))).toEqual([0, 20, N, 20, 20]);
  });

  it("is NaN where there is no position at all", () => {
    expect(rounded(makeTrack(times(1), { latitude_deg: N, longitude_deg: N }))).toEqual([N, N]);
  });
});

describe("a position that stood still for long", () => {
  it("does not hide the jump that follows it", () => {
    const rows = Array.from({ length: 100 }, (_, time_s) => ({
      time_s,
      latitude_deg: time_s < 60 ? 47 : 47.008,
      longitude_deg: 8 + (time_s < 60 ? 0 : (time_s - 60) * 1e-5),
    }));
    const speeds = jumpSpeeds_ms(trackOf(rows));
    expect(speeds[59]).toBe(0);
    expect(speeds[60]).toBeGreaterThan(200);
    expect(speeds[61]).toBeLessThan(2);
  });

  it("keeps a slow log's own step", () => {
    const rows = Array.from({ length: 20 }, (_, i) => ({
      time_s: i * 10,
      latitude_deg: 47 + i * 0.00135,
      longitude_deg: 8,
    }));
    // 150 m in 10 s: 15 m/s, not 75.
    expect(jumpSpeeds_ms(trackOf(rows))[5]).toBeCloseTo(15, 0);
  });
});

describe("what is no jump", () => {
  const north = (metres: number): number => 47 + metres / 111_000;

  it("a correction of a few metres, however fast the log is written", () => {
    const rows = Array.from({ length: 200 }, (_, i) => ({
      time_s: i / 25,
      latitude_deg: north(i * 0.4 + (i >= 100 ? 2.5 : 0)),
      longitude_deg: 8,
    }));
    expect(Math.max(...jumpSpeeds_ms(trackOf(rows)))).toBeLessThan(JUMP_MS);
  });

  it("the way flown while the position was blank", () => {
    const rows = Array.from({ length: 60 }, (_, time_s) => ({
      time_s,
      latitude_deg: time_s > 20 && time_s < 33 ? Number.NaN : north(time_s * 10),
      longitude_deg: 8,
    }));
    expect(jumpSpeeds_ms(trackOf(rows))[33]).toBeCloseTo(10, 0);
  });

  it("a glitch of three rows, there and back: those rows have no position", () => {
    const rows = Array.from({ length: 60 }, (_, i) => ({
      time_s: i / 10,
      latitude_deg: north(i + (i >= 30 && i < 33 ? 860 : 0)),
      longitude_deg: 8,
    }));
    const { track, problems } = cleanPositions(trackOf(rows), JUMP_MS);
    const lost = [...track.columns.latitude_deg].flatMap((value, i) => (Number.isNaN(value) ? [i] : []));
    expect(lost).toEqual([30, 31, 32]);
    expect(problems.map(({ code }) => code)).toEqual(["position-spike"]);
    expect(jumpSpeeds_ms(track)[33]).toBe(0);
  });
});
