import { describe, expect, it } from "vitest";
import { findCopies } from "../../src/score/copies.js";
import type { FlightResult } from "../../src/score/result.js";
import { flightOf } from "../helpers/results.js";

const POINT = { latitude_deg: 47, longitude_deg: 8, basis: "inferred", set_at_s: 0 } as const;
const SHAPE: Partial<FlightResult> = {
  airborne_s: 600,
  distance_flown_m: 2000,
  farthest_m: 300,
  highest_m: 50,
  battery_start_pct: 97,
  battery_end_pct: 60,
  recovery_point: POINT,
};
const undated = (given: Partial<FlightResult> = {}): FlightResult => flightOf({ ...SHAPE, ...given });
const dated = (start_utc: string, given: Partial<FlightResult> = {}): FlightResult => undated({ start_utc, ...given });

/** Whether the second is taken for a copy of the first. */
function isCopy(a: FlightResult, b: FlightResult): boolean {
  return findCopies([
    { name: "a", flight: a },
    { name: "b", flight: b },
  ]).has(b);
}

describe("findCopies", () => {
  it("names the first recording for every copy, never a copy of it", () => {
    const [first, other, second, third] = [undated(), undated({ airborne_s: 700 }), undated(), undated()];
    const flights = [first, other, second, third].map((flight, i) => ({ name: `log-${i}`, flight }));
    expect([...findCopies(flights)]).toEqual([
      [second, "log-0"],
      [third, "log-0"],
    ]);
    expect(findCopies([]).size).toBe(0);
  });
});

describe("without a date, loosely", () => {
  it.each<[string, Partial<FlightResult>, boolean]>([
    ["3 s longer", { airborne_s: 603 }, true],
    ["3 s shorter", { airborne_s: 597 }, true],
    ["more than 3 s longer", { airborne_s: 603.1 }, false],
    ["2 % less far flown", { distance_flown_m: 1960 }, true],
    ["more than 2 % less far flown", { distance_flown_m: 1959 }, false],
    // Of the greater of the two.
    ["2 % farther flown", { distance_flown_m: 2000 / 0.98 - 0.01 }, true],
    ["more than 2 % farther flown", { distance_flown_m: 2000 / 0.98 + 0.01 }, false],
    ["2 % nearer", { farthest_m: 294 }, true],
    ["more than 2 % nearer", { farthest_m: 293.9 }, false],
    ["3 m lower", { highest_m: 47 }, true],
    ["more than 3 m lower", { highest_m: 46.9 }, false],
    ["1 % less charge at the start", { battery_start_pct: 96 }, true],
    ["more than that", { battery_start_pct: 95.9 }, false],
    ["1 % more charge at the end", { battery_end_pct: 61 }, true],
    ["more than 1 % at the end", { battery_end_pct: 61.1 }, false],
    ["10 m north", { recovery_point: { ...POINT, latitude_deg: 47.00009 } }, true],
    ["20 m south", { recovery_point: { ...POINT, latitude_deg: 46.9998 } }, false],
    ["7 m west", { recovery_point: { ...POINT, longitude_deg: 7.99991 } }, true],
    ["15 m east", { recovery_point: { ...POINT, longitude_deg: 8.0002 } }, false],
    ["distance not known", { distance_flown_m: null }, true],
    ["farthest not known", { farthest_m: null }, true],
    ["height not known", { highest_m: null }, true],
    ["charge at the start not known", { battery_start_pct: null }, true],
    ["charge at the end not known", { battery_end_pct: null }, true],
    ["recovery point not known", { recovery_point: null }, true],
  ])("%s", (_what, given, expected) => {
    expect(isCopy(undated(), undated(given))).toBe(expected);
    expect(isCopy(undated(given), undated())).toBe(expected);
    // One date alone says no more than none.
    expect(isCopy(dated("2026-05-20T10:00:00Z"), undated(given))).toBe(expected);
    expect(isCopy(undated(given), dated("2026-05-20T10:00:00Z"))).toBe(expected);
  });

  it("is never within ten metres where a point lies a ten-thousandth of a degree away or more", () => {
    const at = (latitude_deg: number, longitude_deg: number): FlightResult =>
      undated({ recovery_point: { ...POINT, latitude_deg, longitude_deg } });
    // From 0, where the difference is exact.
    expect(isCopy(at(0, 0), at(1e-4, 0))).toBe(false);
    expect(isCopy(at(0, 0), at(0, -1e-4))).toBe(false);
    expect(isCopy(at(0, 0), at(0.99e-4, -0.99e-4))).toBe(true);
  });
});

describe("with dates", () => {
  const other: Partial<FlightResult> = { distance_flown_m: 5 };

  it.each<[string, string, number, boolean]>([
    ["3 s of both at once", "2026-05-20T10:09:57.000Z", 600, false],
    ["more than 3 s of both at once", "2026-05-20T10:09:56.900Z", 600, true],
    ["one within the other", "2026-05-20T10:05:00.000Z", 10, true],
    ["too little within the other", "2026-05-20T10:05:00.000Z", 3, false],
    ["one over the other", "2026-05-20T09:55:00.000Z", 3600, true],
    ["one before the other", "2026-05-20T09:50:02.000Z", 600, false],
    ["one day later", "2026-05-21T10:00:00.000Z", 600, false],
  ])("unlike, %s", (_what, start_utc, airborne_s, expected) => {
    const first = dated("2026-05-20T10:00:00.000Z");
    expect(isCopy(first, dated(start_utc, { ...other, airborne_s }))).toBe(expected);
    expect(isCopy(dated(start_utc, { ...other, airborne_s }), first)).toBe(expected);
  });

  it.each<[string, Partial<FlightResult>, boolean]>([
    ["alike", {}, true],
    ["0.1 s longer", { airborne_s: 600.1 }, true],
    ["0.3 s longer", { airborne_s: 600.3 }, false],
    ["0.05 % less far flown", { distance_flown_m: 1999 }, true],
    ["0.06 % less far flown", { distance_flown_m: 1998.8 }, false],
    ["0.09 m lower", { highest_m: 49.91 }, true],
    ["0.11 m lower", { highest_m: 49.89 }, false],
    ["0.16 m nearer", { farthest_m: 299.84 }, false],
    ["a hundredth of a per cent of charge", { battery_end_pct: 60.009 }, true],
    ["two hundredths", { battery_end_pct: 60.02 }, false],
  ])("under another date, %s", (_what, given, expected) => {
    expect(isCopy(dated("2026-05-20T10:00:00.000Z"), dated("2026-05-19T10:00:00.000Z", given))).toBe(expected);
  });
});
