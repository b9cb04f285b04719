import { findFlights } from "../../src/track/flights.js";
import { describe, expect, it } from "vitest";
import { airborneRuns, type Run } from "../../src/track/airborne.js";
import type { Channel } from "../../src/track/channels.js";
import { motionOf } from "../../src/track/motion.js";
import { segmentsOf } from "../../src/track/segments.js";
import type { Track } from "../../src/track/track.js";
import { makeTrack, through, times, type ColumnSpec } from "./make-track.js";
import { trackOf } from "../helpers/flights.js";

type Columns = Partial<Record<Channel | "east_m", ColumnSpec>>;

function runsOf(track: Track): Run[] {
  const segments = segmentsOf(track, 5);
  return airborneRuns(track, segments, motionOf(track, segments)).runs;
}

/** First and last row of each run. */
const spans = (track: Track): [number, number][] => runsOf(track).map(({ first, last }) => [first, last]);

const between =
  (from_s: number, to_s: number, value: number, else_: number = 0) =>
  (t: number): number =>
    t >= from_s && t <= to_s ? value : else_;

// Rows are a second apart, so that the means over a second are the rows themselves.
const track = (until_s: number, columns: Columns, breaks: number[] = []): Track =>
  makeTrack(times(until_s), columns, breaks);

/**
 * A flight told by its heights: the climb rate follows, the ground speed is given. A climb at 2 m/s from `t` on is over
 * 2 m, and so shows its second sign, at t + 2.
 */
function flown(until_s: number, corners: [number, number][], columns: Columns = {}): Track {
  const height = through(...corners);
  const climbRate_ms = (t: number): number => height(t + 0.5) - height(t - 0.5);
  return track(until_s, { height_m: (t) => height(t), climbRate_ms, groundSpeed_ms: 0, ...columns });
}

const UP_AND_DOWN: [number, number][] = [
  [20, 0],
  [40, 40],
  [100, 40],
  [140, 0],
];

describe("by the log's own flag", () => {
  it("is what the flag says, whatever moves", () => {
    const flagged = track(60, { airborne: between(10, 30, 1), groundSpeed_ms: 20, height_m: 0 });
    expect(runsOf(flagged)).toEqual([{ first: 10, last: 30, beginsInAir: false, endsInAir: false }]);
    const segments = segmentsOf(flagged, 5);
    expect(airborneRuns(flagged, segments, motionOf(flagged, segments)).basis).toBe("measured");
  });

  it("finds several flights, and none", () => {
    expect(spans(track(60, { airborne: (t) => (t % 20 >= 5 && t % 20 < 15 ? 1 : 0) }))).toEqual([
      [5, 14],
      [25, 34],
      [45, 54],
    ]);
    expect(spans(track(60, { airborne: 0, groundSpeed_ms: 20 }))).toEqual([]);
  });

  it("goes on where the flag is missing, and ends at its last yes", () => {
    const flag = (t: number): number =>
      t < 10 ? 0 : t <= 20 ? 1 : t <= 25 ? Number.NaN : t <= 30 ? 1 : t < 35 ? Number.NaN : 0;
    expect(spans(track(50, { airborne: flag }))).toEqual([[10, 30]]);
  });

  it.each([
    [0, false],
    [3, false],
    [3.1, true],
    [Number.NaN, true],
  ])("that is set at the first row, at a height of %d m: begins in the air is %s", (height_m, expected) => {
    expect(runsOf(track(30, { airborne: between(0, 20, 1), height_m }))[0]?.beginsInAir).toBe(expected);
  });

  it.each([
    [50, 0, true],
    [10.1, 0, true],
    [10, 0, false],
    [0, 2.1, true],
    [0, 2, false],
  ])("that is set at the last row, at %d m and %d m/s: ends in the air is %s", (height_m, groundSpeed_ms, expected) => {
    const run = runsOf(track(30, { airborne: between(10, 30, 1), height_m, groundSpeed_ms, climbRate_ms: 0 }))[0];
    expect(run).toMatchObject({ first: 10, last: 30, endsInAir: expected });
  });
});

