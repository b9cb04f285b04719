import { describe, expect, it } from "vitest";
import { findFlights } from "../../src/track/flights.js";
import type { Track } from "../../src/track/track.js";
import { makeTrack, place, times } from "./make-track.js";

const LIMITS = { longestGap_s: 5, shortestFlight_s: 10 };
const find = (track: Track) => findFlights(track, LIMITS);
const between =
  (from_s: number, to_s: number) =>
  (t: number): number =>
    t >= from_s && t <= to_s ? 1 : 0;

describe("findFlights", () => {
  it("says where and from when to when a flight was", () => {
    const track = makeTrack(times(100, 0.5), {
      airborne: between(20, 80),
      east_m: (t) => t,
      altitude_m: (t) => 500 + t,
    });
    const { flights, problems } = find(track);
    expect(problems).toEqual([]);
    expect(flights).toHaveLength(1);
    expect(flights[0]).toMatchObject({
      index: 1,
      first: 40,
      last: 160,
      segments: [{ from: 40, to: 161 }],
      step_s: 0.5,
      takeoffAltitude_m: 520,
      beginsInAir: false,
      endsInAir: false,
      basis: "measured",
    });
    expect(flights[0]?.takeoff?.longitude_deg).toBeCloseTo(place(20).longitude_deg, 9);
  });

  it("numbers flights from 1, hops left out and said", () => {
    const airborne = (t: number): number => between(10, 30)(t) + between(50, 55)(t) + between(70, 95)(t);
    const { flights, problems } = find(makeTrack(times(100), { airborne }));
    expect(flights.map(({ index, first }) => [index, first])).toEqual([
      [1, 10],
      [2, 70],
    ]);
    expect(problems).toEqual([
      { severity: "note", code: "hop", message: "1 hop under 10 s not taken as a flight.", line: undefined },
    ]);
  });

  it.each([
    [9, 0],
    [10, 1],
  ])("a flight of %d s", (lasts_s, count) => {
    expect(find(makeTrack(times(60), { airborne: between(20, 20 + lasts_s) })).flights).toHaveLength(count);
  });

  it("notes a log without a flight, and one of hops alone with both", () => {
    expect(find(makeTrack(times(60))).problems.map(({ code, severity }) => [code, severity])).toEqual([
      ["no-flight", "note"],
    ]);
    expect(
      find(makeTrack(times(60), { airborne: (t) => between(5, 8)(t) + between(20, 25)(t) })).problems.map(
        ({ code }) => code,
      ),
    ).toEqual(["no-flight", "hop"]);
    expect(find(makeTrack([])).flights).toEqual([]);
  });

  it("cuts a flight's segments at gaps and breaks and at its own ends", () => {
    const at = [...times(40), ...[...times(40)].map((t) => t + 100)];
    const { flights } = find(makeTrack(at, { airborne: (t) => between(10, 130)(t) }, [20]));
    expect(flights[0]?.segments).toEqual([
      { from: 10, to: 20 },
      { from: 20, to: 41 },
      { from: 41, to: 72 },
    ]);
    expect(flights[0]).toMatchObject({ first: 10, last: 71 });
  });

  it("gives a second flight the segments of its own", () => {
    const airborne = (t: number): number => between(10, 30)(t) + between(50, 80)(t);
    const { flights } = find(makeTrack(times(100), { airborne }, [25]));
    expect(flights[0]?.segments).toEqual([
      { from: 10, to: 25 },
      { from: 25, to: 31 },
    ]);
    expect(flights[1]?.segments).toEqual([{ from: 50, to: 81 }]);
  });

  it("knows no take-off when the recording begins in the air", () => {
    const { flights } = find(makeTrack(times(60), { airborne: 1, height_m: 40, altitude_m: 500 }));
    expect(flights[0]).toMatchObject({ beginsInAir: true, takeoff: undefined, takeoffAltitude_m: undefined });
  });

  it("takes the take-off position from the first two seconds alone", () => {
    const from = (first_s: number) =>
      find(makeTrack(times(60), { airborne: between(10, 50), east_m: (t) => (t < first_s ? Number.NaN : t) }))
        .flights[0];
    expect(from(0)?.takeoff?.longitude_deg).toBeCloseTo(place(10).longitude_deg, 9);
    expect(from(12)?.takeoff?.longitude_deg).toBeCloseTo(place(12).longitude_deg, 9);
    expect(from(13)?.takeoff).toBeUndefined();
  });

  it("says ellipsoidal altitude where there is no other, and none where it is blank", () => {
    const flight = (columns: Parameters<typeof makeTrack>[1]) =>
      find(makeTrack(times(60), { airborne: between(10, 50), ...columns })).flights[0];
    expect(flight({ altitudeEllipsoidal_m: 550 })?.takeoffAltitude_m).toBe(550);
    expect(flight({ altitude_m: 500, altitudeEllipsoidal_m: 550 })?.takeoffAltitude_m).toBe(500);
    expect(flight({ altitude_m: Number.NaN })?.takeoffAltitude_m).toBeUndefined();
    expect(flight({})?.takeoffAltitude_m).toBeUndefined();
  });

  it("is inferred without a flag", () => {
    const track = makeTrack(times(100), { groundSpeed_ms: between(20, 60), east_m: 0 });
    const fast = {
      ...track,
      columns: {
        ...track.columns,
        groundSpeed_ms: (track.columns.groundSpeed_ms ?? new Float64Array(0)).map((v) => v * 8),
      },
    };
    expect(find(fast).flights[0]).toMatchObject({ basis: "inferred", first: 20, last: 60 });
  });
});
