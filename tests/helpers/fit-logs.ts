import type { FlightEvidence, LogEvidence } from "../../src/index.js";

/** True rates of an invented aircraft: hover, climb, cruise, descent, % a minute. */
export const TRUE_RATES = [4, 6, 5, 3.5] as const;

/** A repeatable source of numbers: the mulberry32 generator (public domain). */
export function random(seed: number): { uniform: () => number; normal: () => number } {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal };
}

/** How an invented flight is flown. */
export interface Flown {
  readonly seed: number;
  /** How thirsty it is; 1 is the true rates. */
  readonly factor?: number;
  readonly minutes?: number;
  /** Weights of hover, climb, cruise, descent. */
  readonly mix?: readonly number[];
}

/**
 * Drops of a reading in whole percents over a flight of random spells (5 to 40 s) in the four regimes, worked out here and not
 * by the code under test: the reading is ⌊charge⌋, so each step is exactly 1 %.
 */
export function flownSteps({ seed, factor = 1, minutes = 15, mix = [3, 1, 5, 1] }: Flown): FlightEvidence["steps"] {
  const source = random(seed);
  const all = mix.reduce((sum, weight) => sum + weight, 0);
  const steps: { drop_pct: number; times_min: number[] }[] = [];
  let charge_pct = 99 + source.uniform();
  let times = [0, 0, 0, 0];
  let isWhole = false;
  let regime = 0;
  let left_s = 0;
  for (let s = 0; s < minutes * 60; s += 1) {
    if (left_s <= 0) {
      let pick = source.uniform() * all;
      regime = mix.findIndex((weight) => (pick -= weight) < 0);
      left_s = 5 + 35 * source.uniform();
    }
    left_s -= 1;
    times[regime] = (times[regime] ?? 0) + 1 / 60;
    const before = Math.floor(charge_pct);
    charge_pct -= ((TRUE_RATES[regime] ?? 0) * factor * (1 + 0.1 * source.normal())) / 60;
    if (Math.floor(charge_pct) === before) continue;
    // The first partial step began before the flight.
    if (isWhole) steps.push({ drop_pct: 1, times_min: times });
    isWhole = true;
    times = [0, 0, 0, 0];
  }
  return steps;
}

/** @returns a log with one such flight */
export function flownLog(flown: Flown, path: string = `log-${flown.seed}.csv`): LogEvidence {
  const minutes = flown.minutes ?? 15;
  return {
    path,
    sha256: path,
    flights: [
      {
        index: 1,
        airborne_s: minutes * 60,
        startUtc_s: Date.UTC(2025, 5, 1 + (flown.seed % 28)) / 1000,
        steps: flownSteps(flown),
        speeds_ms: { recovery: undefined, climb: 3, descent: 2.5 },
        hasBattery: true,
      },
    ],
  };
}
