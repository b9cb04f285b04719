import { describe, expect, it } from "vitest";
import { replayFlight } from "../../src/recovery/replay-flight.js";
import type { Replay } from "../../src/recovery/replay.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { findFlights } from "../../src/track/flights.js";
import { settingOf } from "../helpers/declared.js";
import { at, type Row, trackOf } from "../helpers/flights.js";

/** Ten seconds on the ground, 200 s in the air, ten on the ground; the charge used of each second. */
function rows(used: (time_s: number) => Partial<Row>): Row[] {
  return Array.from({ length: 220 }, (_, time_s) => ({
    time_s,
    ...at(40, 0),
    height_m: time_s >= 10 && time_s < 210 ? 20 : 0,
    airborne: time_s >= 10 && time_s < 210 ? 1 : 0,
    ...used(time_s),
  }));
}

function replay(given: readonly Row[], battery: { capacity_mAh?: number; cells?: number }, which = 0): Replay {
  const setting = settingOf();
  const { declared } = setting.config;
  const aircraft = { ...declared.aircraft, capacity_mAh: battery.capacity_mAh, cells: battery.cells };
  const track = trackOf(given);
  const found = findFlights(track, { longestGap_s: 5, shortestFlight_s: 10 });
  const flight = found.flights[which];
  if (flight === undefined) throw new Error("the rows of this test hold no such flight");
  const config = { ...setting.config, declared: { ...declared, aircraft } };
  return replayFlight({ ...setting, config }, track, flight, found.motion);
}

const CAPACITY = { capacity_mAh: 5000 };
/** 5 mAh a second. */
const count = (time_s: number): Partial<Row> => ({ chargeUsed_mAh: 5 * time_s });