describe("take-off by two of four signs, held for 2 s", () => {
  const still: Columns = { height_m: 0, climbRate_ms: 0, groundSpeed_ms: 0 };
  const current = (t: number): number => (t < 10 ? 0.3 : 12);
  const PAIRS: [string, Columns][] = [
    ["risen and climbing", { height_m: between(10, 40, 3), climbRate_ms: between(10, 40, 1) }],
    ["risen and moving", { height_m: between(10, 40, 3), groundSpeed_ms: between(10, 40, 3) }],
    ["climbing and moving", { climbRate_ms: between(10, 40, 1), groundSpeed_ms: between(10, 40, 3) }],
    ["sinking and moving", { climbRate_ms: between(10, 40, -1), groundSpeed_ms: between(10, 40, 3) }],
    ["risen and drawing current", { height_m: between(10, 40, 3), current_A: current }],
    ["climbing and drawing current", { climbRate_ms: between(10, 40, 1), current_A: current }],
    ["moving and drawing current", { groundSpeed_ms: between(10, 40, 3), current_A: current }],
  ];

  it.each(PAIRS)("%s", (_name, columns) => {
    expect(spans(track(40, { ...still, ...columns }))[0]?.[0]).toBe(10);
  });

  it.each([
    ["risen alone", { height_m: between(10, 40, 30) }],
    ["moving alone", { groundSpeed_ms: between(10, 40, 15) }],
    ["climbing alone", { climbRate_ms: between(10, 40, 3) }],
    ["drawing current alone", { current_A: current }],
  ] as [string, Columns][])("not %s", (_name, columns) => {
    expect(spans(track(40, { ...still, ...columns }))).toEqual([]);
  });

  it.each([
    ["height at 2 m", { height_m: between(10, 40, 2), groundSpeed_ms: between(10, 40, 3) }],
    ["climb at 0.5 m/s", { climbRate_ms: between(10, 40, 0.5), groundSpeed_ms: between(10, 40, 3) }],
    ["speed at 2 m/s", { climbRate_ms: between(10, 40, 1), groundSpeed_ms: between(10, 40, 2) }],
  ] as [string, Columns][])("not %s, which is the limit itself", (_name, columns) => {
    expect(spans(track(40, { ...still, ...columns }))).toEqual([]);
  });

  it.each([
    [1, []],
    [2, [[10, 13]]],
  ])("held for %d s", (held_s, expected) => {
    const both = { climbRate_ms: between(10, 10 + held_s, 1), groundSpeed_ms: between(10, 10 + held_s, 3) };
    expect(spans(track(40, { ...still, ...both }))).toEqual(expected);
  });

  it("starts over when the signs pause", () => {
    const on = (t: number): boolean => t === 10 || t === 11 || t >= 13;
    expect(
      spans(track(40, { height_m: 0, climbRate_ms: (t) => (on(t) ? 1 : 0), groundSpeed_ms: (t) => (on(t) ? 3 : 0) })),
    ).toEqual([[13, 40]]);
  });

  it("is inferred", () => {
    const plain = flown(60, UP_AND_DOWN);
    const segments = segmentsOf(plain, 5);
    expect(airborneRuns(plain, segments, motionOf(plain, segments)).basis).toBe("inferred");
  });

  it("is not held across a gap or a break", () => {
    const at = [0, 1, 2, 3, 4, 60, 61, 62, 63, 64, 65];
    const both: Columns = {
      height_m: 0,
      climbRate_ms: (t) => (t >= 4 && t <= 61 ? 1 : 0),
      groundSpeed_ms: (t) => (t >= 4 && t <= 61 ? 3 : 0),
    };
    expect(spans(makeTrack(at, both))).toEqual([]);
    const broken: Columns = { height_m: 0, climbRate_ms: between(10, 12, 1), groundSpeed_ms: between(10, 12, 3) };
    expect(spans(track(40, broken))).toHaveLength(1);
    expect(spans(track(40, broken, [12]))).toEqual([]);
  });

  it("measures the rise from the last rest, so that a drifting height is no rise", () => {
    // A barometer that wanders up 4 m in 300 s on the ground, with somebody carrying the aircraft about.
    const drifting = track(320, { height_m: (t) => t * 0.013, climbRate_ms: 0, groundSpeed_ms: between(300, 310, 3) });
    expect(spans(drifting)).toEqual([]);
  });

  it("takes the rest height of an altitude from the log itself", () => {
    const altitude = through([20, 512], [30, 540], [60, 540], [80, 512]);
    const high = track(100, { altitude_m: altitude, groundSpeed_ms: between(25, 65, 5) });
    expect(spans(high)).toHaveLength(1);
    expect(spans(high)[0]?.[0]).toBeLessThanOrEqual(23);
    expect(runsOf(high)[0]).toMatchObject({ beginsInAir: false, endsInAir: false });
  });
});

