import { describe, expect, it } from "vitest";
import { ASSUMED_DRAIN, FITTED_SPREAD_PCT, SCALED_BOUND } from "../../src/aircraft/drain.js";
import { drainSteps, fitDrain, type DrainStep } from "../../src/aircraft/fit-drain.js";
import { CLIMB, CRUISE, DESCENT, HOVER } from "../../src/aircraft/regimes.js";
import { seeded } from "../oracles/random.js";
import { makeFlight, makeTrack, repeat, times, type ColumnSpec } from "../track/make-track.js";

type Times = readonly [hover: number, climb: number, cruise: number, descent: number];

/** Steps without noise: the drop follows from the rates. */
function stepsAt(rates: Times, ...times_min: Times[]): DrainStep[] {
  return times_min.map((each) => ({
    drop_pct: each.reduce((sum, time, i) => sum + time * (rates[i] ?? 0), 0),
    times_min: each,
  }));
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

/** Least squares of drop on time for hover and cruise, every step counting the same: what the fit must not be. */
function unweighted(steps: readonly DrainStep[]): { hover: number; cruise: number } {
  let [hh, hc, cc, h, c] = [0, 0, 0, 0, 0];
  for (const { drop_pct, times_min } of steps) {
    const [hover, , cruise] = times_min as Times;
    hh += hover * hover;
    hc += hover * cruise;
    cc += cruise * cruise;
    h += hover * drop_pct;
    c += cruise * drop_pct;
  }
  if (cc === 0) return { hover: h / hh, cruise: Number.NaN };
  const size = hh * cc - hc * hc;
  return { hover: (cc * h - hc * c) / size, cruise: (hh * c - hc * h) / size };
}

describe("fitDrain on steps without noise", () => {
  const rates: Times = [4, 7, 5, 3];
  const all = stepsAt(
    rates,
    [0.5, 0, 0, 0],
    [0, 0.5, 0, 0],
    [0, 0, 0.5, 0],
    [0, 0, 0, 0.5],
    [0.5, 0.5, 0, 0],
    [0, 0, 0.5, 0.5],
    [0.2, 0.2, 0.2, 0.2],
    [0.3, 0.4, 0.1, 0.5],
    [0.4, 0, 0.4, 0],
  );

  it("recovers all four rates", () => {
    const drain = fitDrain(all, "this flight");
    expect(drain).toMatchObject({
      basis: "fitted",
      from: "this flight",
      isAssumed: false,
      spread_pct: FITTED_SPREAD_PCT,
    });
    rates.forEach((rate, i) => expect(drain?.middle[i]).toBeCloseTo(rate, 9));
    expect(drain?.low).toEqual(drain?.middle);
    expect(drain?.high).toEqual(drain?.middle);
    for (const value of drain?.covariance.flat() ?? []) expect(Math.abs(value)).toBeLessThan(1e-18);
  });

  it("is a plain rate for one regime, and ties the others by the assumed ratios", () => {
    const drain = fitDrain(stepsAt([4.5, 0, 0, 0], [1, 0, 0, 0], [1.5, 0, 0, 0], [0.5, 0, 0, 0]), "");
    // The assumed hover rate is 4.5, so every tied rate is its assumed one.
    ASSUMED_DRAIN.middle.forEach((rate, i) => expect(drain?.middle[i]).toBeCloseTo(rate, 9));
    expect(drain?.low[HOVER]).toBe(drain?.middle[HOVER]);
    for (const tied of [CLIMB, CRUISE, DESCENT]) {
      expect(drain?.low[tied]).toBeCloseTo((ASSUMED_DRAIN.middle[tied] ?? 0) * (1 - SCALED_BOUND), 9);
      expect(drain?.high[tied]).toBeCloseTo((ASSUMED_DRAIN.middle[tied] ?? 0) * (1 + SCALED_BOUND), 9);
    }
  });

  it("does not invent a climb rate for a flight without climbs", () => {
    const level = stepsAt(
      [4, 0, 6, 0],
      [0.5, 0, 0, 0],
      [0, 0, 0.5, 0],
      [0.5, 0, 0.5, 0],
      [1, 0, 0.2, 0],
      [0.1, 0, 1, 0],
    );
    const drain = fitDrain(level, "");
    expect(drain?.middle[HOVER]).toBeCloseTo(4, 9);
    expect(drain?.middle[CRUISE]).toBeCloseTo(6, 9);
    // Climb = assumed climb × (fitted ÷ assumed over the time of hover and cruise).
    const flown = 4 * 2.1 + 6 * 2.2;
    const assumed = ASSUMED_DRAIN.middle[HOVER] * 2.1 + ASSUMED_DRAIN.middle[CRUISE] * 2.2;
    expect(drain?.middle[CLIMB]).toBeCloseTo((ASSUMED_DRAIN.middle[CLIMB] * flown) / assumed, 9);
    for (const tied of [CLIMB, DESCENT]) {
      expect(drain?.low[tied]).toBeLessThan(drain?.middle[tied] ?? Number.NaN);
      expect(drain?.high[tied]).toBeGreaterThan(drain?.middle[tied] ?? Number.NaN);
    }
    for (const fitted of [HOVER, CRUISE]) {
      expect(drain?.low[fitted]).toBe(drain?.middle[fitted]);
      expect(drain?.high[fitted]).toBe(drain?.middle[fitted]);
    }
  });

  it("lets the time of a tied regime count at its tied rate", () => {
    // 20 s of climb are too few to fit; at the assumed rates all drops are explained exactly.
    const { middle } = ASSUMED_DRAIN;
    const own: Times = [middle[HOVER], middle[CLIMB], middle[CRUISE], middle[DESCENT]];
    const drain = fitDrain(stepsAt(own, [1, 0, 0, 0], [1, 1 / 3, 0, 0], [1, 0, 0, 0]), "");
    expect(drain?.middle[HOVER]).toBeCloseTo(middle[HOVER], 9);
    expect(drain?.high[CLIMB]).toBeGreaterThan(drain?.middle[CLIMB] ?? Number.NaN);
  });

  it("does not believe a regime with a rate of 0", () => {
    // All drops fall in hover; the minute of cruise cost nothing, which no flight does.
    const free = stepsAt([4, 0, 0, 0], [1, 0, 0, 0], [1, 0, 2, 0], [1, 0, 1, 0], [1, 0, 0, 0]);
    const drain = fitDrain(free, "");
    expect(drain?.middle[CRUISE]).toBeGreaterThan(0);
    expect(drain?.low[CRUISE]).toBeLessThan(drain?.middle[CRUISE] ?? Number.NaN);
    expect(drain?.middle[HOVER]).toBeGreaterThan(0);
    // Tied to hover by the ratio of the assumed rates.
    expect((drain?.middle[CRUISE] ?? 0) / (drain?.middle[HOVER] ?? 1)).toBeCloseTo(
      ASSUMED_DRAIN.middle[CRUISE] / ASSUMED_DRAIN.middle[HOVER],
      9,
    );
  });

  it("gives up where nothing dropped or there are no steps", () => {
    expect(fitDrain([], "")).toBeUndefined();
    expect(fitDrain(stepsAt([0, 0, 0, 0], [5, 0, 0, 0]), "")).toBeUndefined();
  });
});

describe("what a regime needs before its rate is believed", () => {
  const isFitted = (steps: DrainStep[], regime: number): boolean => {
    const drain = fitDrain(steps, "");
    return drain !== undefined && drain.low[regime] === drain.middle[regime];
  };

  it.each([
    ["60 s and 3 %", 1, 3, true],
    ["59 s and 3 %", 59 / 60, 3, false],
    ["60 s and 2.9 %", 1, 2.9, false],
  ])("hover with %s: %s", (_name, time_min, drop_pct, expected) => {
    const steps = [1, 2, 3].map(() => ({ drop_pct: drop_pct / 3, times_min: [time_min / 3, 0, 0, 0] }));
    // Thirds lose a bit in doubles: a hair over the limit is meant.
    const hair = steps.map((step) => ({
      ...step,
      drop_pct: step.drop_pct + 1e-9,
      times_min: step.times_min.map((t) => t * (1 + 1e-9)),
    }));
    expect(isFitted(hair, HOVER)).toBe(expected);
  });

  const hover = stepsAt([4, 0, 0, 0], [1, 0, 0, 0], [1, 0, 0, 0]);

  it.each([
    [
      "30 s in 2 steps",
      [
        [0, 0.25],
        [0, 0.25],
      ],
      true,
    ],
    [
      "29 s in 2 steps",
      [
        [0, 0.24],
        [0, 0.24],
      ],
      false,
    ],
    ["60 s in one step", [[0, 1]], false],
    [
      "60 s as half of 4 steps",
      [
        [0.25, 0.25],
        [0.25, 0.25],
        [0.25, 0.25],
        [0.25, 0.25],
      ],
      true,
    ],
    [
      "60 s as a third of 4 steps",
      [
        [0.5, 0.25],
        [0.5, 0.25],
        [0.5, 0.25],
        [0.5, 0.25],
      ],
      false,
    ],
  ])("climb with %s: %s", (_name, each, expected) => {
    const climbs = stepsAt([4, 7, 0, 0], ...each.map(([h = 0, c = 0]): Times => [h, c, 0, 0]));
    expect(isFitted([...hover, ...climbs], CLIMB)).toBe(expected);
    expect(isFitted([...hover, ...climbs], HOVER)).toBe(true);
  });
});

describe("fitDrain on a reading of 1 % steps", () => {
  /** Minutes that each 1 % lasts, when the draw at every moment is the regime's rate times a gust of its own. */
  function gusty(seed: number, minutes: number): { steps: DrainStep[]; hover: number; cruise: number } {
    const random = seeded(seed);
    const steps: DrainStep[] = [];
    const used = [0, 0];
    const flown = [0, 0];
    let gust = 1;
    let times_min = [0, 0, 0, 0];
    let charge = 0;
    for (let t = 0; t < minutes * 60; t += 0.5) {
      // Turns between hover and cruise every 100 s; the draw changes every 15 s.
      const isCruise = Math.floor(t / 100) % 2 === 1;
      if (t % 15 === 0) gust = 0.4 + 1.2 * random();
      const spent = ((isCruise ? 6 : 4) * gust) / 120;
      used[isCruise ? 1 : 0] = (used[isCruise ? 1 : 0] ?? 0) + spent;
      flown[isCruise ? 1 : 0] = (flown[isCruise ? 1 : 0] ?? 0) + 1 / 120;
      times_min[isCruise ? CRUISE : HOVER] = (times_min[isCruise ? CRUISE : HOVER] ?? 0) + 1 / 120;
      charge += spent;
      if (charge < 1) continue;
      steps.push({ drop_pct: 1, times_min });
      charge -= 1;
      times_min = [0, 0, 0, 0];
    }
    return { steps, hover: (used[0] ?? 0) / (flown[0] ?? 1), cruise: (used[1] ?? 0) / (flown[1] ?? 1) };
  }

  const runs = Array.from({ length: 120 }, (_, i) => gusty(i + 1, 15)).map((run) => ({
    run,
    fitted: fitDrain(run.steps, "")?.middle ?? [],
    plain: unweighted(run.steps),
  }));
  const mean = (values: number[]): number => sum(values) / values.length;

  it("is unbiased, where the unweighted fit is low, which is the unsafe way", () => {
    const hover = mean(runs.map(({ run, fitted }) => (fitted[HOVER] ?? Number.NaN) / run.hover - 1));
    const cruise = mean(runs.map(({ run, fitted }) => (fitted[CRUISE] ?? Number.NaN) / run.cruise - 1));
    const plainHover = mean(runs.map(({ run, plain }) => plain.hover / run.hover - 1));
    const plainCruise = mean(runs.map(({ run, plain }) => plain.cruise / run.cruise - 1));
    expect(Math.abs(hover)).toBeLessThan(0.01);
    expect(Math.abs(cruise)).toBeLessThan(0.01);
    expect(plainHover).toBeLessThan(-0.03);
    expect(plainCruise).toBeLessThan(-0.03);
  });

  it("explains exactly what was used where there is one regime: drop over time", () => {
    const steps = [0.2, 0.5, 0.3, 0.9, 0.4].map((minutes) => ({ drop_pct: 1, times_min: [minutes, 0, 0, 0] }));
    expect(fitDrain(steps, "")?.middle[HOVER]).toBeCloseTo(5 / 2.3, 9);
    expect(unweighted(steps).hover).toBeLessThan(5 / 2.3);
  });

  it("says how sure it is: about two runs in three lie within the standard error", () => {
    const within = runs.filter(({ run, fitted }) => {
      const covariance = fitDrain(run.steps, "")?.covariance[HOVER]?.[HOVER] ?? Number.NaN;
      return Math.abs((fitted[HOVER] ?? Number.NaN) - run.hover) <= 2 * Math.sqrt(covariance);
    });
    expect(within.length / runs.length).toBeGreaterThan(0.85);
  });
});

describe("errors that steps share", () => {
  it("cancel: a reading that is early once bends neither rate, as one noisy step would", () => {
    // 5 % a minute in steps of 12 s, but one reading shows 5 s early: 7 s, then 17 s.
    const lengths = [12, 12, 12, 12, 12, 12, 7, 17, 12, 12, 12, 12, 12, 12];
    const chain = lengths.map((seconds, k) => ({
      drop_pct: 1,
      times_min: k < 7 ? [seconds / 60, 0, 0, 0] : [0, 0, seconds / 60, 0],
      isNext: k > 0,
    }));
    const alone = chain.map((step) => ({ ...step, isNext: false }));
    const off = (steps: DrainStep[]): number => Math.abs((fitDrain(steps, "")?.middle[HOVER] ?? 0) / 5 - 1);
    // Alone, seven steps of 79 s: 5.3. Together, the two that share the early reading say that it was early.
    expect(off(alone)).toBeCloseTo(84 / 79 - 1, 9);
    expect(off(chain)).toBeLessThan(0.5 * off(alone));
  });
});

describe("jumps of a gauge", () => {
  const steady = Array.from({ length: 12 }, (): DrainStep => ({
    drop_pct: 1,
    times_min: [0.25, 0, 0, 0],
    isNext: true,
  }));

  it("are left out, and what follows one is held against nothing before it", () => {
    const jumped = [
      ...steady.slice(0, 6),
      { drop_pct: 5, times_min: [1 / 60, 0, 0, 0], isNext: true },
      ...steady.slice(6),
    ];
    expect(fitDrain(jumped, "")?.middle[HOVER]).toBeCloseTo(4, 9);
    const late = [...steady.slice(0, 6), { drop_pct: 1, times_min: [2, 0, 0, 0], isNext: true }, ...steady.slice(6)];
    expect(fitDrain(late, "")?.middle[HOVER]).toBeCloseTo(4, 9);
  });

  it("are no jumps under 1 %, nor among fewer than eight steps", () => {
    const near = [...steady, { drop_pct: 1.9, times_min: [0.25, 0, 0, 0], isNext: true }];
    expect(fitDrain(near, "")?.middle[HOVER]).toBeGreaterThan(4.05);
    const few = [...steady.slice(0, 6), { drop_pct: 5, times_min: [1 / 60, 0, 0, 0], isNext: true }];
    expect(fitDrain(few, "")?.middle[HOVER]).toBeGreaterThan(5);
  });
});

describe("covariance of tied rates", () => {
  it("follows the rate that they are tied to", () => {
    const steps = [0.2, 0.3, 0.25, 0.28].map((minutes) => ({ drop_pct: 1, times_min: [minutes, 0, 0, 0] }));
    const drain = fitDrain(steps, "");
    const ratio = ASSUMED_DRAIN.middle[CLIMB] / ASSUMED_DRAIN.middle[HOVER];
    const hover = drain?.covariance[HOVER]?.[HOVER] ?? Number.NaN;
    expect(hover).toBeGreaterThan(0);
    expect(drain?.covariance[CLIMB]?.[CLIMB]).toBeCloseTo(ratio * ratio * hover, 12);
    expect(drain?.covariance[CLIMB]?.[HOVER]).toBeCloseTo(ratio * hover, 12);
    expect(drain?.covariance[HOVER]?.[CLIMB]).toBeCloseTo(ratio * hover, 12);
  });

  it("is 0, not NaN, where the fit leaves no degree of freedom", () => {
    const drain = fitDrain([{ drop_pct: 4, times_min: [1, 0, 0, 0] }], "");
    expect(drain?.middle[HOVER]).toBeCloseTo(4, 9);
    expect(drain?.covariance.flat()).toEqual(repeat(0, 16));
  });
});

describe("drainSteps", () => {
  /** Steps of a whole track that hovers, unless the regimes are given. */
  function steps(
    time_s: ArrayLike<number>,
    battery: ColumnSpec,
    breaks: number[] = [],
    regimes?: number[],
  ): DrainStep[] {
    const track = makeTrack(time_s, { battery_pct: battery }, breaks);
    const codes = Uint8Array.from(regimes ?? repeat(HOVER, track.length));
    return drainSteps(track, makeFlight(track), track.columns.battery_pct ?? new Float64Array(0), codes);
  }
  const drops = (found: readonly DrainStep[]): [number, number][] =>
    found.map(({ drop_pct, times_min }) => [
      Math.round(drop_pct * 1e6) / 1e6,
      Math.round(sum(times_min) * 60 * 1e6) / 1e6,
    ]);

  it("leaves the first and the last partial step out", () => {
    // 90 from before the start, 86 still lasting at the end.
    expect(drops(steps(times(11), [90, 90, 89, 89, 89, 88, 88, 87, 87, 87, 87, 86]))).toEqual([
      [1, 3],
      [1, 2],
      [1, 4],
    ]);
    expect(steps(times(3), [90, 90, 89, 89])).toEqual([]);
    expect(steps(times(3), [90, 90, 90, 90])).toEqual([]);
  });

  it("gives each regime its time", () => {
    const found = steps(times(8), [90, 89, 89, 89, 89, 88, 88, 87, 87], [], [3, 0, 0, 2, 2, 1, 3, 0, 0]);
    const seconds = found.map(({ times_min }) => times_min.map((minutes) => Math.round(minutes * 600) / 10));
    expect(seconds).toEqual([
      [2, 0, 2, 0],
      [0, 1, 0, 1],
    ]);
  });

  it("leaves steps across a gap out, and what began in it", () => {
    // 88 is first read after the gap: when it began is not known, so the step down to 87 has no start either.
    expect(drops(steps([0, 1, 2, 3, 60, 61, 62, 63, 64], [90, 89, 89, 89, 88, 88, 87, 87, 86]))).toEqual([[1, 2]]);
    // 89 goes on over the gap: the step down to 88 is seen, but how long 89 lasted without a gap is not.
    expect(drops(steps([0, 1, 2, 60, 61, 62, 63, 64], [90, 89, 89, 89, 88, 88, 88, 87]))).toEqual([[1, 3]]);
  });

  it("does the same at a break of the recording", () => {
    expect(drops(steps(times(8), [90, 89, 89, 89, 88, 88, 87, 87, 86], [4]))).toEqual([[1, 2]]);
  });

  it("takes fine readings together until they have dropped 1 %", () => {
    const found = steps(times(60), (t) => Math.round((90 - 0.1 * t) * 10) / 10);
    // From the first new low on (89.9 at 1 s), ten tenths each.
    expect(drops(found)).toEqual([
      [1, 10],
      [1, 10],
      [1, 10],
      [1, 10],
      [1, 10],
    ]);
  });

  it("ignores rises: the time of a step runs on", () => {
    expect(drops(steps(times(7), [90, 89, 89, 90, 90, 89, 88, 88]))).toEqual([[1, 5]]);
  });

  it("keeps steps of more than 1 %", () => {
    expect(drops(steps(times(5), [90, 89, 89, 86, 86, 85]))).toEqual([
      [3, 2],
      [1, 2],
    ]);
  });

  it("says which steps begin at the reading that the one before ended at", () => {
    const found = steps([0, 1, 2, 3, 4, 60, 61, 62, 63, 64], [90, 89, 88, 87, 86, 86, 85, 84, 83, 83]);
    expect(found.map(({ isNext }) => isNext)).toEqual([false, true, true, false, true]);
  });

  it("smears the times as a gauge with a lag feels them: the closed form of a first-order filter", () => {
    const lag_s = 10;
    const track = makeTrack(times(100), { battery_pct: (t) => 90 - Math.floor(t / 20) });
    const battery = track.columns.battery_pct ?? new Float64Array(0);
    // Hover for 50 s, then cruise; before a take-off that was seen, nothing.
    const regimes = Uint8Array.from(times(100), (t) => (t < 50 ? HOVER : CRUISE));
    const felt = (t: number): number => t - lag_s * (1 - Math.exp(-t / lag_s));
    const found = drainSteps(track, makeFlight(track), battery, regimes, lag_s);
    const [first, second, third] = found.map(({ times_min }) => times_min.map((minutes) => minutes * 60));
    expect(first?.[HOVER]).toBeCloseTo(felt(40) - felt(20), 9);
    expect(first?.[CRUISE]).toBe(0);
    expect(second?.[HOVER]).toBeCloseTo(felt(60) - felt(40) - felt(10), 9);
    expect(second?.[CRUISE]).toBeCloseTo(felt(10), 9);
    expect(third?.[CRUISE]).toBeCloseTo(felt(30) - felt(10), 9);
    // A recording that begins in the air was drawing before.
    const air = drainSteps(track, makeFlight(track, { beginsInAir: true }), battery, regimes, lag_s);
    expect((air[0]?.times_min[HOVER] ?? 0) * 60).toBeCloseTo(20, 9);
  });

  it("looks at the flight alone", () => {
    const track = makeTrack(times(9), { battery_pct: [95, 94, 90, 90, 89, 89, 88, 88, 50, 40] });
    const flight = makeFlight(track, { first: 2, last: 7 });
    const found = drainSteps(
      track,
      flight,
      track.columns.battery_pct ?? new Float64Array(0),
      new Uint8Array(6).fill(CRUISE),
    );
    expect(drops(found)).toEqual([[1, 2]]);
    expect(found[0]?.times_min[CRUISE]).toBeCloseTo(2 / 60, 12);
  });
});
