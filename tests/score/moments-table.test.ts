import { describe, expect, it } from "vitest";
import { MOMENT_RULES } from "../../src/rules/index.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { momentsTable } from "../../src/score/moments-table.js";
import { shortReplay, withMoment } from "../helpers/moments.js";

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

  it("has the same columns for a log without flights", () => {
    const { columns, rows } = momentsTable("none.csv", []);
    expect(columns.slice(14)).toEqual([...MOMENT_RULES.map(({ id }) => id), "flight", "log"]);
    expect([...rows]).toEqual([]);
  });
});
