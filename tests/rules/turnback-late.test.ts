import { describe, expect, it } from "vitest";
import { turnbackLate } from "../../src/rules/turnback-late.js";
import { energyBases } from "../../src/rules/shared.js";
import type { Given } from "../helpers/declared.js";
import { askConduct } from "../helpers/conduct.js";
import { at, ORIGIN, outAndBack, type Row } from "../helpers/flights.js";
import { replayRows } from "../helpers/replay.js";

const RATE = 6;
const GIVEN: Given = {
  drain: { hover: RATE, climb: RATE, cruise: RATE, descent: RATE },
  speeds: { recovery: 10, climb: 3, descent: 3, landing: 0.8 },
  settings: { recoveryHeight_m: 40, triggerDelay_s: 3, turnTime_s: 3, slowHeight_m: 5 },
  wind: { speed_ms: 0, from_deg: 0, gust_ms: 0, height_m: 10, shear: 0 },
};
/** Fixed time of a recovery from 40 m: delay, turn, descent, landing. */
const FIXED_S = 3 + 3 + 35 / 3 + 5 / 0.8;

/** Calm, out and home at 10 m/s: the last safe moment is half the endurance left. */
function lastSafe_s(limit_pct: number): number {
  return (((100 - limit_pct) / RATE) * 60 - FIXED_S) / 2;
}

function flight(outFor_s: number): Row[] {
  return outAndBack({
    course_deg: 0,
    out_ms: 10,
    outFor_s,
    back_ms: 10,
    height_m: 40,
    battery_pct: 100,
    rate_pctPerMin: RATE,
    step_s: 0.5,
  });
}

