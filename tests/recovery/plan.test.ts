import { describe, expect, it } from "vitest";
import { auditFlight } from "../../src/score/flight-result.js";
import type { Given } from "../helpers/declared.js";
import { at, ORIGIN, type Row } from "../helpers/flights.js";
import { replayRows } from "../helpers/replay.js";

const GIVEN: Given = {
  drain: { hover: 6, climb: 12, cruise: 9, descent: 3 },
  speeds: { recovery: 10, climb: 2, descent: 4, landing: 1 },
  settings: { recoveryHeight_m: 50, triggerDelay_s: 2, turnTime_s: 4, slowHeight_m: 5 },
  wind: { speed_ms: 0, from_deg: 0, gust_ms: 0, height_m: 10, shear: 0 },
  recoveryPoints: [{ ...ORIGIN, at_s: 0 }],
};

/** Hovers at a distance and height for long. */
function hover(distance_m: number, height_m: number, more: Partial<Row> = {}): Row[] {
  return Array.from({ length: 40 }, (_, time_s) => ({
    time_s,
    ...at(distance_m, 0),
    height_m: time_s === 0 ? 0 : height_m,
    battery_pct: 80,
    airborne: 1,
    ...more,
  }));
}

function needOf(rows: readonly Row[], given: Given = GIVEN): number {
  return replayRows(rows, given).moments.needMiddle_pct[20] ?? Number.NaN;
}

describe("one recovery", () => {
  it("is delay and turn at the hover, climb, leg, descent and landing, each at its rate", () => {
    // 6 s at 6, 20 m at 2 m/s and 12, 300 m at 10 m/s and 9, 45 m at 4 m/s and the last 5 m at 1 m/s at 3 %/min.
    const expected = (6 * 6 + 10 * 12 + 30 * 9 + (45 / 4 + 5) * 3) / 60;
    expect(needOf(hover(300, 30))).toBeCloseTo(expected, 9);
  });

  it("has no climb from above the recovery height, and a longer descent", () => {
    const expected = (6 * 6 + 30 * 9 + (75 / 4 + 5) * 3) / 60;
    expect(needOf(hover(300, 80))).toBeCloseTo(expected, 9);
  });

  it("is the descent alone at hand, all of it slow under the slow height", () => {
    expect(needOf(hover(10, 30))).toBeCloseTo(((25 / 4 + 5) * 3) / 60, 9);
    expect(needOf(hover(10, 4))).toBeCloseTo((4 * 3) / 60, 9);
    expect(needOf(hover(14.99, 30))).toBeCloseTo(((25 / 4 + 5) * 3) / 60, 6);
    expect(needOf(hover(15.01, 30))).toBeGreaterThan(1);
  });

  it("follows the declared near action inside its radius", () => {
    const near = (action: "land" | "level" | "climb"): Given => ({
      ...GIVEN,
      settings: { ...GIVEN.settings, near: { radius_m: 30, action } },
    });
    const descent = 25 / 4 + 5;
    expect(needOf(hover(25, 30), near("land"))).toBeCloseTo((descent * 3) / 60, 9);
    expect(needOf(hover(25, 30), near("level"))).toBeCloseTo((6 * 6 + 2.5 * 9 + descent * 3) / 60, 6);
    const climbed = (6 * 6 + 10 * 12 + 2.5 * 9 + (45 / 4 + 5) * 3) / 60;
    expect(needOf(hover(25, 30), near("climb"))).toBeCloseTo(climbed, 6);
    expect(needOf(hover(35, 30), near("land"))).toBeGreaterThan(climbed);
  });

  it("has no delay where the log says that a recovery is being flown", () => {
    const flown = needOf(hover(300, 30, { recoveryActive: 1 }));
    expect(needOf(hover(300, 30)) - flown).toBeCloseTo((6 * 6) / 60, 9);
  });

  it("counts the last ten seconds low before a landing as at hand", () => {
    const rows = [
      ...hover(300, 30).map((row) => (row.time_s > 30 ? { ...row, height_m: 2 } : row)),
      { time_s: 40, ...at(300, 0), height_m: 0, battery_pct: 80, airborne: 0 },
    ];
    const { moments } = replayRows(rows, GIVEN);
    expect(moments.atHand[20]).toBe(0);
    expect(moments.atHand[35]).toBe(1);
  });
});

