import { describe, expect, it } from "vitest";
import { findReturnShape } from "../../src/recovery/flown-shape.js";
import type { Replay } from "../../src/recovery/replay.js";
import type { Row } from "../helpers/flights.js";
import { BEGINS_S, FLOWN, flownHome, type Going, LASTS_S } from "../helpers/flown.js";
import { replayRows } from "../helpers/replay.js";

/** The leg home begins at this row, 300 m out and 50 m up; at the second the aircraft is within 15 m. */
const LEAVES = BEGINS_S + 10;
const ARRIVES = LEAVES + 29;
const WHOLE = { first: BEGINS_S, last: BEGINS_S + LASTS_S };
const NORTH_M = 1 / 111_170;

const same = (replay: Replay): Replay => replay;
/** The shape found in a flight home, with something of its replay changed. */
function shape(
  change: (replay: Replay) => Replay | void = same,
  going: Going = {},
): ReturnType<typeof findReturnShape> {
  const replay = replayRows(flownHome({ flag: false, ...going }), FLOWN);
  return findReturnShape(change(replay) ?? replay);
}

/** Sets the recovery height. */
const setTo =
  (value: number, basis: "declared" | "assumed" = "declared") =>
  (replay: Replay): Replay => ({
    ...replay,
    inputs: { ...replay.inputs, recoveryHeight: { value, basis, from: "declared" } },
  });
/** Writes over a column from a row to another, that one included. */
const written =
  (key: "height_m" | "distance_m", from: number, to: number, value: (k: number) => number) =>
  ({ moments }: Replay): void => {
    for (let k = from; k <= to; k += 1) moments[key][k] = value(k);
  };
/** Moves rows north by so many metres, their distance from the point being left as it is. */
const shifted =
  (north_m: (k: number) => number) =>
  ({ moments, length }: Replay): void => {
    for (let k = 0; k < length; k += 1) {
      moments.latitude_deg[k] = (moments.latitude_deg[k] ?? 0) + NORTH_M * north_m(k);
    }
  };