describe("turnback-late", () => {
  const reserve_s = lastSafe_s(25);
  const floor_s = lastSafe_s(10);

  it("knows its own arithmetic", () => {
    expect(reserve_s).toBeCloseTo(363.04, 2);
    expect(floor_s).toBeCloseTo(438.04, 2);
  });

  it.each([
    ["turns long before the reserve is touched", 300, "clear"],
    ["turns just before ten seconds are over", 372.5, "clear"],
    ["turns just after ten seconds are over", 373, "thin"],
    ["stays out until after the reserve's moment", 400, "thin"],
    ["stays out past the floor's moment by less than ten seconds", 447.5, "thin"],
    ["stays out past the floor's moment", 448, "fail"],
  ] as const)("%s", (_, outFor_s, verdict) => {
    // The last safe sample is up to half a second before the moment itself.
    const lastSample_s = Math.floor(reserve_s * 2) / 2;
    expect(outFor_s - lastSample_s >= 10).toBe(verdict !== "clear");
    expect(askConduct(turnbackLate, replayRows(flight(outFor_s), GIVEN)).verdict).toBe(verdict);
  });

  it("tells when the last safe moment was and when it turned", () => {
    const { finding } = askConduct(turnbackLate, replayRows(flight(450), GIVEN));
    expect(finding?.message).toMatch(
      /^Stayed outbound for 12 s after the last moment \(07:18\) at which a recovery would have landed with the floor of 10 %; turned for home at 07:30, 4500 m out\.$/,
    );
    expect(finding?.advice).toBe("Turn back by 06:03 on a flight like this: with 64 % at 3630 m.");
  });

  it("with rates only assumed fails by their low end alone", () => {
    const { drain: _, ...undeclared } = GIVEN;
    // A reading that never falls gives nothing to fit, so that the rates are the assumed ones: hover 3, cruise 3 at least.
    const flat = flight(450).map((row) => ({ ...row, battery_pct: 30 }));
    const replay = replayRows(flat, undeclared);
    expect(replay.inputs.drain.isAssumed).toBe(true);
    const low = replay.moments.touchdownLow_pct.findIndex((left_pct) => left_pct < 10);
    const { verdict, finding } = askConduct(turnbackLate, replay);
    expect(verdict).toBe("fail");
    expect(finding?.evidence["last_safe_s"]).toBe((low - 1) * 0.5);
    const enough = flight(450).map((row) => ({ ...row, battery_pct: 36 }));
    expect(replayRows(enough, undeclared).moments.touchdownMiddle_pct.some((left_pct) => left_pct < 0)).toBe(true);
    expect(askConduct(turnbackLate, replayRows(enough, undeclared)).verdict).toBe("thin");
  });

  it("does not ask of a flight that stayed within 50 m", () => {
    const near = outAndBack({
      course_deg: 0,
      out_ms: 1,
      outFor_s: 50,
      back_ms: 1,
      height_m: 40,
      battery_pct: 12,
      rate_pctPerMin: RATE,
      step_s: 0.5,
    });
    expect(askConduct(turnbackLate, replayRows(near, GIVEN)).verdict).toBe("n/a");
    const far = outAndBack({
      course_deg: 0,
      out_ms: 1,
      outFor_s: 51,
      back_ms: 1,
      height_m: 40,
      battery_pct: 12,
      rate_pctPerMin: RATE,
      step_s: 0.5,
    });
    expect(askConduct(turnbackLate, replayRows(far, GIVEN)).verdict).toBe("fail");
  });

  it("is unknown where the battery is lost on the way, unless it was late already", () => {
    const lost = (rows: Row[], from_s: number): Row[] =>
      rows.map((row) => (row.time_s >= from_s ? { ...row, battery_pct: Number.NaN } : row));
    expect(askConduct(turnbackLate, replayRows(lost(flight(300), 200), GIVEN)).verdict).toBe("unknown");
    expect(askConduct(turnbackLate, replayRows(lost(flight(450), 500), GIVEN)).verdict).toBe("fail");
  });

  it("is unknown without a battery reading", () => {
    const rows = flight(300).map(({ battery_pct: _, ...row }) => row);
    expect(askConduct(turnbackLate, replayRows(rows, GIVEN))).toEqual({
      verdict: "unknown",
      lacks: ["battery", "recovery-point", "height", "wind"],
    });
  });

  it("counts the trip that became unsafe, not a later safe one", () => {
    const first = flight(400);
    const end_s = first[first.length - 1]?.time_s ?? 0;
    const home = Array.from({ length: 100 }, (_, i) => ({
      ...first[0],
      height_m: 40,
      time_s: end_s + 0.5 + i,
      battery_pct: 18,
    }));
    const again = flight(30).map((row) => ({
      ...row,
      height_m: 40,
      time_s: row.time_s + end_s + 101,
      battery_pct: 17,
    }));
    const { finding } = askConduct(turnbackLate, replayRows([...first, ...home, ...again] as Row[], GIVEN));
    expect(finding?.evidence["turned_s"]).toBe(400);
  });

  it("does not speak of a last safe moment where there was none", () => {
    const rows = flight(30).map((row) => ({ ...row, ...at(row.time_s * 10 + 400, 0), battery_pct: 8 }));
    const { finding, verdict } = askConduct(
      turnbackLate,
      replayRows(rows, { ...GIVEN, recoveryPoints: [{ ...ORIGIN, at_s: 0 }] }),
    );
    expect(verdict).toBe("fail");
    expect(finding?.evidence["last_safe_s"]).toBeNull();
    expect(finding?.message).toMatch(/from the first moment known/);
  });

  it("spells it all out, by the rows of the log", () => {
    const ground = { ...ORIGIN, height_m: 0, battery_pct: 100, airborne: 0 };
    const later = [
      ...Array.from({ length: 20 }, (_, i) => ({ ...ground, time_s: i * 0.5 })),
      ...flight(400).map((row) => ({ ...row, time_s: row.time_s + 10, airborne: 1 })),
    ];
    const held = { ...GIVEN, settings: { ...GIVEN.settings, lostLinkAction: "hold" } } as const;
    const replay = replayRows(later, held);
    const { verdict, finding } = askConduct(turnbackLate, replay);
    expect(verdict).toBe("thin");
    // The last safe sample is at 363 s of the way out, 10 s and so 20 rows after the log's first.
    expect(finding).toEqual({
      first: 20 + 726,
      last: 20 + 800,
      at: 20 + 800,
      value: 37,
      limit: 10,
      message:
        "Stayed outbound for 37 s after the last moment (06:13) at which a recovery would have landed with the reserve of 25 %; " +
        "turned for home at 06:50, 4000 m out. (Low battery or the pilot's command: a lost link would hold.)",
      advice: "Turn back by 06:13 on a flight like this: with 64 % at 3630 m.",
      evidence: {
        last_safe_s: 373,
        turned_s: 410,
        outbound_after_s: 37,
        battery_at_last_safe_pct: expect.closeTo(63.7, 6) as number,
        distance_at_last_safe_m: expect.closeTo(3630, 3) as number,
      },
    });
    expect(turnbackLate.bases(replay)).toEqual(energyBases(replay));
  });

  it("begins with the first moment known where that was no longer safe", () => {
    const blank = flight(460).map((row) => (row.time_s < 440 ? { ...row, battery_pct: Number.NaN } : row));
    const { verdict, finding } = askConduct(turnbackLate, replayRows(blank, GIVEN));
    expect(verdict).toBe("fail");
    expect(finding).toMatchObject({
      first: 880,
      value: 20,
      advice: "Set off on a flight like this with more battery, or stay nearer.",
      evidence: { last_safe_s: null, battery_at_last_safe_pct: null, distance_at_last_safe_m: null },
    });
    expect(finding?.message).toMatch(
      /^Stayed outbound for 20 s, though from the first moment known \(07:20\) no recovery would have landed with the floor of 10 %;/,
    );
  });

  it.each([
    [9.5, "clear"],
    [10, "unknown"],
  ] as const)("without a battery away for %s s is %s", (lost_s, verdict) => {
    const blank = flight(200).map((row) =>
      row.time_s >= 100 && row.time_s < 100 + lost_s ? { ...row, battery_pct: Number.NaN } : row,
    );
    expect(askConduct(turnbackLate, replayRows(blank, GIVEN)).verdict).toBe(verdict);
  });

  it("does not count a battery that is missing at hand", () => {
    const rows = flight(200);
    const blank = rows.map((row) => (row.time_s > 401 ? { ...row, battery_pct: Number.NaN } : row));
    const hover = Array.from({ length: 60 }, (_, i) => ({
      ...rows[0],
      time_s: 402 + i,
      battery_pct: Number.NaN,
      height_m: 40,
    }));
    expect(
      askConduct(turnbackLate, replayRows([...blank.filter(({ time_s }) => time_s < 402), ...hover] as Row[], GIVEN))
        .verdict,
    ).toBe("clear");
  });

  it("asks nothing of a flight that stayed near, battery or not, and takes an unknown way for far", () => {
    const near = (distance_m: (time_s: number) => number): Row[] =>
      Array.from({ length: 30 }, (_, time_s) => ({
        time_s,
        ...at(distance_m(time_s), 0),
        height_m: time_s === 0 ? 0 : 40,
        airborne: 1,
      }));
    const judged = (rows: readonly Row[]): string =>
      askConduct(turnbackLate, replayRows(rows, { ...GIVEN, recoveryPoints: [{ ...ORIGIN, at_s: 0 }] })).verdict;
    expect(judged(near(() => 40))).toBe("n/a");
    expect(judged(near(() => 60))).toBe("unknown");
    const blank = near(() => 40).map((row) =>
      row.time_s === 20 ? { ...row, latitude_deg: Number.NaN, longitude_deg: Number.NaN } : row,
    );
    expect(judged(blank)).toBe("unknown");
  });

  it("takes its times and distances from the policy", () => {
    const ask = (outFor_s: number, policy: Readonly<Record<string, number>>): string =>
      askConduct(turnbackLate, replayRows(flight(outFor_s), { ...GIVEN, policy })).verdict;
    expect(ask(400, { turnback_late: 60 })).toBe("clear");
    expect(ask(368, {})).toBe("clear");
    expect(ask(368, { turnback_late: 4 })).toBe("thin");
    expect(ask(300, { turnback_late: 0 })).toBe("clear");
    expect(ask(448, { turnback_beyond: 5000 })).toBe("n/a");
  });
});
