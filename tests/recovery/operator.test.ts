import { describe, expect, it } from "vitest";
import type { Config, Declared } from "../../src/config/declared.js";
import { chooseOperator, type OperatorWay } from "../../src/recovery/operator.js";
import type { Flight } from "../../src/track/flights.js";
import type { Track } from "../../src/track/track.js";
import { settingOf } from "../helpers/declared.js";
import { flightOfRows, ORIGIN, type Row, trackOf } from "../helpers/flights.js";

const FLIGHT = flightOfRows(1, 3);
const SPOT = { latitude_deg: 46.5, longitude_deg: 7.5 };

/** Five rows, a second apart from a time on; the flight is the middle three. */
function log(
  more: (i: number) => Partial<Row> = () => ({}),
  first_s = 0,
  startUtc_s: number | undefined = 1000,
): Track {
  const rows = Array.from({ length: 5 }, (_, i) => ({ time_s: first_s + i, ...ORIGIN, ...more(i) }));
  return trackOf(rows, startUtc_s === undefined ? {} : { startUtc_s });
}

function configOf(operator: Declared["operator"], places: readonly (readonly [string, string])[] = []): Config {
  return { ...settingOf({ operator }).config, places: new Map(places) };
}

const chosen = (
  operator: Declared["operator"],
  track: Track,
  way?: Track,
  given: { readonly flight?: Flight; readonly longestGap_s?: number } = {},
): OperatorWay | undefined =>
  chooseOperator(configOf(operator), track, given.flight ?? FLIGHT, way, given.longestGap_s ?? 5);

describe("where the operator was", () => {
  const logged = (i: number): Partial<Row> => ({ operatorLatitude_deg: 40 + i, operatorLongitude_deg: 5 + i });

  it("is what the log says at the flight's rows, before anything declared", () => {
    expect(chosen({ kind: "position", ...SPOT }, log(logged))).toEqual({
      basis: "measured",
      from: "columns of the log",
      latitude_deg: Float64Array.of(41, 42, 43),
      longitude_deg: Float64Array.of(6, 7, 8),
    });
  });

  it("takes both of a position to be logged", () => {
    expect(
      chosen(
        undefined,
        log((i) => ({ operatorLatitude_deg: 40 + i })),
      ),
    ).toBeUndefined();
    expect(
      chosen(
        undefined,
        log((i) => ({ operatorLongitude_deg: 5 + i })),
      ),
    ).toBeUndefined();
  });

  it("is else the declared position, or take-off, at every row", () => {
    expect(chosen({ kind: "position", ...SPOT }, log())).toEqual({
      basis: "declared",
      from: "declared",
      latitude_deg: Float64Array.of(46.5, 46.5, 46.5),
      longitude_deg: Float64Array.of(7.5, 7.5, 7.5),
    });
    expect(chosen({ kind: "at-takeoff" }, log())).toMatchObject({
      latitude_deg: Float64Array.of(47, 47, 47),
      longitude_deg: Float64Array.of(8, 8, 8),
    });
  });

  it("is not known where nothing says, nor at a take-off that was not seen", () => {
    expect(chosen(undefined, log())).toBeUndefined();
    expect(
      chosen({ kind: "at-takeoff" }, log(), undefined, { flight: { ...FLIGHT, takeoff: undefined } }),
    ).toBeUndefined();
  });

  it.each([
    [[["operator", "a.yaml:3"]], "a.yaml:3"],
    [[["operator.track", "a.yaml:4"]], "a.yaml:4"],
    [
      [
        ["operator", "a.yaml:3"],
        ["operator.track", "a.yaml:4"],
      ],
      "a.yaml:3",
    ],
    [[], "declared"],
  ] as const)("is said to be from its place in the file", (places, from) => {
    const config = configOf({ kind: "position", ...SPOT }, places);
    expect(chooseOperator(config, log(), FLIGHT, undefined, 5)?.from).toBe(from);
  });
});

describe("an operator's own recording", () => {
  const RECORDED = { kind: "track" } as Declared["operator"];

  /** A walk north by a degree a second and east by two, recorded at given times. */
  function walk(times_s: readonly number[], startUtc_s: number | undefined = 1000, breaks: number[] = []): Track {
    const rows = times_s.map((time_s) => ({ time_s, latitude_deg: time_s, longitude_deg: 2 * time_s }));
    return trackOf(rows, { breaks, ...(startUtc_s === undefined ? {} : { startUtc_s }) });
  }

  function along(way: Track | undefined, track: Track = log(), longestGap_s = 5): (number | undefined)[] {
    const found = chosen(RECORDED, track, way, { longestGap_s });
    expect(found?.basis).toBe("declared");
    const east = [...(found?.longitude_deg ?? [])];
    // Both coordinates by the same times.
    expect(east).toEqual([...(found?.latitude_deg ?? [])].map((latitude) => 2 * latitude));
    return [...(found?.latitude_deg ?? [])];
  }

  const NONE = [Number.NaN, Number.NaN, Number.NaN];

  it("is read on straight lines between its points", () => {
    expect(along(walk([0, 4]))).toEqual([1, 2, 3]);
    expect(along(walk([0, 2, 10]))).toEqual([1, 2, 3]);
    expect(along(walk([0, 1, 2, 3, 4]))).toEqual([1, 2, 3]);
  });

  it("is read by UTC, whichever began first", () => {
    expect(along(walk([0, 20], 995))).toEqual([6, 7, 8]);
    expect(along(walk([-20, 20], 1010))).toEqual([-9, -8, -7]);
    expect(
      along(
        walk([0, 40]),
        log(() => ({}), 10),
      ),
    ).toEqual([11, 12, 13]);
  });

  it("is not known before its first point, nor after its last; at both it is", () => {
    expect(along(walk([2, 9]))).toEqual([Number.NaN, 2, 3]);
    expect(along(walk([-5, 2]))).toEqual([1, 2, Number.NaN]);
    expect(along(walk([-5, -1]))).toEqual(NONE);
    expect(along(walk([2]))).toEqual([Number.NaN, 2, Number.NaN]);
  });

  it("is not known across a gap of over a minute, or of more than the longest gap where that is more", () => {
    expect(along(walk([-29, 31]))[1]).toBeCloseTo(2, 9);
    expect(along(walk([-30, 30.5]))).toEqual(NONE);
    expect(along(walk([-30, 70]), log(), 100)[1]).toBeCloseTo(2, 9);
    expect(along(walk([-30, 70.5]), log(), 100)).toEqual(NONE);
    // At a point of its own it is known on either side.
    expect(along(walk([-70, 2, 80]))).toEqual([Number.NaN, 2, Number.NaN]);
  });

  it("is not known across a break, but at the points on both its sides", () => {
    expect(along(walk([1, 3], 1000, [1]))).toEqual([1, Number.NaN, 3]);
    expect(along(walk([0, 1, 3, 4], 1000, [1]))).toEqual([1, 2, 3]);
  });

  it("is not known without a recording, nor without the hour of either", () => {
    expect(along(undefined)).toEqual(NONE);
    expect(along({ ...walk([0, 4]), startUtc_s: undefined })).toEqual(NONE);
    expect(along(walk([0, 4]), { ...log(), startUtc_s: undefined })).toEqual(NONE);
  });
});