describe("a flight home with the shape of a recovery", () => {
  it("is the climb on the spot, the leg and the landing", () => {
    expect(shape()).toEqual(WHOLE);
  });

  it("is at the recovery height to 3 m, or to 5 % of it", () => {
    const at = (height_m: number): boolean => shape(setTo(height_m)) !== undefined;
    expect([at(46.9), at(47), at(53), at(53.1)]).toEqual([false, true, true, false]);
    const twice = (height_m: number): boolean =>
      shape((replay) => {
        replay.moments.height_m.forEach((low_m, k, all) => (all[k] = 2 * low_m));
        return setTo(height_m)(replay);
      }) !== undefined;
    expect([twice(95.2), twice(95.3), twice(105.2), twice(105.3)]).toEqual([false, true, true, false]);
  });

  it("is at that height over the recovery point", () => {
    const over = (height_m: number) => (replay: Replay) => {
      replay.pointGround_m.fill(5);
      const set = setTo(height_m)(replay);
      const heights = { ...set.inputs.heights, takeoffGround_m: 25 };
      return { ...set, inputs: { ...set.inputs, heights } };
    };
    expect(shape(over(70))).toEqual(WHOLE);
    expect(shape(over(50))).toBeUndefined();
    expect(shape(over(30))).toBeUndefined();
  });

  it("is at that height all the way until it arrives", () => {
    expect(shape(written("height_m", ARRIVES, ARRIVES, () => 40))).toBeUndefined();
    expect(shape(written("height_m", LEAVES + 15, LEAVES + 16, () => 40))).toBeUndefined();
    expect(shape(written("height_m", LEAVES + 15, LEAVES + 15, () => Number.NaN))).toBeUndefined();
  });

  it("is not told by a recovery height that is only assumed, nor in a record that ends in the air", () => {
    expect(shape(setTo(50, "assumed"))).toBeUndefined();
    expect(shape((replay) => ({ ...replay, flight: { ...replay.flight, endsInAir: true } }))).toBeUndefined();
  });

  it("lands within 15 m of the point", () => {
    expect(shape(same, { off_m: 14.9 })).toEqual(WHOLE);
    expect(shape(same, { off_m: 15.1 })).toBeUndefined();
    const { last } = WHOLE;
    expect(shape(written("distance_m", last, last, () => 15))).toEqual(WHOLE);
    expect(shape(written("distance_m", last, last, () => Number.NaN))).toBeUndefined();
    expect(shape(written("distance_m", 0, last, () => 15))).toBeUndefined();
  });

  it("has a leg of 50 m and of 20 s or more", () => {
    // From 64 m it comes within 15 m at 14.9 m, from 65 m at 13 m.
    expect(shape(same, { from_m: 64 })).toBeUndefined();
    expect(shape(same, { from_m: 65 })).toEqual(WHOLE);
    const timed = (factor: number): ReturnType<typeof shape> =>
      shape(({ moments }) => moments.at_s.forEach((at_s, k, all) => (all[k] = factor * at_s)));
    expect(timed(20.1 / 29)).toEqual(WHOLE);
    expect(timed(19.9 / 29)).toBeUndefined();
    const after = (k: number): number => 20 + k - ARRIVES;
    expect(
      shape(({ moments }) => {
        for (let k = LEAVES; k <= WHOLE.last; k += 1) {
          moments.at_s[k] = LEAVES + (k < ARRIVES ? (20 * (k - LEAVES)) / 29 : after(k));
        }
      }),
    ).toEqual(WHOLE);
  });

  it("goes straight, to 3 %", () => {
    /** By a bend whose top is so far aside of the 290 m. */
    const bent = (aside_m: number): ReturnType<typeof shape> =>
      shape(shifted((k) => Math.max(0, aside_m * (1 - Math.abs(k - LEAVES - 14.5) / 14.5))));
    // 2 · √(145² + 35²) m are 2.9 % more than 290 m, with 38 m 3.4 %; 0.97 asks for 3.1 %.
    expect(bent(35)).toEqual(WHOLE);
    expect(bent(38)).toBeUndefined();
    // The way begins where the leg does.
    expect(shape(shifted((k) => (k < LEAVES ? 30 : 0)))).toEqual(WHOLE);
  });

  it("may jitter on the way: rows less than 5 m apart tell no way", () => {
    // By 3.3 m a row; with the jitter a row's own way would be 4.4 % longer.
    const jitter = shifted((k) => (k > LEAVES ? k % 2 : 0));
    expect(shape(jitter, { from_m: 100 })).toEqual(WHOLE);
  });

  it("goes straight to where it arrives, if only by a last step of less than 5 m", () => {
    // From 130 m by 4.3 m a row, 27 of them: bent by 4.5 %, of which the last one alone is 3.7 %.
    const aside = shifted((k) => Math.max(0, 17.7 * (1 - Math.abs(k - LEAVES - 13.5) / 13.5)));
    expect(shape(same, { from_m: 130 })).toEqual(WHOLE);
    expect(shape(aside, { from_m: 130 })).toBeUndefined();
  });

  it("comes home from the farthest point, not from the way out at the same height", () => {
    const out = (replay: Replay): void => {
      written("height_m", 40, LEAVES, () => 50)(replay);
      written("distance_m", 40, LEAVES, (k) => (300 * (k - 40)) / (LEAVES - 40))(replay);
    };
    expect(shape(out)).toEqual({ first: LEAVES, last: WHOLE.last });
  });
});

describe("the climb before", () => {
  it("is on the spot, to 5 m", () => {
    const moved = (aside_m: number): number | undefined => shape(shifted((k) => (k < 105 ? aside_m : 0)))?.first;
    expect([moved(4.9), moved(5.1), moved(-5.1)]).toEqual([BEGINS_S, 105, 105]);
  });

  it("rises by half a metre a second over two seconds", () => {
    /** Climbs so fast for five seconds from 33 m on, then by 3 m/s as ever. */
    const slow = (climb_ms: number): number | undefined =>
      shape(written("height_m", 1, 105, (k) => 33 + climb_ms * Math.max(0, k - BEGINS_S)))?.first;
    expect(slow(0.4)).toBe(105);
    // At the second row it has risen by 1 m since two seconds before.
    expect(slow(0.5)).toBe(BEGINS_S + 1);
  });

  it("is looked for up to the first row", () => {
    const from = replayRows(flownHome({ flag: false }).slice(BEGINS_S), FLOWN);
    expect(findReturnShape(from)).toEqual({ first: 0, last: LASTS_S });
  });

  it("is left out where it hovered up there for over ten seconds before it set off", () => {
    /** Waits at the height of the leg. */
    const waited = (seconds: number): ReturnType<typeof findReturnShape> => {
      const rows = flownHome({ flag: false });
      const wait = Array.from({ length: seconds }, (): Row => ({ ...rows[LEAVES], time_s: 0 }));
      const all = [...rows.slice(0, LEAVES), ...wait, ...rows.slice(LEAVES)];
      return findReturnShape(
        replayRows(
          all.map((row, time_s) => ({ ...row, time_s })),
          FLOWN,
        ),
      );
    };
    // The climb is at the height, to 3 m, one row before it ends.
    expect(waited(9)).toEqual({ first: BEGINS_S, last: WHOLE.last + 9 });
    expect(waited(10)).toEqual({ first: LEAVES + 10, last: WHOLE.last + 10 });
  });
});