describe("inputs of a flight", () => {
  it("warn where declared rates are over 20 % from what was flown, and show both", () => {
    const rows = hover(300, 30).flatMap((row) =>
      Array.from({ length: 10 }, (_, i) => {
        const time_s = row.time_s * 10 + i;
        return { ...row, time_s, height_m: time_s === 0 ? 0 : 30, battery_pct: Math.floor(90 - (8 * time_s) / 60) };
      }),
    );
    const replay = replayRows(rows, GIVEN);
    expect(replay.inputs.problems).toMatchObject([{ code: "drain-apart", severity: "warning" }]);
    expect(replay.inputs.problems[0]?.message).toMatch(/hover 6\.0 declared, 8\.\d flown/);
    const { result } = auditFlight(replay);
    expect(result.drain).toMatchObject({ basis: "declared", hover_pct_per_min: 6 });
    expect(result.drain_fitted?.hover_pct_per_min).toBeCloseTo(8, 0);
  });

  it("say that the battery rose, or dropped out, and count the lowest that was real", () => {
    const rising = hover(300, 30).map((row) => ({ ...row, battery_pct: row.time_s < 20 ? 60 : 62 }));
    const risen = replayRows(rising, GIVEN);
    expect(risen.inputs.problems).toMatchObject([{ code: "battery-rises" }]);
    expect(risen.moments.battery_pct[30]).toBe(60);
    const odd = hover(300, 30).map((row) => ({ ...row, battery_pct: row.time_s === 20 ? 3 : 60 }));
    const dropped = replayRows(odd, GIVEN);
    expect(dropped.inputs.problems.map(({ code }) => code)).toEqual(["battery-dropout"]);
    expect(dropped.moments.battery_pct[20]).toBeNaN();
    expect(dropped.moments.battery_pct[30]).toBe(60);
  });
});

describe("what is only assumed", () => {
  const rows = hover(150, 6).map((row) => ({ ...row, battery_pct: 13 }));
  const declared = { drain: { hover: 9, climb: 14, cruise: 9, descent: 9 }, drainSpread_pct: 0 };
  const given: Given = { ...GIVEN, ...declared, speeds: { recovery: 10 }, settings: {} };

  it("fails no flight that would come home with it at its favourable end", () => {
    // 50 m, 3, 2 and 0.8 m/s as assumed cost 11 %; no climb, 5 and 1.5 m/s cost 3.7 %. The floor is 10 %.
    const verdictWith = (battery_pct: number): { middle: number; verdicts: string[] } => {
      const replay = replayRows(
        rows.map((row) => ({ ...row, battery_pct })),
        given,
      );
      const { findings } = auditFlight(replay).result;
      const verdicts = findings.filter(({ rule }) => rule === "reserve-short").map(({ verdict }) => verdict);
      return { middle: replay.moments.touchdownMiddle_pct[20] ?? Number.NaN, verdicts };
    };
    expect(verdictWith(14).middle).toBeLessThan(10);
    expect(verdictWith(14).verdicts).toEqual(["thin"]);
    expect(verdictWith(13).verdicts).toEqual(["fail"]);
  });

  it("takes each input's favourable end: no climb, faster descents", () => {
    const { moments } = replayRows(rows, given);
    const low = 13 - (6 * 9 + 15 * 9 + (1 / 5 + 5 / 1.5) * 9) / 60;
    expect(moments.touchdownLow_pct[20]).toBeCloseTo(low, 6);
  });

  it("is not said of a finding that holds without it", () => {
    const flat = rows.map((row) => ({ ...row, battery_pct: 24 }));
    const { drain: _, ...undeclared } = given;
    const { findings } = auditFlight(replayRows(flat, { ...undeclared, speeds: { ...GIVEN.speeds } })).result;
    expect(findings.find(({ rule }) => rule === "reserve-short")).toMatchObject({
      decided_by: "assumed",
      by_assumption_alone: false,
    });
  });
});
