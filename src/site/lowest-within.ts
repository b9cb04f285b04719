import { type Ground, noSpot } from "./ground.js";
import type { Box } from "./terrain-window.js";

/** @returns the lowest ground in a box, exactly, m; NaN where not all of it is known */
export function lowestWithin(ground: Ground, { west_deg, south_deg, east_deg, north_deg }: Box): number {
  const spot = noSpot();
  const ring = [
    west_deg,
    south_deg,
    east_deg,
    south_deg,
    east_deg,
    north_deg,
    west_deg,
    north_deg,
    west_deg,
    south_deg,
  ];
  ground.footprint([Float64Array.from(ring)], spot, -1);
  // Searched upside down; a plain at 0 has no sign.
  return spot.isWhole ? 0 - spot.z_m : Number.NaN;
}
