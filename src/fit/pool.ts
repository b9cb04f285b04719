import type { Drain } from "../aircraft/drain.js";
import { fitDrain } from "../aircraft/fit-drain.js";
import type { FlightEvidence } from "./evidence.js";
import { flightSpread, type FlightSpread } from "./flight-spread.js";
import { type Ratio, ratiosOf, stepNoise } from "./ratios.js";

/** Rates from the steps of many flights, and how well the flights agree with them. */
export interface Pool {
  readonly drain: Drain;
  /** Of each flight, in the order given. */
  readonly ratios: readonly Ratio[];
  readonly noise_pct2PerMin: number;
  readonly spread: FlightSpread;
  /**
   * One standard deviation of another flight from these rates, as a share: spread from flight to flight, once for that
   * flight and once in n for the pool's own mean, and how unsure the rates are.
   */
  readonly ahead: number;
}

/** @returns rates over all steps of the flights; undefined where no regime has enough */
export function poolFlights(flights: readonly FlightEvidence[]): Pool | undefined {
  const groups = flights.map(({ steps }) => steps).filter((steps) => steps.length > 0);
  const drain = fitDrain(groups.flat(), "pooled logs");
  if (drain === undefined) return undefined;
  const noise_pct2PerMin = stepNoise(groups, drain);
  const ratios = ratiosOf(
    flights.map(({ steps }) => steps),
    drain,
    noise_pct2PerMin,
  );
  const known = ratios.filter(({ ratio }) => !Number.isNaN(ratio));
  const spread = flightSpread(known);
  const rates2 = known.reduce((sum, { rateError }) => sum + rateError ** 2, 0) / known.length;
  const ahead = Math.sqrt(spread.believed ** 2 * (1 + 1 / known.length) + rates2);
  return { drain, ratios, noise_pct2PerMin, spread, ahead };
}