describe("landing by 5 s of no sign", () => {
  const signs = (until_s: number): Columns => ({
    height_m: 0,
    climbRate_ms: between(10, until_s, 1),
    groundSpeed_ms: between(10, until_s, 3),
  });

  it("ends at the first row without a sign", () => {
    expect(runsOf(track(60, signs(30)))).toEqual([{ first: 10, last: 31, beginsInAir: false, endsInAir: false }]);
  });

  it("needs the 5 s", () => {
    const pause = (quiet_s: number): Track =>
      track(80, {
        height_m: 0,
        climbRate_ms: 0,
        groundSpeed_ms: (t) => (t >= 10 && (t <= 30 || t > 30 + quiet_s) && t <= 60 ? 3 : 0),
        current_A: 0,
      });
    const climbing = (quiet_s: number): Track => {
      const base = pause(quiet_s);
      return {
        ...base,
        columns: { ...base.columns, climbRate_ms: base.columns.groundSpeed_ms ?? new Float64Array(0) },
      };
    };
    expect(spans(climbing(5))).toEqual([[10, 61]]); // rows 31 to 35 are quiet: 4 s from the first to the last
    expect(spans(climbing(6))).toEqual([
      [10, 31],
      [37, 61],
    ]);
  });

  it("one sign keeps it up", () => {
    const moving = track(80, { height_m: 0, climbRate_ms: between(10, 20, 1), groundSpeed_ms: between(10, 60, 3) });
    expect(spans(moving)).toEqual([[10, 61]]);
  });

  it("a hover at height is flight, however still", () => {
    expect(spans(flown(200, UP_AND_DOWN))).toEqual([[22, 140]]);
  });

  it("a slow descent out of a hover is flight to its end, not to its beginning", () => {
    // 0.4 m/s is under the limit of climbing: only the height tells.
    const slow = flown(200, [
      [20, 0],
      [30, 20],
      [60, 20],
      [110, 0],
    ]);
    const last = spans(slow)[0]?.[1] ?? 0;
    expect(last).toBeGreaterThanOrEqual(104);
    expect(last).toBeLessThanOrEqual(111);
  });
});

