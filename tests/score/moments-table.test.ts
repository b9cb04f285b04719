import { describe, expect, it } from "vitest";
import { MOMENT_RULES } from "../../src/rules/index.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { momentsTable } from "../../src/score/moments-table.js";
import { shortReplay, withMoment } from "../helpers/moments.js";
import { repeat } from "../track/make-track.js";

describe("momentsTable", () => {
  it("has every moment with its numbers and one verdict a rule; what is without end or not known is null", () => {
    const replay = withMoment(shortReplay(), 7, { needMiddle_pct: Number.POSITIVE_INFINITY, battery_pct: Number.NaN });
    const { columns, rows } = momentsTable("a.csv", [auditFlight(replay)]);
    const all = [...rows];
    expect(all).toHaveLength(20);
    const cell = (k: number, name: string): unknown => all[k]?.[columns.indexOf(name)];
    expect(cell(7, "at_s")).toBe(7);
    expect(cell(7, "need_middle_pct")).toBeNull();
    expect(cell(7, "battery_pct")).toBeNull();
    expect(cell(7, "reserve-short")).toBe("unknown");
    expect(cell(8, "reserve-short")).toBe("clear");
    expect(cell(8, "flight")).toBe(1);
    expect(cell(8, "log")).toBe("a.csv");
  });

  it("puts each number under its own name, degrees to 1e-9 and all else to 1e-6", () => {
    const flight = auditFlight(shortReplay());
    const values = {
      at_s: 1.1234567,
      weight_s: 2,
      latitude_deg: 3.12345678912,
      longitude_deg: 4.12345678912,
      height_m: 5,
      distance_m: 6,
      battery_pct: 7,
      needMiddle_pct: 8,
      needUpper_pct: 9,
      touchdownMiddle_pct: 10,
      touchdownUpper_pct: 11,
      groundSpeed_ms: 12,
      clearanceCentre_m: 13,
      clearanceCorridor_m: 14,
    };
    withMoment(flight.judgement.replay, 3, values);
    const { columns, rows } = momentsTable("a.csv", [flight]);
    const row = [...rows][3] ?? [];
    expect(Object.fromEntries(columns.slice(0, 14).map((name, i) => [name, row[i]]))).toEqual({
      at_s: 1.123457,
      weight_s: 2,
      latitude_deg: 3.123456789,
      longitude_deg: 4.123456789,
      height_m: 5,
      distance_m: 6,
      battery_pct: 7,
      need_middle_pct: 8,
      need_upper_pct: 9,
      touchdown_middle_pct: 10,
      touchdown_upper_pct: 11,
      ground_speed_ms: 12,
      clearance_centre_m: 13,
      clearance_corridor_m: 14,
    });
  });

  it("goes on with the next flight of a log", () => {
    const flight = auditFlight(shortReplay());
    const second = { ...flight, result: { ...flight.result, index: 2 } };
    const { columns, rows } = momentsTable("a.csv", [flight, second]);
    const at = columns.indexOf("flight");
    expect([...rows].map((row) => row[at])).toEqual([...repeat(1, 20), ...repeat(2, 20)]);
    for (const row of momentsTable("a.csv", [flight]).rows) expect(row).toHaveLength(columns.length);
  });

  it("has the same columns for a log without flights", () => {
    const { columns, rows } = momentsTable("none.csv", []);
    expect(columns.slice(14)).toEqual([...MOMENT_RULES.map(({ id }) => id), "flight", "log"]);
    expect([...rows]).toEqual([]);
  });
});