describe("the battery from the charge used", () => {
  it("is 100 % less what was used of the capacity, inferred, and said so", () => {
    const told = replay(rows(count), CAPACITY);
    // At row 110 of the log 550 of 5000 mAh: 89 % left.
    expect(told.inputs.battery_pct?.[100]).toBeCloseTo(89, 9);
    expect(told.inputs.battery).toMatchObject({ value: "from charge used", basis: "inferred" });
    const { result } = auditFlight(told);
    expect(result.inputs["battery"]).toMatchObject({ basis: "inferred", from: /of 5000 mAh/ });
    expect(told.inputs.problems).toMatchObject([{ code: "battery-from-charge", severity: "note", line: undefined }]);
    expect(result.battery_start_pct).toBeCloseTo(99, 6);
  });

  it("is not asked where the log has a percent, and says nothing of it then", () => {
    const told = replay(
      rows((time_s) => ({ ...count(time_s), battery_pct: 70 })),
      CAPACITY,
    );
    expect(told.inputs.battery.basis).toBe("measured");
    expect(told.inputs.battery_pct?.[100]).toBe(70);
    expect(auditFlight(told).result.inputs).not.toHaveProperty("battery");
    expect(told.inputs.problems).toEqual([]);
  });

  it.each([
    ["no capacity is declared", rows(count), {}, "battery-wants-capacity"],
    [
      "the count begins at over 2 %",
      rows((t) => ({ chargeUsed_mAh: 101 + 5 * t })),
      CAPACITY,
      "battery-not-from-charge",
    ],
    [
      "a cell at rest was at 3.9 V",
      rows((t) => ({ ...count(t), voltage_V: 15.6 })),
      { ...CAPACITY, cells: 4 },
      "battery-not-from-charge",
    ],
    [
      "its first cell was at 3.9 V",
      rows((t) => ({ ...count(t), cellVoltage1_V: 3.9 })),
      CAPACITY,
      "battery-not-from-charge",
    ],
    [
      "its lowest cell was at 3.9 V",
      rows((t) => ({ ...count(t), cellVoltageLowest_V: 3.9 })),
      CAPACITY,
      "battery-not-from-charge",
    ],
  ] as const)("is not known where %s", (_, given, battery, code) => {
    const told = replay(given, battery);
    expect(told.inputs.battery_pct).toBeUndefined();
    expect(told.inputs.problems).toMatchObject([{ code, severity: "note" }]);
    expect(told.inputs.battery).toMatchObject({ value: "unknown", basis: "assumed" });
    expect(auditFlight(told).result.battery_start_pct).toBeNull();
  });

  it.each([
    ["the count begins at just 2 %", rows((t) => ({ chargeUsed_mAh: 100 + 5 * t })), CAPACITY],
    ["a cell at rest was at 4.0 V", rows((t) => ({ ...count(t), voltage_V: 16 })), { ...CAPACITY, cells: 4 }],
    ["a pack voltage has no cell count", rows((t) => ({ ...count(t), voltage_V: 11 })), CAPACITY],
    [
      "the voltage was not read yet",
      rows((t) => ({ ...count(t), voltage_V: t === 0 ? 0 : 11 })),
      { ...CAPACITY, cells: 4 },
    ],
  ] as const)("is known where %s", (_, given, battery) => {
    expect(replay(given, battery).inputs.battery_pct).toBeDefined();
  });

  it("is unknown from where the count begins anew in the air, and not before", () => {
    const anew = rows((t) => ({ chargeUsed_mAh: t < 110 ? 5 * t : 5 * (t - 110) }));
    const battery = replay(anew, CAPACITY).inputs.battery_pct;
    expect(battery?.[99]).toBeCloseTo(89.1, 9);
    expect(battery?.[100]).toBeNaN();
    // A count that jitters by 1 % has not begun anew.
    const jitter = rows((t) => ({ chargeUsed_mAh: t === 110 ? 5 * 109 - 50 : 5 * t }));
    expect(replay(jitter, CAPACITY).inputs.battery_pct?.[120]).toBeCloseTo(87, 9);
  });

  it("counts on over two flights of one pack, and anew after a change of packs on the ground", () => {
    const twice = (packs: number): Row[] => {
      const first = rows(count);
      const second = rows((t) => ({ chargeUsed_mAh: packs === 1 ? 1100 + 5 * t : 5 * t }));
      return [...first, ...second.map((row) => ({ ...row, time_s: row.time_s + 220 }))];
    };
    expect(replay(twice(1), CAPACITY, 1).inputs.battery_pct?.[0]).toBeCloseTo(77, 9);
    expect(replay(twice(2), CAPACITY, 1).inputs.battery_pct?.[0]).toBeCloseTo(99, 9);
  });

  it("never is under nothing, and warns where more was used than the capacity", () => {
    const told = replay(rows(count), { capacity_mAh: 800 });
    expect(told.inputs.battery_pct?.[190]).toBe(0);
    const over = told.inputs.problems.filter(({ code }) => code === "battery-overdrawn");
    expect(over).toMatchObject([{ severity: "warning" }]);
    expect(replay(rows(count), { capacity_mAh: 1100 }).inputs.problems.map(({ code }) => code)).not.toContain(
      "battery-overdrawn",
    );
  });

  it("is unknown where a logged percent drops out, said once, and the same after it", () => {
    const told = replay(
      rows((t) => ({ battery_pct: t === 110 ? 3 : 70 })),
      CAPACITY,
    );
    expect(told.inputs.problems).toMatchObject([{ code: "battery-dropout", severity: "note", line: undefined }]);
    expect(told.inputs.battery_pct?.[100]).toBeNaN();
    expect(told.inputs.battery_pct?.[101]).toBe(70);
  });

  it("is never told by a voltage alone", () => {
    const told = replay(
      rows(() => ({ voltage_V: 16.2 })),
      { ...CAPACITY, cells: 4 },
    );
    expect(told.inputs.battery_pct).toBeUndefined();
    expect(told.inputs.problems).toEqual([]);
  });
});