describe("a height that is left over after landing", () => {
  const landsAt = (height_m: number): [number, number][] => [
    [20, 0],
    [40, 40],
    [60, 40],
    [80, height_m],
  ];

  it.each([3, -4, 8, 10])("of %d m at the log's end is a landing", (height_m) => {
    expect(runsOf(flown(120, landsAt(height_m)))).toEqual([
      { first: 22, last: 81, beginsInAir: false, endsInAir: false },
    ]);
  });

  it("of 11 m is a hover: the record ends in the air", () => {
    expect(runsOf(flown(120, landsAt(11)))).toEqual([{ first: 22, last: 120, beginsInAir: false, endsInAir: true }]);
  });

  it("that still moves is not taken for a landing", () => {
    const rocking = flown(120, landsAt(5), {
      height_m: (t) => through(...landsAt(5))(t) + (t > 81 ? 1.2 * Math.sin(t / 6) : 0),
      climbRate_ms: (t) => (t >= 20 && t <= 80 ? 2 : 0),
    });
    expect(spans(rocking)).toEqual([[22, 120]]);
  });

  it("may miss a reading", () => {
    const height = through(...landsAt(3));
    const blank = flown(120, landsAt(3), { height_m: (t) => (t === 100 ? Number.NaN : height(t)) });
    expect(spans(blank)).toEqual([[22, 81]]);
  });

  it("ends the flight at once where the current says that the motors rest", () => {
    const landed = flown(300, [...landsAt(3), [299, 3]], { current_A: (t) => (t >= 20 && t <= 80 ? 14 : 0.2) });
    expect(spans(landed)).toEqual([[20, 81]]);
  });

  it("ends the flight where a fresh battery says that it was changed", () => {
    const height = through(...landsAt(4), [200, 4], [220, 44], [240, 44], [260, 4]);
    const two = flown(300, [], {
      height_m: (t) => height(t),
      climbRate_ms: (t) => height(t + 0.5) - height(t - 0.5),
      battery_pct: (t) => (t < 150 ? 90 - t / 4 : 98 - (t - 150) / 10),
    });
    const found = runsOf(two);
    expect(found.map(({ first, last }) => [first, last])).toEqual([
      [22, 81],
      [202, 261],
    ]);
    expect(found[1]).toMatchObject({ beginsInAir: false });
  });

  it.each([4.9, 5])("takes a rise of %d % as a changed battery from 5 % on", (rise) => {
    const battery_pct = (t: number): number => (t < 150 ? 60 : 60 + rise);
    const height = through(...landsAt(4), [200, 4], [220, 44], [240, 44], [260, 4]);
    const climbRate_ms = (t: number): number => height(t + 0.5) - height(t - 0.5);
    const found = spans(flown(300, [], { height_m: (t) => height(t), climbRate_ms, battery_pct }));
    expect(found).toHaveLength(rise < 5 ? 1 : 2);
  });

  it("does not take a rise in full flight for a changed battery", () => {
    const battery_pct = (t: number): number => (t < 50 ? 60 : 80);
    expect(spans(flown(200, UP_AND_DOWN, { battery_pct, groundSpeed_ms: between(20, 140, 5) }))).toEqual([[20, 141]]);
  });

  it("ends the flight at a gap over which the battery was changed", () => {
    const at = [...times(40), ...[...times(60)].map((t) => t + 400)];
    const columns: Columns = {
      height_m: (t) => (t < 20 ? 0 : t < 400 ? 2 * (t - 20) : 3),
      climbRate_ms: (t) => (t >= 20 && t < 400 ? 2 : 0),
      groundSpeed_ms: (t) => (t >= 20 && t < 400 ? 5 : 0),
      battery_pct: (t) => (t < 400 ? 80 - t / 10 : 99),
    };
    expect(runsOf(makeTrack(at, columns))).toEqual([{ first: 20, last: 40, beginsInAir: false, endsInAir: true }]);
  });
});

