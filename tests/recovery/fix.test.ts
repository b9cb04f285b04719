import { describe, expect, it } from "vitest";
import type { Replay } from "../../src/recovery/replay.js";
import { at, type Row } from "../helpers/flights.js";
import { replayRows } from "../helpers/replay.js";

/** A hover of 40 s at a place, half a second a row. */
function replay(more: (i: number) => Partial<Row>): Replay {
  const rows = Array.from({ length: 80 }, (_, i) => ({
    time_s: i / 2,
    ...at(100, 90),
    height_m: i === 0 ? 0 : 30,
    airborne: 1,
    ...more(i),
  }));
  return replayRows(rows);
}

const missing = (more: (i: number) => Partial<Row>, k: number): number | undefined =>
  replay(more).moments.fixMissing[k];

describe("what the log lacks of the fix", () => {
  it("is one thing where nothing of it is logged, and none where all is there", () => {
    expect(missing(() => ({}), 20)).toBe(1);
    expect(missing(() => ({ satellites: 12 }), 20)).toBe(0);
    expect(missing(() => ({ satellites: 12, hdop: 1, fixType: 3 }), 20)).toBe(0);
  });

  it("is each channel that the flight has and the moment has not", () => {
    const satellites = (i: number): Partial<Row> => ({ satellites: 12, hdop: 1, fixType: i === 20 ? Number.NaN : 3 });
    expect([missing(satellites, 19), missing(satellites, 20), missing(satellites, 21)]).toEqual([0, 1, 0]);
    const two = (i: number): Partial<Row> => (i === 20 ? { fixType: 3 } : { satellites: 12, hdop: 1, fixType: 3 });
    expect(missing(two, 20)).toBe(2);
    const gone = (i: number): Partial<Row> => (i === 20 ? {} : { satellites: 12, hdop: 1, fixType: 3 });
    expect(missing(gone, 20)).toBe(3);
  });

  it("is the position too", () => {
    const nowhere = { latitude_deg: Number.NaN, longitude_deg: Number.NaN };
    const lost = (i: number): Partial<Row> => ({ satellites: 12, ...(i >= 20 && i < 24 ? nowhere : {}) });
    expect(missing(lost, 22)).toBe(1);
    expect(missing(lost, 10)).toBe(0);
    // Beside whatever else is.
    expect(missing((i) => ({ ...lost(i), satellites: Number.NaN }), 22)).toBe(2);
    expect(missing((i) => ({ ...lost(i), satellites: i === 22 ? Number.NaN : 12 }), 22)).toBe(2);
  });

  it("is none of a flight's last row, nor of rows before its first", () => {
    const flown = (i: number): Partial<Row> =>
      i < 10 ? { airborne: 0, height_m: 0 } : i === 10 ? { height_m: 0, satellites: 12 } : { satellites: 12 };
    const { flight, moments } = replay(flown);
    expect(flight.first).toBe(10);
    expect([...moments.fixMissing]).toEqual(Array<number>(70).fill(0));
  });
});

describe("a position that jumped", () => {
  /**
   * Flies east by 2 m a row, a step too short to be told from a correction; at some rows jumps on by so many metres more.
   */
  const jumped = (jumps: Readonly<Record<number, number>>): number[] => {
    const east_m = (i: number): number =>
      Object.entries(jumps).reduce((sum, [row, by_m]) => (i >= Number(row) ? sum + by_m : sum), 100 + 2 * i);
    const speeds_ms = replay((i) => at(east_m(i), 90)).moments.jump_ms;
    return [...speeds_ms].map((speed_ms) => Math.round(1000 * speed_ms) / 1000);
  };

  it("is in doubt for two seconds, by the speed of the jump", () => {
    expect(jumped({ 20: 60 }).slice(19, 27)).toEqual([0, 124, 124, 124, 124, 124, 0, 0]);
  });

  it("is in doubt by the greater of two, for two seconds after it", () => {
    expect(jumped({ 20: 60, 22: 40 }).slice(19, 27)).toEqual([0, 124, 124, 124, 124, 124, 0, 0]);
    expect(jumped({ 20: 60, 22: 80 }).slice(19, 29)).toEqual([0, 124, 124, 164, 164, 164, 164, 164, 0, 0]);
    expect(jumped({ 20: 60, 22: 60 }).slice(24, 28)).toEqual([124, 124, 124, 0]);
  });
});
