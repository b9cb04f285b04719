import type { Leg, LegClearance } from "./site.js";

/**
 * @returns a leg to be written over. Made here alone, and of fractions from the first, so that all legs have one shape:
 *   code that was compiled for one is thrown away at another.
 */
export function blankLeg(corridor_m: number): Leg {
  const leg: Leg = {
    from: { latitude_deg: Number.NaN, longitude_deg: Number.NaN },
    to: { latitude_deg: Number.NaN, longitude_deg: Number.NaN },
    path_m: Number.NaN,
    corridor_m: Number.NaN,
    knownOnly: false,
  };
  leg.corridor_m = corridor_m;
  return leg;
}

/** @returns an answer to be written over */
export function blankClearance(): LegClearance {
  return {
    centre_m: Number.NaN,
    corridor_m: Number.NaN,
    latitude_deg: Number.NaN,
    longitude_deg: Number.NaN,
    over: -1,
    groundSeen_share: Number.NaN,
  };
}
