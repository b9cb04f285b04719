import { describe, expect, it } from "vitest";
import { wholeDrain } from "../../src/aircraft/drain.js";
import type { Replay } from "../../src/recovery/replay.js";
import { auditFlight } from "../../src/score/flight-result.js";
import type { FlightResult } from "../../src/score/result.js";
import { at, ORIGIN, outAndBack, type Row, trackOf } from "../helpers/flights.js";
import { FLOWN, flownHome } from "../helpers/flown.js";
import { ALL_KNOWN, shortReplay } from "../helpers/moments.js";
import { replayOf, replayRows } from "../helpers/replay.js";

const NO_RULES = { moment: [], conduct: [] };

describe("the extent of a flight", () => {
  /** On the ground for three rows, then by 10 m a row out to 100 m east, and back; two seconds a row from 50 s. */
  const rows = (more: (i: number) => Partial<Row> = () => ({})): Row[] =>
    Array.from({ length: 24 }, (_, i) => ({
      time_s: 50 + 2 * i,
      ...at(10 * Math.max(0, i <= 13 ? i - 3 : 23 - i), 90),
      height_m: i <= 3 ? 0 : 20 + (i === 10 ? 5 : 0),
      battery_pct: 90 - i,
      airborne: i >= 3 ? 1 : 0,
      ...more(i),
    }));
  const extent = (more?: (i: number) => Partial<Row>): FlightResult =>
    auditFlight(replayOf(trackOf(rows(more), { startUtc_s: Date.UTC(2026, 4, 20, 10) / 1000 }), ALL_KNOWN), NO_RULES)
      .result;

  it("is its times, ways, heights and charge", () => {
    expect(extent()).toMatchObject({
      index: 1,
      start_utc: "2026-05-20T10:00:56.000Z",
      start_s: 56,
      end_s: 96,
      airborne_s: 40,
      distance_flown_m: expect.closeTo(200, 5) as number,
      farthest_m: expect.closeTo(100, 5) as number,
      highest_m: 25,
      battery_start_pct: 87,
      battery_end_pct: 67,
    });
    expect(auditFlight(replayRows(rows(), ALL_KNOWN), NO_RULES).result.start_utc).toBeNull();
    expect(auditFlight(replayRows(rows(), {}), NO_RULES).result.upper_is).toBe("bound");
    expect(auditFlight(replayRows(rows(), FLOWN), NO_RULES).result.upper_is).toBe("level");
  });

  it("goes straight over a position that is missing, and not over a gap", () => {
    const lost = extent((i) => (i === 13 ? { latitude_deg: Number.NaN, longitude_deg: Number.NaN } : {}));
    expect(lost).toMatchObject({
      distance_flown_m: expect.closeTo(180, 5) as number,
      farthest_m: expect.closeTo(90, 5) as number,
    });
    const gap = extent((i) => ({ time_s: 50 + 2 * i + (i >= 8 ? 30 : 0) }));
    expect(gap).toMatchObject({ airborne_s: 70, distance_flown_m: expect.closeTo(190, 5) as number });
  });

  it("has the first and the last charge that is known, or none", () => {
    const some = extent((i) => (i < 6 || i > 20 ? { battery_pct: Number.NaN } : {}));
    expect(some).toMatchObject({ battery_start_pct: 84, battery_end_pct: 70 });
    const none = extent(() => ({ battery_pct: Number.NaN, height_m: Number.NaN }));
    expect(none).toMatchObject({ battery_start_pct: null, battery_end_pct: null, highest_m: null });
  });

  it("has where the recovery point was set, and where it moved to", () => {
    const moved = { latitude_deg: 47.001, longitude_deg: 8.002 };
    const recoveryPoints = [
      { ...ORIGIN, at_s: 58 },
      { ...moved, at_s: 70 },
    ];
    const { result } = auditFlight(replayRows(rows(), { ...ALL_KNOWN, recoveryPoints }), NO_RULES);
    expect(result.recovery_point).toEqual({ ...ORIGIN, basis: "declared", set_at_s: 58 });
    expect(result.recovery_point_moves).toEqual([{ ...moved, at_s: 70 }]);
    const never = { ...ALL_KNOWN, recoveryPoints: [{ ...ORIGIN, at_s: 1e6 }] };
    expect(auditFlight(replayRows(rows(), never), NO_RULES).result).toMatchObject({
      recovery_point: null,
      recovery_point_moves: [],
    });
  });

  it("has the log's own drain beside another that was used", () => {
    const replay = shortReplay();
    const fitted = (drain: Replay["inputs"]["fitted"]): FlightResult["drain_fitted"] =>
      auditFlight({ ...replay, inputs: { ...replay.inputs, fitted: drain } }, NO_RULES).result.drain_fitted;
    expect([fitted(undefined), fitted(replay.inputs.drain)]).toEqual([null, null]);
    expect(fitted(wholeDrain("fitted", "this flight", [7, 7, 7, 7], 9))).toMatchObject({ basis: "fitted" });
  });
});

describe("the way home in the result", () => {
  it("has when it should have turned, and how long it went on", () => {
    const turnback = (rate_pctPerMin: number): FlightResult["turnback"] => {
      const drain = { hover: rate_pctPerMin, climb: rate_pctPerMin, cruise: rate_pctPerMin, descent: rate_pctPerMin };
      const flown = outAndBack({
        course_deg: 0,
        out_ms: 10,
        outFor_s: 300,
        back_ms: 10,
        height_m: 50,
        battery_pct: 100,
        rate_pctPerMin,
        step_s: 1,
      });
      return auditFlight(replayRows(flown, { ...FLOWN, drain }), NO_RULES).result.turnback;
    };
    // 6 s of delay and 20 s down: with a drain of r %/min, t is the last that is safe where r · (2 t + 26 s) is 75 %.
    expect(turnback(8)).toEqual({ passed: true, last_safe_s: 268, outbound_after_s: 32 });
    expect(turnback(5)).toEqual({ passed: false, last_safe_s: null, outbound_after_s: 0 });
    const blank = shortReplay(20, { ...ALL_KNOWN, recoveryPoints: [{ ...ORIGIN, at_s: 1e6 }] });
    expect(auditFlight(blank, NO_RULES).result.turnback).toBeNull();
  });

  it("has each recovery that was flown beside the one rehearsed", () => {
    const replay = replayRows(flownHome(), FLOWN);
    const upper_pct = replay.moments.needUpper_pct[100] ?? Number.NaN;
    expect(auditFlight(replay, NO_RULES).result.recoveries_flown).toEqual([
      {
        start_s: 100,
        end_s: 160,
        basis: "measured",
        ended: "landed",
        predicted: {
          time_s: 60,
          need_middle_pct: 6,
          need_upper_pct: expect.closeTo(upper_pct, 5) as number,
          height_m: 50,
        },
        actual: { time_s: 60, used_pct: 6, height_m: 50, ended_m_from_point: 0, path_ratio: 1 },
      },
    ]);
    expect(auditFlight(shortReplay(), NO_RULES).result.recoveries_flown).toEqual([]);
  });
});
