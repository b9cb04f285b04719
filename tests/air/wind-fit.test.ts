import { describe, expect, it } from "vitest";
import { fitWind, type FittedWind } from "../../src/air/wind-fit.js";
import type { Motion } from "../../src/track/motion.js";
import { type ColumnSpec, makeFlight, makeTrack, times } from "../track/make-track.js";

const DEG = Math.PI / 180;
const FIRST = 3;

/** A flight over `seconds`, row by row; what is not given is 10 m/s by turns north and east in a wind from the north-east. */
interface Flown {
  readonly seconds?: number;
  readonly air_ms?: (k: number) => number;
  readonly heading_deg?: (k: number) => number;
  readonly scale?: number;
  /** Where the air itself goes. */
  readonly wind?: readonly [north: number, east: number];
  /** Beside one wind for all of the flight. */
  readonly rest?: (k: number) => readonly [north: number, east: number];
  readonly ground_ms?: (k: number) => number;
  readonly height_m?: ((k: number) => number) | undefined;
  readonly isAboveTakeoff?: boolean;
  readonly takeoffAltitude_m?: number;
  readonly breaks?: readonly number[];
}

const crossing = (k: number): number => (k % 2 === 0 ? 0 : 90);

function fit(given: Flown = {}): FittedWind | undefined {
  const { seconds = 119, air_ms = () => 10, heading_deg = crossing, scale = 1, wind = [-3, -4], rest } = given;
  const { ground_ms = () => 12, height_m = () => 40, isAboveTakeoff = true, takeoffAltitude_m, breaks } = given;
  const within =
    (of: (k: number) => number): ColumnSpec =>
    (_t, row) =>
      row < FIRST ? 99 : of(row - FIRST);
  const at = times(FIRST + seconds).map((t) => t - FIRST);
  const track = makeTrack(at, { airSpeed_ms: within(air_ms), heading_deg: within(heading_deg) }, breaks);
  const flight = makeFlight(track, { first: FIRST, takeoffAltitude_m });
  const of = (values: (k: number) => number): Float64Array =>
    Float64Array.from({ length: track.length }, (_, row) => values(row - FIRST));
  const through = (k: number): readonly [number, number] => {
    const [north, east] = rest?.(k) ?? [0, 0];
    const nose = heading_deg(k) * DEG;
    return [scale * air_ms(k) * Math.cos(nose) + wind[0] + north, scale * air_ms(k) * Math.sin(nose) + wind[1] + east];
  };
  const motion = {
    groundSpeed_ms: of(ground_ms),
    anyHeight_m: given.height_m === undefined && "height_m" in given ? undefined : of(height_m),
    heightIsAboveTakeoff: isAboveTakeoff,
  } as unknown as Motion;
  const velocity = {
    north_ms: of((k) => through(k)[0]).subarray(FIRST),
    east_ms: of((k) => through(k)[1]).subarray(FIRST),
  };
  return fitWind(track, flight, motion, () => velocity);
}

describe("the wind of a flight", () => {
  it("is exact where one wind is all there is, whatever the scale of the air speed", () => {
    for (const scale of [1, 0.9, 1.2]) {
      const found = fit({ scale });
      expect(found?.speed_ms).toBeCloseTo(5, 9);
      expect(found?.from_deg).toBeCloseTo(53.130102354, 6);
      expect(found?.deviation_ms).toBeCloseTo(0, 9);
      expect(found?.height_m).toBe(40);
    }
    expect(fit({ wind: [0, 6] })?.from_deg).toBeCloseTo(270, 9);
    expect(fit({ wind: [6, 0] })?.from_deg).toBeCloseTo(180, 9);
  });

  it("needs the columns, with a value in the flight, and asks for no velocity without them", () => {
    const track = makeTrack(times(100), { airSpeed_ms: 10 });
    const other = makeTrack(times(100), { heading_deg: 10 });
    const never = (): never => {
      throw new Error("asked");
    };
    const motion = {} as unknown as Motion;
    expect(fitWind(track, makeFlight(track), motion, never)).toBeUndefined();
    expect(fitWind(other, makeFlight(other), motion, never)).toBeUndefined();
  });

  it("takes no row where something is not known or the aircraft does not fly forward", () => {
    const wild = (k: number) => (k % 10 < 4 ? ([30, -20] as const) : ([0, 0] as const));
    const spoiled = (given: Flown) => fit({ seconds: 239, rest: wild, ...given })?.speed_ms;
    expect(spoiled({ air_ms: (k) => (k % 10 < 4 ? Number.NaN : 10) })).toBeCloseTo(5, 9);
    expect(spoiled({ air_ms: (k) => (k % 10 < 4 ? 2.99 : 10) })).toBeCloseTo(5, 9);
    expect(spoiled({ heading_deg: (k) => (k % 10 < 4 ? Number.NaN : crossing(k)) })).toBeCloseTo(5, 9);
    expect(spoiled({ rest: (k) => (k % 10 < 4 ? [Number.NaN, 0] : [0, 0]) })).toBeCloseTo(5, 9);
    expect(spoiled({ ground_ms: (k) => (k % 10 < 4 ? 2.99 : 12) })).toBeCloseTo(5, 9);
    expect(spoiled({ ground_ms: (k) => (k % 10 < 4 ? Number.NaN : 12) })).toBeCloseTo(5, 9);
    expect(spoiled({})).toBeUndefined();
  });

  it("takes 3 m/s for forward flight", () => {
    expect(fit({ air_ms: () => 3 })?.speed_ms).toBeCloseTo(5, 9);
    expect(fit({ ground_ms: () => 3 })?.speed_ms).toBeCloseTo(5, 9);
    expect(fit({ air_ms: () => 2.99 })).toBeUndefined();
    expect(fit({ ground_ms: () => 2.99 })).toBeUndefined();
  });
});

