import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { judgeFlight } from "../../src/score/judge.js";
import { at, ORIGIN } from "../helpers/flights.js";
import { replayRows } from "../helpers/replay.js";

/** What could make a recovery harder. */
interface Situation {
  readonly against_ms: number;
  readonly distance_m: number;
  readonly recoveryHeight_m: number;
  readonly height_m: number;
  readonly battery_pct: number;
}

const situation: fc.Arbitrary<Situation> = fc.record({
  against_ms: fc.double({ min: 0, max: 13, noNaN: true }),
  distance_m: fc.double({ min: 20, max: 3000, noNaN: true }),
  recoveryHeight_m: fc.double({ min: 10, max: 120, noNaN: true }),
  height_m: fc.double({ min: 2, max: 120, noNaN: true }),
  battery_pct: fc.double({ min: 0, max: 100, noNaN: true }),
});

/** Verdict codes of the two rules in the middle of a hover there; greater is worse. */
function judge(now: Situation, gust_ms: number | undefined): { reserve: number; headwind: number } {
  const rows = Array.from({ length: 13 }, (_, time_s) => ({
    time_s,
    ...at(now.distance_m, 0),
    height_m: time_s === 0 ? 0 : now.height_m,
    battery_pct: now.battery_pct,
    airborne: 1,
  }));
  const { moments } = judgeFlight(
    replayRows(rows, {
      drain: { hover: 5, climb: 7, cruise: 6, descent: 4 },
      speeds: { recovery: 10, climb: 3, descent: 3, landing: 0.8 },
      settings: { recoveryHeight_m: now.recoveryHeight_m },
      recoveryPoints: [{ ...ORIGIN, at_s: 0 }],
      wind: {
        speed_ms: now.against_ms,
        from_deg: 180,
        gust_ms: gust_ms === undefined ? undefined : now.against_ms + gust_ms,
        height_m: 10,
        shear: 0.143,
      },
    }),
  );
  const code = (id: string): number => moments.find(({ rule }) => rule.id === id)?.codes[6] ?? -1;
  return { reserve: code("reserve-short"), headwind: code("headwind-stall") };
}

describe.each([
  ["more wind against", (s: Situation, more: number) => ({ ...s, against_ms: s.against_ms + more * 6 })],
  ["more distance", (s: Situation, more: number) => ({ ...s, distance_m: s.distance_m + more * 2000 })],
  [
    "more recovery height",
    (s: Situation, more: number) => ({ ...s, recoveryHeight_m: s.recoveryHeight_m + more * 80 }),
  ],
  [
    "more height when already above the recovery height",
    (s: Situation, more: number) => ({ ...s, height_m: Math.max(s.height_m, s.recoveryHeight_m) + more * 80 }),
  ],
  ["less battery", (s: Situation, more: number) => ({ ...s, battery_pct: s.battery_pct * (1 - more) })],
] as const)("%s", (name, harder) => {
  it("never makes reserve-short or headwind-stall better", () => {
    const gust = fc.option(fc.double({ min: 0, max: 6, noNaN: true }), { nil: undefined });
    fc.assert(
      fc.property(situation, fc.double({ min: 0, max: 1, noNaN: true }), gust, (given, more, gust_ms) => {
        const from = name.startsWith("more height") ? harder(given, 0) : given;
        const before = judge(from, gust_ms);
        const after = judge(harder(from, more), gust_ms);
        expect(before.reserve).toBeGreaterThan(1);
        expect(after.reserve).toBeGreaterThanOrEqual(before.reserve);
        expect(after.headwind).toBeGreaterThanOrEqual(before.headwind);
      }),
      { numRuns: 150 },
    );
  });
});
