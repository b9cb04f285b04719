import { describe, expect, it } from "vitest";
import { rehearsalAt } from "../../src/recovery/rehearsal.js";
import { at } from "../helpers/flights.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";
import { LATE_FIXED, THIRSTY } from "../helpers/run.js";

const speeds = { recovery: 10, climb: 3, descent: 4, landing: 0.8 };
const CALM = {
  ...ALL_KNOWN,
  speeds,
  wind: { speed_ms: 0, from_deg: 0, gust_ms: undefined, height_m: 10, shear: 0.143 },
};

/** A hover far out, so that each phase can be worked out by hand. */
function hover(
  height_m: number,
  distance_m: number,
  battery_pct: number | undefined,
): Parameters<typeof replayRows>[0] {
  return Array.from({ length: 60 }, (_, i) => ({
    time_s: i,
    ...at(distance_m, 90),
    height_m: i === 0 ? 0 : height_m,
    ...(battery_pct === undefined ? {} : { battery_pct }),
    airborne: 1,
  }));
}

describe("rehearsalAt", () => {
  it("is exact for a climb, a leg and a landing in calm air", () => {
    const { phases, ...rehearsal } = rehearsalAt(replayRows(hover(20, 600, 80), CALM), 30);
    expect(rehearsal).toMatchObject({ k: 30, isAtHand: false, hasNoHeadway: false });
    // Drain of ALL_KNOWN: hover 5, climb 6, cruise 5, descent 4 %/min.
    const expected = [
      ["delay", 0, 6, 0, 20, 0, (5 * 6) / 60],
      ["climb", 6, 10, 0, 50, 0, (6 * 10) / 60],
      ["transit", 16, 60, 600, 50, 10, (5 * 60) / 60],
      ["descent", 76, 45 / 4, 0, 5, 0, (4 * 45) / 4 / 60],
      ["landing", 76 + 45 / 4, 5 / 0.8, 0, 0, 0, (4 * 5) / 0.8 / 60],
    ] as const;
    expect(phases.map(({ phase }) => phase)).toEqual(expected.map(([phase]) => phase));
    phases.forEach((phase, i) => {
      const [, start_s = 0, duration_s = 0, distance_m = 0, height_m = 0, ground_ms = 0, energy_pct = 0] =
        expected[i] ?? [];
      expect(phase.start_s).toBeCloseTo(start_s, 6);
      expect(phase.duration_s).toBeCloseTo(duration_s, 6);
      expect(phase.distance_m).toBeCloseTo(distance_m, 6);
      expect(phase.height_m).toBeCloseTo(height_m, 9);
      expect(phase.groundSpeed_ms).toBeCloseTo(ground_ms, 9);
      expect(phase.energy_pct).toBeCloseTo(energy_pct, 9);
    });
  });

  it("leaves the climb out above the recovery height, and comes down from there", () => {
    const { phases } = rehearsalAt(replayRows(hover(80, 600, 80), CALM), 30);
    expect(phases.map(({ phase }) => phase)).toEqual(["delay", "transit", "descent", "landing"]);
    expect(phases.find(({ phase }) => phase === "descent")?.duration_s).toBeCloseTo(75 / 4, 9);
  });

  it("adds up to the middle need at every moment of a flight, its durations without a gap", () => {
    const replay = replayRows(LATE_FIXED, THIRSTY);
    for (let k = 0; k < replay.length; k += 1) {
      const { phases } = rehearsalAt(replay, k);
      const sum = phases.reduce((total, { energy_pct }) => total + energy_pct, 0);
      expect(sum).toBeCloseTo(replay.moments.needMiddle_pct[k] ?? Number.NaN, 9);
      phases.slice(1).forEach(({ start_s }, i) => {
        const before = phases[i];
        expect(start_s).toBeCloseTo((before?.start_s ?? 0) + (before?.duration_s ?? 0), 9);
      });
    }
  });

  it("only lands at hand", () => {
    const rehearsal = rehearsalAt(replayRows(hover(20, 5, 80), CALM), 30);
    expect(rehearsal.isAtHand).toBe(true);
    expect(rehearsal.phases.map(({ phase }) => phase)).toEqual(["descent", "landing"]);
  });

  it("has nothing to come down from under the recovery point", () => {
    expect(rehearsalAt(replayRows(hover(-3, 5, 80), CALM), 30).phases).toEqual([]);
  });

  it("is without end against too much wind", () => {
    const wind = { speed_ms: 20, from_deg: 270, gust_ms: undefined, height_m: 10, shear: 0.143 };
    const { phases, hasNoHeadway } = rehearsalAt(replayRows(hover(20, 600, 80), { ...CALM, wind }), 30);
    expect(hasNoHeadway).toBe(true);
    expect(phases.find(({ phase }) => phase === "transit")).toMatchObject({
      duration_s: Infinity,
      energy_pct: Infinity,
    });
    // Even of an aircraft that uses nothing on the leg.
    const drain = { hover: 5, climb: 6, cruise: 0, descent: 4 };
    const free = rehearsalAt(replayRows(hover(20, 600, 80), { ...CALM, wind, drain }), 30);
    expect(free.phases.find(({ phase }) => phase === "transit")?.energy_pct).toBe(Infinity);
  });
});
