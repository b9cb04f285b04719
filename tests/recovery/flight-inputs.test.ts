import { describe, expect, it } from "vitest";
import { chooseInputs, type FlightInputs } from "../../src/recovery/flight-inputs.js";
import { findFlights } from "../../src/track/flights.js";
import { type Given, settingOf } from "../helpers/declared.js";
import { at, ORIGIN, type Row, trackOf } from "../helpers/flights.js";

const ROWS = 40;
/** The flight's first row: before it the aircraft stands. */
const FIRST = 4;

/** Stands for four seconds, and then flies east by 10 m/s at 30 m until the record ends. */
const rows = (more: (i: number) => Partial<Row> = () => ({})): Row[] =>
  Array.from({ length: ROWS }, (_, i) => ({
    time_s: i,
    ...at(10 * Math.max(0, i - FIRST), 90),
    height_m: i <= FIRST ? 0 : 30,
    battery_pct: 90 - i / 10,
    airborne: i < FIRST ? 0 : 1,
    ...more(i),
  }));

function chosen(
  given: Given = {},
  more?: (i: number) => Partial<Row>,
  places: Readonly<Record<string, string>> = {},
): FlightInputs {
  const setting = settingOf(given);
  const track = trackOf(rows(more));
  const { flights, motion } = findFlights(track, { longestGap_s: 5, shortestFlight_s: 10 });
  const [flight] = flights;
  expect(flight).toMatchObject({ first: FIRST, last: ROWS - 1 });
  if (flight === undefined) throw new Error("the rows of this test hold no flight");
  const config = { ...setting.config, places: new Map(Object.entries(places)) };
  return chooseInputs({ ...setting, config }, track, flight, motion);
}

describe("the recovery height", () => {
  it("is the log's own at the flight's rows, by the first that is known", () => {
    const logged = (i: number): Partial<Row> => ({ recoveryHeight_m: i < 6 ? Number.NaN : i < 20 ? 40 : 60 });
    const { recoveryHeight, recoveryHeights_m } = chosen({ settings: { recoveryHeight_m: 70 } }, logged);
    expect(recoveryHeight).toEqual({ value: 40, basis: "measured", from: "column of the log" });
    expect(recoveryHeights_m).toHaveLength(ROWS - FIRST);
    expect([0, 1, 2, 15, 16].map((k) => recoveryHeights_m?.[k])).toEqual([Number.NaN, Number.NaN, 40, 40, 60]);
  });

  it("is else what is declared, or assumed for the battery alone", () => {
    const settings = { recoveryHeight_m: 70 };
    expect(chosen({ settings }, undefined, { "settings.recovery_height": "a.yaml:3" })).toMatchObject({
      recoveryHeight: { value: 70, basis: "declared", from: "a.yaml:3" },
      recoveryHeights_m: undefined,
    });
    expect(chosen({ settings }).recoveryHeight.from).toBe("declared");
    // A column that is empty in the flight says nothing.
    const before = (i: number): Partial<Row> => ({ recoveryHeight_m: i < FIRST ? 40 : Number.NaN });
    expect(chosen({}, before).recoveryHeight).toEqual({
      value: 50,
      basis: "assumed",
      from: "common practice, for the battery alone",
    });
  });

  it("counts from the recovery point, unless take-off is declared", () => {
    const assumed = { value: "recovery-point", basis: "assumed", from: "project default" };
    expect(chosen().recoveryHeightAbove).toEqual(assumed);
    expect(chosen({}, () => ({ recoveryHeight_m: 40 })).recoveryHeightAbove).toEqual(assumed);
    const settings = { recoveryHeightAbove: "take-off" } as const;
    const place = { "settings.recovery_height_above": "a.yaml:4" };
    expect(chosen({ settings }, undefined, place).recoveryHeightAbove).toEqual({
      value: "take-off",
      basis: "declared",
      from: "a.yaml:4",
    });
    expect(chosen({ settings }).recoveryHeightAbove.from).toBe("declared");
  });
});

