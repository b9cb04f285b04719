import { describe, expect, it } from "vitest";
import { ownFlowReason } from "../../src/air/own-flow.js";
import type { Motion } from "../../src/track/motion.js";
import { type ColumnSpec, makeTrack, times } from "../track/make-track.js";

/** A reading against the aircraft's own velocity, row by row; rows before the flight hold what would spoil it. */
interface Read {
  readonly rows?: number;
  readonly speed_ms: (k: number) => number;
  readonly from_deg?: (k: number) => number;
  readonly heading_deg?: (k: number) => number;
  readonly airSpeed_ms?: (k: number) => number;
  readonly ground_ms?: (k: number) => number;
  readonly own?: (k: number) => readonly [north: number, east: number];
}

const FIRST = 7;

function reasonOf({ rows = 32, speed_ms, from_deg = () => 0, heading_deg, airSpeed_ms, ...more }: Read) {
  const within =
    (of: (k: number) => number): ColumnSpec =>
    (_t, row) =>
      row < FIRST ? 77 * row : of(row - FIRST);
  const track = makeTrack(times(FIRST + rows + 4), {
    windSpeed_ms: within(speed_ms),
    windFrom_deg: within(from_deg),
    ...(heading_deg === undefined ? {} : { heading_deg: within(heading_deg) }),
    ...(airSpeed_ms === undefined ? {} : { airSpeed_ms: within(airSpeed_ms) }),
  });
  const { ground_ms = () => 5, own = () => [Number.NaN, Number.NaN] as const } = more;
  const groundSpeed_ms = Float64Array.from({ length: track.length }, (_, row) => ground_ms(row - FIRST));
  const velocity = {
    north_ms: Float64Array.from({ length: rows }, (_, k) => own(k)[0]),
    east_ms: Float64Array.from({ length: rows }, (_, k) => own(k)[1]),
  };
  const motion = { groundSpeed_ms } as unknown as Motion;
  return ownFlowReason(track, { first: FIRST, last: FIRST + rows - 1 }, motion, velocity);
}

/** By turns the one and the other. */
const turns =
  (a: number, b: number) =>
  (k: number): number =>
    k % 2 === 0 ? a : b;
const taken = (left: number): string =>
  `the reading turns and grows with the aircraft's own velocity (taking that out leaves ${left} % of its variation)`;
const follows = (name: string, r: string): string =>
  `the reading follows the ${name} speed (correlation ${r}) and is near zero at a hover`;

describe("as vectors", () => {
  const north = (k: number) => [turns(3, 8)(k), 0] as const;
  const east = (k: number) => [0, turns(3, 8)(k)] as const;

  it("refuses a reading that the own velocity takes out, along either axis", () => {
    expect(reasonOf({ speed_ms: turns(3, 8), own: north })).toBe(taken(0));
    expect(reasonOf({ speed_ms: turns(3, 8), from_deg: () => 90, own: east })).toBe(taken(0));
    expect(reasonOf({ speed_ms: turns(3, 8), from_deg: () => 180, own: north })).toBeUndefined();
    expect(reasonOf({ speed_ms: turns(3, 8), from_deg: () => 90, own: north })).toBeUndefined();
  });

  it("lets half of the variation stand: for a share a of the flow, ((1 − a)/a)² is left", () => {
    const scaled = (a: number) => reasonOf({ speed_ms: (k) => a * turns(3, 8)(k), own: north });
    expect(scaled(0.6)).toBe(taken(44));
    expect(scaled(0.5859)).toBe(taken(50));
    expect(scaled(0.5857)).toBeUndefined();
  });

  it("tells nothing by fewer than 30 readings", () => {
    const some = (rows: number) => reasonOf({ rows, speed_ms: turns(3, 8), own: north });
    expect(some(30)).toBe(taken(0));
    expect(some(29)).toBeUndefined();
  });

  it("skips a row where either is not known, and counts the others", () => {
    const [reading, nowhere] = [turns(3, 8), Number.NaN];
    const given = (rows: number) =>
      reasonOf({
        rows,
        speed_ms: (k) => (k === 4 ? nowhere : reading(k)),
        from_deg: (k) => (k === 5 ? nowhere : 0),
        own: (k) => (k === 6 ? [nowhere, 0] : k === 7 ? [0, nowhere] : north(k)),
      });
    expect(given(34)).toBe(taken(0));
    expect(given(33)).toBeUndefined();
  });

  it("tells nothing by an aircraft that has not moved about: 4 (m/s)² of both axes together", () => {
    const moved = (most_ms: number) => reasonOf({ speed_ms: turns(3, most_ms), own: (k) => [turns(3, most_ms)(k), 0] });
    expect(moved(7.01)).toBe(taken(0));
    expect(moved(6.99)).toBeUndefined();
    // Two of each axis.
    const both = (half_ms: number) =>
      reasonOf({
        speed_ms: () => half_ms * Math.SQRT2,
        from_deg: (k) => 45 + 90 * (k % 4),
        own: (k) => {
          const angle = ((45 + 90 * (k % 4)) * Math.PI) / 180;
          return [half_ms * Math.SQRT2 * Math.cos(angle), half_ms * Math.SQRT2 * Math.sin(angle)];
        },
      });
    expect(both(1.42)).toBe(taken(0));
    expect(both(1.41)).toBeUndefined();
  });

  it("takes a calm without a direction for a calm", () => {
    const blank = (k: number): number => (k % 2 === 0 ? Number.NaN : 0);
    expect(reasonOf({ rows: 30, speed_ms: turns(0, 8), from_deg: blank, own: (k) => [turns(0, 8)(k), 0] })).toBe(
      taken(0),
    );
  });

  it("tries the direction from the nose too", () => {
    const heading = (k: number): number => 90 * (k % 4);
    const ahead = (k: number) =>
      [[5, 0] as const, [0, 5] as const, [-5, 0] as const, [0, -5] as const][k % 4] ?? [0, 0];
    expect(reasonOf({ speed_ms: () => 5, heading_deg: heading, own: ahead })).toBe(taken(0));
    expect(reasonOf({ speed_ms: () => 5, own: ahead })).toBeUndefined();
    // With a crosswind from the right of the nose.
    expect(reasonOf({ speed_ms: () => 5, from_deg: () => 90, heading_deg: heading, own: ahead })).toBeUndefined();
    expect(reasonOf({ speed_ms: () => 5, from_deg: () => 90, heading_deg: (k) => heading(k) - 90, own: ahead })).toBe(
      taken(0),
    );
  });
});

