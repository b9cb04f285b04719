import { describe, expect, it } from "vitest";
import { pointLate } from "../../src/rules/point-late.js";
import { askConduct } from "../helpers/conduct.js";
import { at, ORIGIN, type Row } from "../helpers/flights.js";
import { replayRows } from "../helpers/replay.js";

/** Stands for 5 s, then climbs at 2 m/s while drifting off; satellites grow to 12 at a given second. */
function rows(fixAt_s: number, drift_ms = 0, more: Partial<Row> = {}): Row[] {
  return Array.from({ length: 40 }, (_, time_s) => ({
    time_s,
    ...at(Math.max(0, time_s - 5) * drift_ms, 0),
    height_m: Math.max(0, time_s - 5) * 2,
    satellites: time_s >= fixAt_s ? 12 : 11,
    hdop: 1,
    fixType: 3,
    airborne: time_s >= 5 ? 1 : 0,
    ...more,
  }));
}

describe("point-late", () => {
  it.each([
    ["before take-off", rows(3), "clear"],
    ["at the very row of take-off", rows(5), "clear"],
    ["a second after take-off", rows(6), "thin"],
    ["just at 30 m", rows(20), "thin"],
    ["higher than 30 m", rows(21), "fail"],
    ["just at 15 m from take-off", rows(15, 1.4999999), "thin"],
    ["farther than 15 m from take-off", rows(15, 1.51), "fail"],
    ["never", rows(99), "thin"],
    ["HDOP never good enough", rows(3, 0, { hdop: 4.5 }), "thin"],
    ["only two-dimensional", rows(3, 0, { fixType: 2 }), "thin"],
    ["HDOP just at its limit", rows(3, 0, { hdop: 4 }), "clear"],
  ] as const)("fixed %s", (_, given, verdict) => {
    expect(askConduct(pointLate, replayRows(given)).verdict).toBe(verdict);
  });

  it("is unknown without satellites, HDOP and fix type", () => {
    const bare = rows(3).map(({ satellites: _, hdop: __, fixType: ___, ...row }) => row);
    expect(askConduct(pointLate, replayRows(bare))).toEqual({ verdict: "unknown", lacks: ["fix"] });
  });

  it("is unknown where the recording begins in the air", () => {
    const inAir = rows(3).map((row) => ({ ...row, airborne: 1, height_m: (row.height_m ?? 0) + 30 }));
    expect(askConduct(pointLate, replayRows(inAir)).verdict).toBe("unknown");
  });

  it("takes a logged point's own word for when it was stored", () => {
    const logged = rows(99).map((row) => ({
      ...row,
      recoveryLatitude_deg: row.time_s >= 25 ? ORIGIN.latitude_deg : Number.NaN,
      recoveryLongitude_deg: row.time_s >= 25 ? ORIGIN.longitude_deg : Number.NaN,
    }));
    expect(askConduct(pointLate, replayRows(logged)).verdict).toBe("fail");
    const early = rows(99).map((row) => ({
      ...row,
      recoveryLatitude_deg: ORIGIN.latitude_deg,
      recoveryLongitude_deg: ORIGIN.longitude_deg,
    }));
    expect(askConduct(pointLate, replayRows(early)).verdict).toBe("clear");
  });

  it("asks the fix where the point is declared, which says where it was and not when", () => {
    const given = { recoveryPoints: [{ ...ORIGIN, at_s: 0 }] };
    expect(askConduct(pointLate, replayRows(rows(3), given)).verdict).toBe("clear");
    expect(askConduct(pointLate, replayRows(rows(25), given)).verdict).toBe("fail");
    const bare = rows(3).map(({ satellites: _, hdop: __, fixType: ___, ...row }) => row);
    expect(askConduct(pointLate, replayRows(bare, given)).verdict).toBe("unknown");
  });

  it("asks the fix where the columns of the point hold nothing", () => {
    const never = rows(3).map((row) => ({
      ...row,
      recoveryLatitude_deg: Number.NaN,
      recoveryLongitude_deg: Number.NaN,
    }));
    expect(askConduct(pointLate, replayRows(never)).verdict).toBe("clear");
  });

  it("is unknown where a logged point never was there, or the height is not known", () => {
    const set = (from_s: number): Row[] =>
      rows(99).map((row) => ({
        ...row,
        airborne: 1,
        height_m: row.time_s + 30,
        recoveryLatitude_deg: row.time_s >= from_s ? ORIGIN.latitude_deg : Number.NaN,
        recoveryLongitude_deg: row.time_s >= from_s ? ORIGIN.longitude_deg : Number.NaN,
      }));
    expect(askConduct(pointLate, replayRows(set(3)))).toEqual({ verdict: "unknown", lacks: ["recovery-point"] });
    const blank = rows(8).map((row) => (row.time_s === 8 ? { ...row, height_m: Number.NaN } : row));
    expect(askConduct(pointLate, replayRows(blank))).toEqual({ verdict: "unknown", lacks: ["height"] });
  });

  it("holds the distance against its limit where only that is over, and both by the height", () => {
    const away_m = 10 * 1.6;
    const far = askConduct(pointLate, replayRows(rows(15, 1.6))).finding;
    expect(far).toMatchObject({ first: 5, last: 15, at: 15, limit: 15 });
    expect(far?.value).toBeCloseTo(away_m, 6);
    expect(far?.evidence).toEqual({ fixed_at_s: 15, height_m: 20, from_takeoff_m: far?.value });
    expect(far?.advice).toBe(
      "Wait on the ground for 12 satellites, and check where the recovery point is before you go.",
    );
    // Near and low, the height is what is shown.
    expect(askConduct(pointLate, replayRows(rows(7))).finding).toMatchObject({ value: 4, limit: 30 });
    const exact = replayRows(rows(15, 1.6), { policy: { "adrift.thin": far?.value ?? Number.NaN } });
    expect(askConduct(pointLate, exact).verdict).toBe("thin");
  });

  it("says of a fix that never was good how good it got, on any row of the log up to the landing", () => {
    const never = (satellites: (time_s: number) => number): Row[] =>
      rows(99).map((row) => ({
        ...row,
        satellites: satellites(row.time_s),
        height_m: row.time_s === 39 ? 40 : (row.height_m ?? 0),
      }));
    const { finding } = askConduct(pointLate, replayRows(never((t) => (t === 30 ? 10 : 6))));
    expect(finding).toEqual({
      first: 5,
      last: 39,
      at: 5,
      value: 10,
      limit: 12,
      unit: "1",
      message:
        "The fix never was as good as a recovery point wants (at most 10 satellites); whether one was stored, and where, is not certain.",
      advice: "Wait on the ground for 12 satellites before take-off.",
      evidence: { most_satellites: 10, highest_m: 66 },
    });
    const last = askConduct(pointLate, replayRows(never((t) => (t === 39 ? 9 : 6)))).finding;
    expect(last?.value).toBe(9);
    const noCount = rows(3, 0, { hdop: 4.5 }).map(({ satellites: _, ...row }) => row);
    const bare = askConduct(pointLate, replayRows(noCount)).finding;
    expect(bare?.message).toMatch(/^The fix never was as good as a recovery point wants; whether/);
    expect(bare).toMatchObject({ value: Number.NaN, evidence: { most_satellites: null } });
    expect(pointLate.bases(replayRows(rows(3)))).toEqual(["measured"]);
  });

  it("spells out where the point is", () => {
    const { finding } = askConduct(pointLate, replayRows(rows(25, 2)));
    expect(finding?.message).toBe(
      "The fix first was good enough to store a recovery point at 00:25, 40 m up and 40 m from take-off: a recovery flies there, and before it nowhere.",
    );
    expect(finding).toMatchObject({ value: 40, limit: 30 });
    const never = askConduct(pointLate, replayRows(rows(99))).finding;
    expect(never?.message).toMatch(/at most 11 satellites/);
  });
});