describe("the settings of a recovery", () => {
  it("are the project's own where nothing is declared", () => {
    expect(chosen()).toMatchObject({
      lostLinkAction: undefined,
      triggerDelay: { value: 3, basis: "assumed", from: "common practice, a few seconds" },
      turnTime: { value: 3, basis: "assumed", from: "project default" },
      slowHeight: { value: 5, basis: "assumed", from: "project default" },
    });
  });

  it("are else what is declared, 0 too, each with its place", () => {
    const settings = { lostLinkAction: "hold", triggerDelay_s: 0, turnTime_s: 2, slowHeight_m: 8 } as const;
    expect(chosen({ settings })).toMatchObject({
      lostLinkAction: { value: "hold", basis: "declared", from: "declared" },
      triggerDelay: { value: 0, basis: "declared", from: "declared" },
      turnTime: { value: 2, basis: "declared", from: "declared" },
      slowHeight: { value: 8, basis: "declared", from: "declared" },
    });
    const places = {
      "settings.lost_link_action": "a.yaml:1",
      "settings.trigger_delay": "a.yaml:2",
      "settings.turn_time": "a.yaml:3",
      "settings.slow_height": "a.yaml:4",
    };
    const { lostLinkAction, triggerDelay, turnTime, slowHeight } = chosen({ settings }, undefined, places);
    expect([lostLinkAction, triggerDelay, turnTime, slowHeight].map((one) => one?.from)).toEqual([
      "a.yaml:1",
      "a.yaml:2",
      "a.yaml:3",
      "a.yaml:4",
    ]);
  });
});

describe("the cells", () => {
  const voltage = (): Partial<Row> => ({ voltage_V: 15.2 });

  it("have a floor of the project's own, with a favourable end, or the one declared", () => {
    expect(chosen().cellFloor).toEqual({
      value: 3.3,
      basis: "assumed",
      from: "hobby training material",
      least_V: 2.5,
    });
    const floor = (places = {}): FlightInputs["cellFloor"] =>
      chosen({ aircraft: { cellFloor_V: 3.5 } }, undefined, places).cellFloor;
    expect(floor()).toEqual({ value: 3.5, basis: "declared", from: "declared", least_V: 3.5 });
    expect(floor({ "aircraft.battery.cell_floor": "a.yaml:6" }).from).toBe("a.yaml:6");
  });

  it("are as many as declared, or told by the voltage at the charge", () => {
    const told = (given: Given, places = {}): unknown => chosen(given, voltage, places).cellVoltage;
    const four = { aircraft: { cells: 4 } };
    expect(told(four)).toMatchObject({ basis: "declared", cells: 4 });
    expect(told(four, { "aircraft.battery.cells": "a.yaml:5" })).toMatchObject({
      from: "pack voltage in the log by 4 cells (a.yaml:5)",
    });
    expect(told(four)).toMatchObject({ from: "pack voltage in the log by 4 cells (declared)" });
    // 15.2 V at 90 %: with 3.8 to 4.25 V a cell four are meant.
    expect(told({})).toMatchObject({ basis: "inferred", cells: 4 });
  });
});

describe("the battery reading", () => {
  it("is that of the flight's rows, with the problems of it", () => {
    const { battery_pct, problems } = chosen();
    expect(battery_pct).toHaveLength(ROWS - FIRST);
    expect([battery_pct?.[0], battery_pct?.[30]]).toEqual([89.6, 86.6]);
    expect(problems).toEqual([]);
    expect(chosen({}, () => ({ battery_pct: Number.NaN })).battery_pct).toBeUndefined();
  });

  it("is noted where it rises, once or more", () => {
    const rises = (...at_s: readonly number[]): string[] =>
      chosen({}, (i) => ({ battery_pct: 90 - i / 10 + (at_s.includes(i) ? 0.5 : 0) }))
        .problems.filter(({ code }) => code === "battery-rises")
        .map(({ severity, message }) => `${severity}: ${message}`);
    expect(rises(20)).toEqual(["note: The battery reading rises 1 time in flight 1; the lowest before counts."]);
    expect(rises(20, 25)).toEqual(["note: The battery reading rises 2 times in flight 1; the lowest before counts."]);
    expect(rises()).toEqual([]);
  });

  it("tells of a charge that wants a capacity", () => {
    const charge = (i: number): Partial<Row> => ({ battery_pct: Number.NaN, chargeUsed_mAh: 10 * i });
    expect(chosen({}, charge).problems.map(({ code }) => code)).toContain("battery-wants-capacity");
  });
});

