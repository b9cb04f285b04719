import type { Speed, Speeds } from "../aircraft/speeds.js";

/** Vertical speeds of a recovery, m/s. */
export interface VerticalSpeeds {
  readonly climb_ms: number;
  readonly descent_ms: number;
  readonly landing_ms: number;
}

/** At a level of all but certainty a slow speed would come out as none, or backwards: it keeps this share. */
const SLOWEST_SHARE = 0.1;

/** @returns a known speed at its adverse value */
export function slowed_ms(z: number, { value, spread }: { readonly value: number; readonly spread: number }): number {
  return value * Math.max(SLOWEST_SHARE, 1 - z * spread);
}

/** @returns the vertical speeds, each taken by `of` */
export function vertical({ climb, descent, landing }: Speeds, of: (speed: Speed) => number): VerticalSpeeds {
  return { climb_ms: of(climb), descent_ms: of(descent), landing_ms: of(landing) };
}