describe("a recording that begins or ends in the air", () => {
  it("begins in the air at a height over 3 m", () => {
    const begun = (height_m: number): Track =>
      track(60, { height_m: between(0, 30, height_m), climbRate_ms: 0, groundSpeed_ms: between(0, 30, 6) });
    expect(runsOf(begun(30))[0]).toMatchObject({ first: 0, beginsInAir: true });
    expect(runsOf(begun(3.1))[0]).toMatchObject({ first: 0, beginsInAir: true });
    expect(runsOf(begun(3))[0]).toMatchObject({ first: 0, beginsInAir: false });
  });

  it("begins in the air in a hover, too", () => {
    for (const hovers_s of [1, 4, 20, 90]) {
      const begun = track(200, { height_m: 50, climbRate_ms: 0, groundSpeed_ms: between(hovers_s, 150, 6) });
      expect(runsOf(begun)[0]?.beginsInAir, `hovering ${hovers_s} s`).toBe(true);
    }
  });

  it("without a height begins in the air when it moves at the first row", () => {
    const moving = track(60, { groundSpeed_ms: between(0, 30, 6) });
    expect(runsOf(moving)[0]).toMatchObject({ first: 0, beginsInAir: true });
    const later = track(60, { groundSpeed_ms: between(1, 30, 6) });
    expect(runsOf(later)[0]).toMatchObject({ first: 1, beginsInAir: false });
  });

  it("takes a height left from the last flight for a rest, not for the air", () => {
    const resting = flown(100, [
      [0, 4],
      [20, 4],
      [40, 44],
      [60, 44],
      [80, 4],
    ]);
    expect(runsOf(resting)[0]).toMatchObject({ first: 22, beginsInAir: false });
  });

  it("ends in the air", () => {
    const cut = flown(90, UP_AND_DOWN, { groundSpeed_ms: between(30, 90, 8) });
    expect(runsOf(cut)).toEqual([{ first: 22, last: 90, beginsInAir: false, endsInAir: true }]);
  });

  it.each([
    ["moving low", 2, 3, 0, true],
    ["moving at walking pace", 2, 2, 0, false],
    ["sinking at 1.6 m/s at the ground", 2, 0, -1.6, true],
    ["sinking at 1 m/s at the ground: touching down", 2, 0, -1, false],
    ["sinking at 0.6 m/s over 3 m", 4, 0, -0.6, true],
  ])("ends %s", (_name, height_m, groundSpeed_ms, climbRate_ms, endsInAir) => {
    const last =
      <T>(value: T, otherwise: T) =>
      (t: number): T =>
        t === 60 ? value : otherwise;
    const cut = track(60, {
      height_m: (t) => (t < 20 ? 0 : last(height_m, 20)(t)),
      groundSpeed_ms: (t) => (t < 20 ? 0 : last(groundSpeed_ms, 5)(t)),
      climbRate_ms: (t) => (t < 20 ? 0 : last(climbRate_ms, 1)(t)),
    });
    expect(runsOf(cut)[0]).toMatchObject({ first: 20, last: 60, endsInAir });
  });
});

describe("current as a sign", () => {
  it("takes a slightly negative current at rest for rest", () => {
    const current_A = (t: number): number => (t >= 20 && t <= 100 ? 13 : -0.15);
    const hover = flown(160, [], { height_m: between(22, 98, 3), climbRate_ms: 0, current_A });
    expect(spans(hover)).toEqual([[22, 101]]);
  });

  it("goes by its size, since some logs count a discharge as negative", () => {
    const current_A = (t: number): number => (t >= 20 && t <= 100 ? -8 : -1);
    const hover = flown(160, [], { height_m: between(22, 98, 3), climbRate_ms: 0, current_A });
    expect(spans(hover)).toEqual([[22, 101]]);
  });

  it("compares with three times the rest", () => {
    const flownAt = (air_A: number): Track =>
      track(100, {
        height_m: between(20, 99, 5),
        climbRate_ms: 0,
        groundSpeed_ms: 0,
        current_A: (t) => (t < 20 || t > 90 ? 1 : t < 30 ? 8 : air_A),
      });
    expect(spans(flownAt(3.1))[0]?.[1]).toBe(91);
    expect(spans(flownAt(3))[0]?.[1]).toBe(30);
  });

  it("tells nothing in a log that never rests", () => {
    // Wholly in the air: the lowest reading is no rest, and a steady hover must not look like one.
    const aloft = track(100, {
      height_m: 40,
      climbRate_ms: 0,
      groundSpeed_ms: between(0, 10, 5),
      current_A: (t) => 14 + (t % 3),
    });
    expect(runsOf(aloft)).toEqual([{ first: 0, last: 100, beginsInAir: true, endsInAir: true }]);
  });

  it("that goes missing in flight is no landing", () => {
    const current_A = (t: number): number => (t < 20 ? 0.2 : t < 60 ? 14 : t < 100 ? Number.NaN : t <= 140 ? 14 : 0.2);
    expect(spans(flown(200, UP_AND_DOWN, { current_A }))).toEqual([[20, 141]]);
  });
});

