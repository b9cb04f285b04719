import { describe, expect, it } from "vitest";
import type { Drain } from "../../src/aircraft/drain.js";
import { type DrainStep, drainSteps, fitDrain } from "../../src/aircraft/fit-drain.js";
import { alignedDrainSteps } from "../../src/aircraft/gauge-lag.js";
import { CLIMB, DESCENT, REGIMES } from "../../src/aircraft/regimes.js";
import { FULL_NATURE, generate, type Generated, type Leg, type Nature } from "../oracles/flight-generator.js";
import { makeFlight, makeTrack } from "../track/make-track.js";

const LAP: readonly Leg[] = [
  { way: "climb", for_s: 40 },
  { way: "out", for_s: 70 },
  { way: "hover", for_s: 50 },
  { way: "descent", for_s: 40 },
  { way: "home", for_s: 25 },
];
/** Fifteen minutes in four laps. */
const FIFTEEN: readonly Leg[] = [...LAP, ...LAP, ...LAP, ...LAP];

/** Rates that are known, a gauge of whole percents with noise; nothing else varies. */
const KNOWN: Nature = {
  ...FULL_NATURE,
  ratesVary: false,
  wanders: false,
  mostWind_ms: 0,
  mostLag_s: 0,
  noise_pct: 0.1,
  legs: FIFTEEN,
};

function trackOf({ rows }: Generated, reading: (pct: number, row: number) => number = (pct) => pct) {
  const track = makeTrack(
    rows.map(({ time_s }) => time_s),
    { battery_pct: rows.map(({ battery_pct }, row) => reading(battery_pct, row)) },
  );
  const battery_pct = track.columns.battery_pct ?? new Float64Array(0);
  const regimes = Uint8Array.from(rows, ({ way }) => REGIMES.indexOf(way));
  return { track, flight: makeFlight(track), battery_pct, regimes };
}

function stepsOf(flown: Generated, reading?: (pct: number, row: number) => number): readonly DrainStep[] {
  const { track, flight, battery_pct, regimes } = trackOf(flown, reading);
  return alignedDrainSteps(track, flight, battery_pct, regimes).steps;
}

function fit(steps: readonly DrainStep[]): Drain {
  const drain = fitDrain(steps, "generated");
  if (drain === undefined) throw new Error("the flights of this test can be fitted");
  return drain;
}

/** How far each rate is off, as a share of the true one. */
const offOf = (drain: Drain, { rates }: Generated): number[] =>
  drain.middle.map((rate, r) => rate / (rates[r] ?? 1) - 1);
const flights = (nature: Nature, count: number, from = 1): Generated[] =>
  Array.from({ length: count }, (_, i) => generate(from + i, nature));
const within = (offs: readonly number[], limit: number): number =>
  offs.filter((off) => Math.abs(off) <= limit).length / offs.length;

describe("rates of generated flights of 15 minutes, whole percents and noise", () => {
  const flown = flights(KNOWN, 40);
  const fits = flown.map((one) => fit(stepsOf(one)));
  const offs = fits.map((drain, i) => offOf(drain, flown[i] as Generated));

  it("are within 5 % of the known ones, each of the four", () => {
    for (const drain of fits) expect(drain.told).toEqual([true, true, true, true]);
    expect(within(offs.flat(), 0.05)).toBeGreaterThanOrEqual(0.97);
    for (let r = 0; r < 4; r += 1) {
      const rms = Math.sqrt(offs.reduce((sum, off) => sum + (off[r] ?? 0) ** 2, 0) / offs.length);
      expect(rms).toBeLessThan(0.03);
    }
  });

  it("are within 2 % pooled over ten flights", () => {
    for (const first of [0, 10, 20, 30]) {
      const pooled = fit(flown.slice(first, first + 10).flatMap((one) => stepsOf(one)));
      for (const off of offOf(pooled, flown[first] as Generated)) expect(Math.abs(off)).toBeLessThan(0.02);
    }
  });

  it("lie within two of their standard errors in nineteen cases of twenty or so", () => {
    const z = fits.flatMap((drain, i) =>
      drain.middle.map((rate, r) => (rate - (flown[i]?.rates[r] ?? 0)) / Math.sqrt(drain.covariance[r]?.[r] ?? 0)),
    );
    expect(within(z, 2)).toBeGreaterThan(0.88);
    expect(within(z, 1)).toBeLessThan(0.85);
  });
});

