import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { judgedBattery_pct, stepsOf, withoutDropouts } from "../../src/aircraft/battery-line.js";
import { makeFlight, makeTrack, times, type ColumnSpec } from "../track/make-track.js";

/** The judged battery of a whole track. */
function judged(time_s: ArrayLike<number>, battery: ColumnSpec, breaks: number[] = []): number[] {
  const track = makeTrack(time_s, { battery_pct: battery }, breaks);
  return [
    ...judgedBattery_pct(track.columns.time_s, track.columns.battery_pct ?? new Float64Array(0), makeFlight(track)),
  ];
}

describe("stepsOf", () => {
  it("finds the rows of new lows, the first reading included, and counts rises", () => {
    const battery = Float64Array.from([90, 90, 89, 90, 89, 88, 88, 89, 87]);
    expect(stepsOf(battery, 0, 8)).toEqual({ rows: [0, 2, 5, 8], rises: 2 });
  });

  it("passes over what is missing", () => {
    const battery = Float64Array.from([Number.NaN, 90, Number.NaN, 89, Number.NaN, 90]);
    expect(stepsOf(battery, 0, 5)).toEqual({ rows: [1, 3], rises: 1 });
  });

  it("looks between first and last alone", () => {
    const battery = Float64Array.from([50, 90, 89, 88, 10]);
    expect(stepsOf(battery, 1, 3)).toEqual({ rows: [1, 2, 3], rises: 0 });
  });

  it("finds nothing in nothing", () => {
    expect(stepsOf(new Float64Array(3).fill(Number.NaN), 0, 2)).toEqual({ rows: [], rises: 0 });
  });
});

describe("judgedBattery_pct", () => {
  it("is a straight line between the first samples of each value", () => {
    expect(judged(times(8), [90, 90, 90, 90, 89, 89, 88, 88, 88])).toEqual([
      90, 89.75, 89.5, 89.25, 89, 88.5, 88, 88, 88,
    ]);
  });

  it("draws by time, not by row", () => {
    expect(judged([0, 1, 4, 5], [90, 90, 90, 89])).toEqual([90, 89.8, 89.2, 89]);
  });

  it("draws one line over a step of more than one value", () => {
    expect(judged(times(4), [90, 90, 90, 90, 86])).toEqual([90, 89, 88, 87, 86]);
  });

  // A discharge of r %/s shown rounded up: the line must stay at or under the reading, at or over the true charge, and
  // be right to what the charge falls within one sample.
  it("is the closed form of a linear discharge in 1 % steps", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.03, max: 0.3, noNaN: true }),
        fc.double({ min: 80, max: 100, noNaN: true }),
        fc.constantFrom(0.1, 0.5, 1),
        (rate, start, step_s) => {
          const at = times(120, step_s);
          const truth = at.map((t) => start - rate * t);
          const reading = truth.map((charge) => Math.ceil(charge));
          const line = judged(at, reading);
          const { rows } = stepsOf(reading, 0, reading.length - 1);
          const firstStep = rows[1] ?? Number.POSITIVE_INFINITY;
          const lastStep = rows[rows.length - 1] ?? 0;
          line.forEach((value, k) => {
            expect(value).toBeLessThanOrEqual((reading[k] ?? 0) + 1e-9);
            expect(value).toBeGreaterThanOrEqual((reading[k] ?? 0) - 1 - 1e-9);
            if (k >= firstStep && k <= lastStep) {
              const late = value - (truth[k] ?? 0);
              expect(late).toBeGreaterThanOrEqual(-1e-9);
              expect(late).toBeLessThanOrEqual(rate * step_s + 1e-9);
            } else {
              expect(Math.abs(value - (truth[k] ?? 0))).toBeLessThanOrEqual(1 + 1e-9);
            }
          });
        },
      ),
      { numRuns: 60 },
    );
  });

  it("is never above the reading and never rises, whatever the reading does", () => {
    const reading = fc.oneof(
      { weight: 8, arbitrary: fc.integer({ min: 70, max: 100 }) },
      { weight: 1, arbitrary: fc.constant(Number.NaN) },
    );
    fc.assert(
      fc.property(fc.array(reading, { minLength: 1, maxLength: 30 }), (readings) => {
        let before = Number.POSITIVE_INFINITY;
        judged(times(readings.length - 1), readings).forEach((value, k) => {
          if (Number.isNaN(readings[k])) {
            expect(value).toBeNaN();
            return;
          }
          expect(value).toBeLessThanOrEqual((readings[k] ?? 0) + 1e-9);
          expect(value).toBeLessThanOrEqual(before + 1e-9);
          before = value;
        });
      }),
    );
  });

  it("ignores a rise", () => {
    expect(judged(times(5), [80, 79, 82, 82, 79, 78])).toEqual([80, 79, 79 - 1 / 4, 79 - 2 / 4, 79 - 3 / 4, 78]);
    expect(judged(times(3), [80, 79, 95, 95])).toEqual([80, 79, 79, 79]);
  });

  it("keeps NaN where there is no reading", () => {
    expect(judged(times(4), [80, Number.NaN, 80, 80, 78])).toEqual([80, Number.NaN, 79, 78.5, 78]);
    expect(judged(times(1), Number.NaN)).toEqual([Number.NaN, Number.NaN]);
  });

  it("draws no line across a gap or a break of the recording", () => {
    expect(judged([0, 1, 2, 60, 61, 62], [80, 80, 80, 79, 79, 78])).toEqual([80, 80, 80, 79, 78.5, 78]);
    expect(judged(times(5), [80, 80, 80, 79, 79, 78], [3])).toEqual([80, 80, 80, 79, 78.5, 78]);
  });

  it("leaves a fine reading alone but for its rises", () => {
    expect(judged(times(4), [80, 79.9, 79.9, 80.1, 79.8])).toEqual([80, 79.9, 79.9, 79.9, 79.8]);
  });

  it.each([
    [0.5, [80, 79.75, 79.5]],
    [0.4, [80, 80, 79.6]],
  ])("takes steps of %d as coarse or fine", (step, expected) => {
    expect(judged(times(2), [80, 80, 80 - step])).toEqual(expected);
  });

  it("takes half-per-cent steps as coarse, however their decimals are stored", () => {
    expect(0.7 - 0.2).toBeLessThan(0.5);
    expect(judged(times(2), [0.7, 0.7, 0.2])[1]).toBeCloseTo(0.45, 9);
  });

  it("has one value a row of the flight", () => {
    const track = makeTrack(times(5), { battery_pct: [99, 80, 80, 79, 78, 10] });
    const flight = makeFlight(track, { first: 1, last: 4 });
    const line = judgedBattery_pct(track.columns.time_s, track.columns.battery_pct ?? new Float64Array(0), flight);
    expect([...line]).toEqual([80, 79.5, 79, 78]);
  });
});

