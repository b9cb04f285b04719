import { describe, expect, it } from "vitest";
import type { Declared } from "../../src/config/declared.js";
import { chooseRecoveryPoint, firstGoodFix, type RecoveryPoint } from "../../src/recovery/point.js";
import type { Flight } from "../../src/track/flights.js";
import { settingOf } from "../helpers/declared.js";
import { at, flightOfRows, ORIGIN, type Row, trackOf } from "../helpers/flights.js";

/** Rows 2 to 5 of seven. */
const FLIGHT = flightOfRows(2, 5);
const { policy } = settingOf();
const ROWS = 7;

/** A row's place lies as many degrees north and east as its number. */
function rows(more: (i: number) => Partial<Row> = () => ({})): Row[] {
  return Array.from({ length: ROWS }, (_, i) => ({
    time_s: 10 * i,
    latitude_deg: i,
    longitude_deg: 20 + i,
    ...more(i),
  }));
}

function chosen(
  given: readonly Row[],
  { flight = FLIGHT, points, place }: { flight?: Flight; points?: Declared["recoveryPoints"]; place?: string } = {},
): RecoveryPoint {
  const { config } = settingOf({ recoveryPoints: points });
  const places = new Map(place === undefined ? [] : [["recovery_point", place]]);
  return chooseRecoveryPoint({ ...config, places }, trackOf(given), flight, policy);
}

describe("the first good fix", () => {
  const good = { satellites: policy["fix.satellites_at_start"], hdop: policy["fix.hdop"], fixType: 3 };

  it("is good at just its limits, in the first row too", () => {
    expect(firstGoodFix(trackOf(rows(() => good)), FLIGHT, policy)).toEqual({ isKnown: true, row: 0 });
  });

  it.each([
    ["a satellite less", { satellites: good.satellites - 1 }],
    ["a little more HDOP", { hdop: good.hdop + 0.01 }],
    ["no third dimension", { fixType: 2 }],
    ["no satellites known", { satellites: Number.NaN }],
    ["no HDOP known", { hdop: Number.NaN }],
    ["no fix type known", { fixType: Number.NaN }],
    ["no position", { latitude_deg: Number.NaN }],
  ])("waits with %s", (_, bad) => {
    const waiting = rows((i) => ({ ...good, ...(i < 4 ? bad : {}) }));
    expect(firstGoodFix(trackOf(waiting), FLIGHT, policy)).toEqual({ isKnown: true, row: 4 });
  });

  it("asks of each channel that is logged, alone too", () => {
    for (const channel of ["satellites", "hdop", "fixType"] as const) {
      const late = rows((i) => ({ [channel]: i < 3 ? Number.NaN : good[channel] }));
      expect(firstGoodFix(trackOf(late), FLIGHT, policy)).toEqual({ isKnown: true, row: 3 });
    }
    expect(firstGoodFix(trackOf(rows()), FLIGHT, policy)).toEqual({ isKnown: false, row: undefined });
  });

  it("is sought up to the flight's last row", () => {
    const from = (first: number): Row[] => rows((i) => ({ satellites: i < first ? 0 : 30 }));
    expect(firstGoodFix(trackOf(from(5)), FLIGHT, policy)).toEqual({ isKnown: true, row: 5 });
    expect(firstGoodFix(trackOf(from(6)), FLIGHT, policy)).toEqual({ isKnown: true, row: undefined });
  });
});