describe("a flight without climbs", () => {
  it("invents no climb rate: it is tied, said and bounded", () => {
    const level = { ...KNOWN, legs: FIFTEEN.filter(({ way }) => way !== "climb" && way !== "descent") };
    const [one] = flights(level, 1);
    const drain = fit(stepsOf(one as Generated));
    expect(drain.told[CLIMB]).toBe(false);
    expect(drain.told[DESCENT]).toBe(false);
    expect(drain.from).toContain("climb, descent by ratio from the assumed rates");
    expect(drain.high[CLIMB]).toBeCloseTo(1.3 * (drain.middle[CLIMB] ?? 0), 9);
    expect(drain.low[CLIMB]).toBeCloseTo(0.7 * (drain.middle[CLIMB] ?? 0), 9);
  });
});

describe("a gauge that lags", () => {
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  /** Short legs, as a pilot who works flies them. */
  const LEGS = [1, 2, 3, 4].flatMap((): Leg[] => [
    { way: "climb", for_s: 25 },
    { way: "out", for_s: 60 },
    { way: "hover", for_s: 45 },
    { way: "descent", for_s: 25 },
    { way: "home", for_s: 60 },
    { way: "hover", for_s: 15 },
  ]);
  // Up to 30 s, so 15 s in the mean.
  const flown = flights({ ...KNOWN, legs: LEGS, mostLag_s: 30 }, 40);

  it("makes rates of short regimes like their neighbours', which taking its lag into account undoes", () => {
    const plain = flown.map((one) => {
      const { track, flight, battery_pct, regimes } = trackOf(one);
      return offOf(fit(drainSteps(track, flight, battery_pct, regimes)), one);
    });
    const aligned = flown.map((one) => offOf(fit(stepsOf(one)), one));
    expect(mean(plain.map((off) => off[CLIMB] ?? 0))).toBeLessThan(-0.05);
    for (let r = 0; r < 4; r += 1) expect(Math.abs(mean(aligned.map((off) => off[r] ?? 0)))).toBeLessThan(0.025);
  });

  it("is told to within a few seconds, and none is made up", () => {
    const lag_s = (one: Generated): number => {
      const { track, flight, battery_pct, regimes } = trackOf(one);
      return alignedDrainSteps(track, flight, battery_pct, regimes).lag_s;
    };
    expect(Math.abs(mean(flown.map(lag_s)) - 15)).toBeLessThan(3);
    expect(mean(flights({ ...KNOWN, legs: LEGS }, 20).map(lag_s))).toBeLessThan(2.5);
  });

  it("by a plain delay of 15 s instead of a filter is bounded: a tenth on legs of 25 s, and better than left alone", () => {
    const late = (one: Generated) => (_: number, row: number) => one.rows[Math.max(0, row - 15)]?.battery_pct ?? 97;
    const all = flights({ ...KNOWN, legs: LEGS }, 40);
    const aligned = all.map((one) => offOf(fit(stepsOf(one, late(one))), one));
    const plain = all.map((one) => {
      const { track, flight, battery_pct, regimes } = trackOf(one, late(one));
      return offOf(fit(drainSteps(track, flight, battery_pct, regimes)), one);
    });
    const worst = (offs: readonly number[][]): number =>
      Math.max(...REGIMES.map((_, r) => Math.abs(mean(offs.map((off) => off[r] ?? 0)))));
    expect(worst(aligned)).toBeLessThan(0.1);
    expect(worst(aligned)).toBeLessThan(worst(plain));
  });
});

describe("a gauge that jumps", () => {
  const flown = flights(KNOWN, 10);

  it.each([
    ["falls by 5 % at once and stays there", (pct: number, row: number) => (row < 400 ? pct : pct - 5)],
    ["sticks for a minute and catches up at once", stuck],
  ])("%s: the rates stay within 5 %", (_name, reading) => {
    const offs = flown.map((one) => offOf(fit(stepsOf(one, (pct, row) => reading(pct, row, one))), one));
    expect(within(offs.flat(), 0.05)).toBeGreaterThanOrEqual(0.9);
  });

  function stuck(pct: number, row: number, { rows }: Generated): number {
    return row >= 400 && row < 460 ? (rows[400]?.battery_pct ?? pct) : pct;
  }
});