describe("with positions alone", () => {
  const moved = (...legs: [number, number][]): Track =>
    track(300, { groundSpeed_ms: (t) => (legs.some(([a, b]) => t >= a && t <= b) ? 4 : 0) });

  it.each([
    [4, []],
    [5, [[10, 15]]],
  ])("needs 5 s of moving: %d s", (moving_s, expected) => {
    expect(spans(moved([10, 10 + moving_s]))).toEqual(expected);
  });

  it("ends at the last row that moves, and never in the air when it stands at the log's end", () => {
    expect(runsOf(moved([10, 100]))).toEqual([{ first: 10, last: 100, beginsInAir: false, endsInAir: false }]);
  });

  it("takes a stop of under 60 s for a hover", () => {
    expect(spans(moved([10, 100], [159, 200]))).toEqual([[10, 200]]);
    expect(spans(moved([10, 100], [161, 200]))).toEqual([
      [10, 100],
      [161, 200],
    ]);
  });

  it("ends in the air when it moves at the last row", () => {
    expect(runsOf(moved([200, 300]))).toEqual([{ first: 200, last: 300, beginsInAir: false, endsInAir: true }]);
  });

  it("takes 2 m/s itself for standing", () => {
    expect(spans(track(100, { groundSpeed_ms: 2 }))).toEqual([]);
    expect(spans(track(100, { groundSpeed_ms: 2.01 }))).toHaveLength(1);
  });

  it("goes by the speed between positions where none is logged", () => {
    const found = spans(track(100, { east_m: through([20, 0], [60, 200]) }))[0] ?? [];
    expect(Math.abs((found[0] ?? 0) - 20)).toBeLessThanOrEqual(1);
    expect(Math.abs((found[1] ?? 0) - 60)).toBeLessThanOrEqual(1);
  });

  it("does not count the 5 s across a gap", () => {
    const at = [0, 1, 2, 3, 4, 5, 60, 61, 62, 63, 64, 65, 66];
    expect(spans(makeTrack(at, { groundSpeed_ms: (t) => (t >= 4 && t <= 61 ? 4 : 0) }))).toEqual([]);
  });
});

it("finds several flights by signs, each from its own rest", () => {
  const twice = flown(400, [
    [20, 0],
    [40, 30],
    [60, 30],
    [80, 1.5],
    [200, 1.5],
    [220, 30],
    [240, 30],
    [260, 0],
  ]);
  expect(spans(twice)).toEqual([
    [22, 81],
    [202, 261],
  ]);
});

it("finds nothing in a log that rests, and in an empty one", () => {
  expect(spans(track(100, { height_m: 0, climbRate_ms: 0, groundSpeed_ms: 0.3, current_A: 0.4 }))).toEqual([]);
  expect(spans(makeTrack([]))).toEqual([]);
  expect(spans(makeTrack([0], { height_m: 30 }))).toEqual([]);
});

describe("a hover that draws little", () => {
  it("goes on at a current of over one and a half times rest, for the height says so", () => {
    const rows = Array.from({ length: 200 }, (_, time_s) => {
      const isOff = time_s < 30 || time_s >= 180;
      const isHover = time_s >= 80 && time_s < 140;
      return {
        time_s,
        latitude_deg: 47 + (isOff ? 0 : Math.min(time_s - 30, 50)) * 5e-5,
        longitude_deg: 8,
        height_m: isOff ? 0 : 45,
        groundSpeed_ms: isOff || isHover ? 0 : 6,
        current_A: isOff ? 1.2 : isHover ? 2.9 : 8,
      };
    });
    const { flights } = findFlights(trackOf(rows), { longestGap_s: 5, shortestFlight_s: 10 });
    expect(flights).toHaveLength(1);
    expect(flights[0]?.last).toBeGreaterThan(170);
  });
});