describe("as speeds", () => {
  const speed = turns(2, 8);
  /** Uncorrelated to the speed. */
  const noise = (k: number): number => (k % 4 < 2 ? 1 : -1);
  const line = (slope: number, atHover_ms: number, noise_ms = 0) =>
    reasonOf({ speed_ms: (k) => atHover_ms + slope * speed(k) + noise_ms * noise(k), ground_ms: speed });

  it("refuses what grows with the speed by a half or more, and is near zero at a hover", () => {
    expect(line(1, 0)).toBe(follows("ground", "1.00"));
    expect(line(0.501, 0)).toBe(follows("ground", "1.00"));
    expect(line(0.499, 0)).toBeUndefined();
    expect(line(1, 0.99)).toBe(follows("ground", "1.00"));
    expect(line(1, 1.01)).toBeUndefined();
    expect(line(1, -0.99)).toBe(follows("ground", "1.00"));
    expect(line(1, -1.01)).toBeUndefined();
    expect(line(-0.6, 5)).toBeUndefined();
  });

  it("asks for a correlation of 0.9: 3 ÷ √(9 + n²) for noise of ±n on a speed of 5 ± 3", () => {
    expect(line(1, 0, 1.45)).toBe(follows("ground", "0.90"));
    expect(line(1, 0, 1.46)).toBeUndefined();
    expect(line(1, 0, 1)).toBe(follows("ground", "0.95"));
  });

  it("tells nothing by fewer than 30 readings, or by a steady speed", () => {
    const some = (rows: number, most_ms = 8) =>
      reasonOf({ rows, speed_ms: turns(3, most_ms), ground_ms: turns(3, most_ms) });
    expect(some(30)).toBe(follows("ground", "1.00"));
    expect(some(29)).toBeUndefined();
    expect(some(32, 7.01)).toBe(follows("ground", "1.00"));
    expect(some(32, 6.99)).toBeUndefined();
  });

  it("skips rows where either is not known", () => {
    const given = (rows: number) =>
      reasonOf({
        rows,
        speed_ms: (k) => (k === 3 ? Number.NaN : speed(k)),
        ground_ms: (k) => (k === 8 ? Number.NaN : speed(k)),
      });
    expect(given(32)).toBe(follows("ground", "1.00"));
    expect(given(31)).toBeUndefined();
  });

  it("tries the air speed after the ground speed", () => {
    expect(reasonOf({ speed_ms: speed, airSpeed_ms: speed })).toBe(follows("air", "1.00"));
    expect(reasonOf({ speed_ms: speed, airSpeed_ms: speed, ground_ms: speed })).toBe(follows("ground", "1.00"));
    expect(reasonOf({ speed_ms: speed })).toBeUndefined();
  });
});

it("has nothing to say of a log without the columns", () => {
  const nothing = { north_ms: new Float64Array(40), east_ms: new Float64Array(40) };
  const motion = { groundSpeed_ms: Float64Array.from({ length: 40 }, (_, k) => turns(2, 8)(k)) } as unknown as Motion;
  const [windSpeed_ms, windFrom_deg] = [(_t: number, row: number) => turns(2, 8)(row), 0];
  const flight = { first: 0, last: 39 };
  expect(ownFlowReason(makeTrack(times(39), { windSpeed_ms }), flight, motion, nothing)).toBeUndefined();
  expect(ownFlowReason(makeTrack(times(39), { windFrom_deg }), flight, motion, nothing)).toBeUndefined();
  expect(ownFlowReason(makeTrack(times(39), { windSpeed_ms, windFrom_deg }), flight, motion, nothing)).toBe(
    follows("ground", "1.00"),
  );
});