describe("withoutDropouts", () => {
  /** Readings a second apart, or at given times, after their dropouts were taken out. */
  function kept(readings: readonly number[], at: ArrayLike<number> = times(readings.length - 1)): [number[], number] {
    const battery = Float64Array.from(readings);
    const found = withoutDropouts(Float64Array.from(Array.from(at)), battery, { first: 0, last: readings.length - 1 });
    expect([...battery]).toEqual([...readings]);
    return [[...found.battery_pct], found.dropouts];
  }
  const N = Number.NaN;

  it("takes out a reading that falls and is back", () => {
    expect(kept([80, 80, 0, 80, 79])).toEqual([[80, 80, N, 80, 79], 1]);
    expect(kept([80, 12, 15, 79, 79])).toEqual([[80, N, N, 79, 79], 1]);
    expect(kept([80, 0, 80, 0, 80])).toEqual([[80, N, 80, N, 80], 2]);
  });

  it.each([
    [77, 0],
    [76.9, 1],
  ])("needs a fall of over 3 %: to %d of 80", (low, dropouts) => {
    expect(kept([80, low, 80])[1]).toBe(dropouts);
  });

  it.each([
    [79, 1],
    [78.9, 0],
  ])("needs it back within 1 %: at %d of 80", (back, dropouts) => {
    expect(kept([80, 40, back, back])[1]).toBe(dropouts);
  });

  it.each([
    [3, 1],
    [3.1, 0],
  ])("needs it back within 3 s: after %d s", (back_s, dropouts) => {
    expect(kept([80, 40, 40, 80, 80], [0, 1, 2, back_s, 4])[1]).toBe(dropouts);
  });

  it("keeps a fall that stays: that is the battery", () => {
    expect(kept([80, 60, 60, 60, 60, 60, 59])).toEqual([[80, 60, 60, 60, 60, 60, 59], 0]);
    expect(kept([80, 80, 40])).toEqual([[80, 80, 40], 0]);
  });

  it("looks at the flight's rows alone, and past missing ones", () => {
    const battery = Float64Array.from([90, 0, 80, N, 0, 80, 10, 80]);
    const { battery_pct, dropouts } = withoutDropouts(times(7), battery, { first: 2, last: 6 });
    expect([...battery_pct]).toEqual([90, 0, 80, N, N, 80, 10, 80]);
    expect(dropouts).toBe(1);
  });
});