describe("the air speed", () => {
  const CALM = { speed_ms: 0, from_deg: 0, gust_ms: undefined, height_m: 10, shear: 0 };
  const airSpeed = (wind: Given["wind"], more?: (i: number) => Partial<Row>): number =>
    chosen({ wind }, more).airSpeed_ms[20] ?? Number.NaN;

  it("is that over the ground less the wind, where it blows from", () => {
    const from = (from_deg: number): number => airSpeed({ ...CALM, speed_ms: 5, from_deg });
    expect(from(270)).toBeCloseTo(5, 3);
    expect(from(90)).toBeCloseTo(15, 3);
    expect(from(0)).toBeCloseTo(Math.hypot(10, 5), 3);
    expect(from(180)).toBeCloseTo(Math.hypot(10, 5), 3);
    expect(from(225)).toBeCloseTo(Math.hypot(10 - 5 * Math.SQRT1_2, 5 * Math.SQRT1_2), 3);
  });

  it("is by the wind at the aircraft's height, where that is known", () => {
    const wind = { ...CALM, speed_ms: 5, from_deg: 90, shear: 0.2 };
    expect(airSpeed(wind)).toBeCloseTo(10 + 5 * 3 ** 0.2, 3);
    const altitude = (i: number): Partial<Row> => ({ height_m: i === 20 ? Number.NaN : i <= FIRST ? 0 : 30 });
    expect(airSpeed(wind, altitude)).toBeCloseTo(15, 3);
  });

  it("is by a logged wind as it is there, whatever the height", () => {
    const logged = (): Partial<Row> => ({ windSpeed_ms: 4, windFrom_deg: 90 });
    const inputs = chosen({ wind: { ...CALM, speed_ms: 9, from_deg: 0, shear: 0.2 } }, logged);
    expect(inputs.wind.basis).toBe("measured");
    expect(inputs.airSpeed_ms[20]).toBeCloseTo(14, 3);
  });

  it("is that over the ground where the wind is only assumed", () => {
    expect(airSpeed(undefined)).toBeCloseTo(10, 3);
  });

  it("is each row's own from the flight's first on", () => {
    const { airSpeed_ms } = chosen({ wind: { ...CALM, speed_ms: 5, from_deg: 90 } });
    expect(airSpeed_ms).toHaveLength(ROWS);
    expect(airSpeed_ms[FIRST - 1]).toBeNaN();
    expect(airSpeed_ms[ROWS - 1]).toBeCloseTo(15, 3);
  });
});

describe("all inputs together", () => {
  it("have the point, the people, the speeds and the drain as they are declared", () => {
    const drain = { hover: 5, climb: 6, cruise: 7, descent: 4 };
    const speeds = { recovery: 9, climb: 2, descent: 3, landing: 1 };
    const recoveryPoints = [{ ...at(50, 0), at_s: 0 }];
    const all = chosen({ drain, speeds, recoveryPoints, operator: { kind: "position", ...ORIGIN } });
    expect(all.drain).toMatchObject({ basis: "declared", middle: [5, 6, 7, 4] });
    expect(all.speeds).toMatchObject({ recovery: { value: 9 }, climb: { value: 2 }, landing: { value: 1 } });
    expect(all.point).toMatchObject({ basis: "declared", setRow: FIRST });
    expect(all.operator?.latitude_deg[0]).toBe(47);
    expect(all.heights.overTakeoff_m[1]).toBe(30);
    expect(all.flown).toBeUndefined();
    expect(chosen({}, (i) => ({ recoveryActive: i > 30 ? 1 : 0 })).flown?.isFlown.indexOf(1)).toBe(31 - FIRST);
  });

  it("have the problems of the wind first", () => {
    // It flies out and back, and a wind that is always as fast and against it is the flow past it.
    const flow = (i: number): Partial<Row> => ({
      ...at(10 * (i <= 22 ? Math.max(0, i - FIRST) : 40 - i), 90),
      windSpeed_ms: 10,
      windFrom_deg: i < 22 ? 90 : 270,
      battery_pct: 90 - i / 10 + (i === 20 ? 0.5 : 0),
    });
    const codes = chosen({}, flow).problems.map(({ code }) => code);
    expect(codes[0]).toBe("wind-is-air-flow");
    expect(codes.at(-1)).toBe("battery-rises");
  });
});