describe("the recovery point", () => {
  it("is what the log says at the flight's rows, before one declared", () => {
    const logged = rows((i) => ({ recoveryLatitude_deg: 40 + i, recoveryLongitude_deg: 5 + i }));
    expect(chosen(logged, { points: [{ ...ORIGIN, at_s: 0 }] })).toEqual({
      basis: "measured",
      from: "columns of the log",
      latitude_deg: Float64Array.of(42, 43, 44, 45),
      longitude_deg: Float64Array.of(7, 8, 9, 10),
      setRow: 2,
      moveRows: [3, 4, 5],
    });
  });

  it("takes both of a position to be logged", () => {
    expect(chosen(rows((i) => ({ recoveryLatitude_deg: 40 + i }))).basis).toBe("inferred");
    expect(chosen(rows((i) => ({ recoveryLongitude_deg: 5 + i }))).basis).toBe("inferred");
  });

  it("has moved where it is over a metre off, and then counts from there", () => {
    const off_m = [0, 0.9, 1.1, 1.9, 2.2];
    const logged = rows((i) => {
      const spot = at(off_m[Math.max(0, i - 2)] ?? 0, 90);
      return i === 4 ? {} : { recoveryLatitude_deg: spot.latitude_deg, recoveryLongitude_deg: spot.longitude_deg };
    });
    // At row 4 it is not known; at row 5 it is 1.9 m off the first.
    expect(chosen(logged)).toMatchObject({ setRow: 2, moveRows: [5] });
    const north = rows((i) => ({ recoveryLatitude_deg: 47 + (i > 3 ? 0.00002 : 0), recoveryLongitude_deg: 8 }));
    expect(chosen(north).moveRows).toEqual([4]);
    const east = rows((i) => ({ recoveryLatitude_deg: 47, recoveryLongitude_deg: 8 + (i > 3 ? 0.00002 : 0) }));
    expect(chosen(east).moveRows).toEqual([4]);
    const later = rows((i) => ({
      recoveryLatitude_deg: i < 4 ? Number.NaN : 47,
      recoveryLongitude_deg: i < 3 ? Number.NaN : 8,
    }));
    expect(chosen(later)).toMatchObject({ setRow: 4, moveRows: [] });
    const creeping = rows((i) => {
      const spot = at(0.6 * i, 90);
      return { recoveryLatitude_deg: spot.latitude_deg, recoveryLongitude_deg: spot.longitude_deg };
    });
    // By 0.6 m a row: over a metre from where it was set at the second row after.
    expect(chosen(creeping).moveRows).toEqual([4]);
  });

  it("is else what is declared, each point from its time on", () => {
    const points = [
      { latitude_deg: 47, longitude_deg: 8, at_s: 0 },
      { latitude_deg: 46, longitude_deg: 7, at_s: 40 },
    ];
    expect(chosen(rows(), { points, place: "a.yaml:7" })).toEqual({
      basis: "declared",
      from: "a.yaml:7",
      latitude_deg: Float64Array.of(47, 47, 46, 46),
      longitude_deg: Float64Array.of(8, 8, 7, 7),
      setRow: 2,
      moveRows: [4],
    });
    const late = chosen(rows(), { points: [{ ...ORIGIN, at_s: 45 }] });
    expect(late).toMatchObject({ from: "declared", setRow: 5, moveRows: [] });
    expect([...late.latitude_deg]).toEqual([Number.NaN, Number.NaN, Number.NaN, 47]);
    expect(chosen(rows(), { points: [{ ...ORIGIN, at_s: 99 }] }).setRow).toBeUndefined();
    expect(chosen(rows(), { points: [] }).basis).toBe("inferred");
  });

  it.each([
    ["nothing is said of the fix", () => ({}), "take-off position"],
    ["the fix never was good", () => ({ satellites: 0 }), "take-off position, though the fix never was good"],
    [
      "the fix was good at take-off",
      (i: number) => ({ satellites: i < 2 ? 0 : 30 }),
      "take-off position, the fix being good by then",
    ],
  ])("is else take-off where %s", (_, more, from) => {
    expect(chosen(rows(more))).toEqual({
      basis: "inferred",
      from,
      latitude_deg: Float64Array.of(47, 47, 47, 47),
      longitude_deg: Float64Array.of(8, 8, 8, 8),
      setRow: 2,
      moveRows: [],
    });
  });

  it("is where the fix first was good in the air, and not known before", () => {
    expect(chosen(rows((i) => ({ satellites: i < 3 ? 0 : 30 })))).toEqual({
      basis: "inferred",
      from: "where the fix first was good, after take-off",
      latitude_deg: Float64Array.of(Number.NaN, 3, 3, 3),
      longitude_deg: Float64Array.of(Number.NaN, 23, 23, 23),
      setRow: 3,
      moveRows: [],
    });
  });

  it("is not guessed where the recording begins in the air", () => {
    const inAir = chosen(
      rows(() => ({ satellites: 30 })),
      { flight: { ...FLIGHT, takeoff: undefined } },
    );
    expect(inAir).toMatchObject({ basis: "inferred", from: "unknown: the recording begins in the air", moveRows: [] });
    expect(inAir.setRow).toBeUndefined();
    expect([...inAir.latitude_deg, ...inAir.longitude_deg].every((degrees) => Number.isNaN(degrees))).toBe(true);
  });
});
