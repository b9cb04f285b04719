import { roundValue } from "../num/round.js";
import type { NamedFlight } from "./copies.js";

/** @returns minutes in the air of flights together */
export function minutesOf(flights: readonly NamedFlight[]): number {
  return roundValue(flights.reduce((sum, { flight }) => sum + flight.airborne_s, 0) / 60) ?? 0;
}

/** @returns `1 flight`, `2 flights` */
export function counted(n: number, noun: string): string {
  return `${n} ${noun}${n === 1 ? "" : "s"}`;
}

/** @returns a value to so many decimals, rounded down: what does not reach a limit must not read as if it did. */
export function floor(value: number, digits: number): number {
  return Math.floor(value * 10 ** digits + 1e-6) / 10 ** digits;
}