describe("refuses a flight", () => {
  it("of less than a minute forward; a row before a break stands for no time", () => {
    expect(fit({ seconds: 60 })?.speed_ms).toBeCloseTo(5, 9);
    expect(fit({ seconds: 59 })).toBeUndefined();
    expect(fit({ seconds: 60, breaks: [FIRST + 30] })).toBeUndefined();
    expect(fit({ seconds: 61, breaks: [FIRST + 30] })?.speed_ms).toBeCloseTo(5, 9);
  });

  it("that turned too little: two legs at an angle spread by the squared sine of its half, and 0.3 is asked for", () => {
    const legs = (angle_deg: number) => fit({ heading_deg: (k) => (k % 2 === 0 ? 20 : 20 + angle_deg) });
    expect(legs(66.6)?.speed_ms).toBeCloseTo(5, 9);
    expect(legs(66.2)).toBeUndefined();
    expect(legs(180)?.speed_ms).toBeCloseTo(5, 9);
    expect(legs(0)).toBeUndefined();
  });

  it("whose air speed is off by more than a quarter, either way", () => {
    expect(fit({ scale: 1.249 })?.speed_ms).toBeCloseTo(5, 9);
    expect(fit({ scale: 1.251 })).toBeUndefined();
    expect(fit({ scale: 0.801 })?.speed_ms).toBeCloseTo(5, 9);
    expect(fit({ scale: 0.799 })).toBeUndefined();
    expect(fit({ scale: -1 })).toBeUndefined();
  });

  it("whose air speed is a copy of the ground speed, to 0.05 m/s", () => {
    expect(fit({ ground_ms: () => 10.049 })).toBeUndefined();
    expect(fit({ ground_ms: () => 9.951 })).toBeUndefined();
    expect(fit({ ground_ms: () => 10.051 })?.speed_ms).toBeCloseTo(5, 9);
    expect(fit({ ground_ms: (k) => (k % 2 === 0 ? 9.9 : 10.1) })?.speed_ms).toBeCloseTo(5, 9);
  });

  it("that one wind leaves more of than 1.5 m/s, or than a fifth of a faster air speed", () => {
    // Cancels on both headings, and so is all left over.
    const swing = (rest_ms: number, air: number) =>
      fit({ air_ms: () => air, rest: (k) => [k % 4 < 2 ? rest_ms : -rest_ms, 0] });
    expect(swing(1.49, 5)?.speed_ms).toBeCloseTo(5, 9);
    expect(swing(1.51, 5)).toBeUndefined();
    expect(swing(1.99, 10)?.speed_ms).toBeCloseTo(5, 9);
    expect(swing(2.01, 10)).toBeUndefined();
    const across = (rest_ms: number) =>
      fit({ air_ms: () => 5, rest: (k) => [k % 4 < 2 ? rest_ms : -rest_ms, k % 4 < 2 ? rest_ms : -rest_ms] });
    // Both axes together: √2 of each.
    expect(across(1.06)?.speed_ms).toBeCloseTo(5, 9);
    expect(across(1.07)).toBeUndefined();
  });
});

describe("from minute to minute", () => {
  it("is the deviation of the means of single minutes, for one axis", () => {
    const swing = (north: number, east: number) =>
      fit({ rest: (k) => (k < 60 ? [north, east] : [-north, -east]) })?.deviation_ms;
    expect(swing(1, 0)).toBeCloseTo(Math.SQRT1_2, 9);
    expect(swing(0, 1)).toBeCloseTo(Math.SQRT1_2, 9);
    expect(swing(1, 1)).toBeCloseTo(1, 9);
    expect(fit({ rest: (k) => [k % 4 < 2 ? 1 : -1, 0] })?.deviation_ms).toBeCloseTo(0, 9);
  });

  it("weights a minute by its rows: (60 · ½² + 30 · 1²) ÷ 90 is ½, and ½ of that for one axis", () => {
    expect(fit({ seconds: 89, rest: (k) => (k < 60 ? [-0.5, 0] : [1, 0]) })?.deviation_ms).toBeCloseTo(0.5, 9);
  });
});

describe("the height that it holds at", () => {
  it("is the median of the rows taken, above take-off", () => {
    const half = (k: number): number => (k % 10 < 4 ? 2 : 10);
    expect(fit({ seconds: 239, air_ms: half, height_m: (k) => (k % 10 < 4 ? 500 : 30) })?.height_m).toBe(30);
    expect(fit({ isAboveTakeoff: false, height_m: () => 440, takeoffAltitude_m: 400 })?.height_m).toBe(40);
    expect(fit({ isAboveTakeoff: true, height_m: () => 440, takeoffAltitude_m: 400 })?.height_m).toBe(440);
  });

  it("is not known without a height, or without an altitude of the take-off", () => {
    expect(fit({ height_m: undefined })?.height_m).toBeNaN();
    expect(fit({ isAboveTakeoff: false, height_m: () => 440 })?.height_m).toBeNaN();
  });
});
