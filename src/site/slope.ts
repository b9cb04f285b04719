import { metresPerDegreeEast, metresPerDegreeNorth } from "../num/metres-per-degree.js";
import type { Site } from "./site.js";

/** Project default: the ground this far around the spot is what a landing stands on. */
const LANDING_AROUND_M = 3;
const DEG_PER_RAD = 180 / Math.PI;

/**
 * Slope of the ground that a landing at a spot stands on: by the steeper of both sides, east and west, north and south,
 * over 3 m; on a plane that is its slope.
 * @returns degrees, 0–90; NaN where some of that ground is not known
 */
export function landingSlope_deg(site: Pick<Site, "ground">, latitude_deg: number, longitude_deg: number): number {
  const east_deg = LANDING_AROUND_M / metresPerDegreeEast(latitude_deg);
  const north_deg = LANDING_AROUND_M / metresPerDegreeNorth(latitude_deg);
  const here_m = site.ground(latitude_deg, longitude_deg);
  const rise = (dLat_deg: number, dLon_deg: number): number =>
    Math.abs(site.ground(latitude_deg + dLat_deg, longitude_deg + dLon_deg) - here_m);
  const eastward_m = Math.max(rise(0, east_deg), rise(0, -east_deg));
  const northward_m = Math.max(rise(north_deg, 0), rise(-north_deg, 0));
  return Math.atan(Math.hypot(eastward_m, northward_m) / LANDING_AROUND_M) * DEG_PER_RAD;
}
