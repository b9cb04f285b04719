import { metresPerDegreeEast, metresPerDegreeNorth } from "../num/metres-per-degree.js";
import type { Spot } from "./picture.js";

/** A flat frame for pictures: metres east and north of its origin, on the scale of WGS84 there. */
export interface LocalFrame {
  readonly spot: (latitude_deg: number, longitude_deg: number) => Spot;
  readonly latitude_deg: (north_m: number) => number;
  readonly longitude_deg: (east_m: number) => number;
}

/**
 * @returns a frame about a position. It is for the eye: within 20 km of the origin, up to 60° of latitude, it is off by
 *   under 1 %, far less than a line's width at that scale
 */
export function localFrame(latitude0_deg: number, longitude0_deg: number): LocalFrame {
  const perEast_m = Math.max(1, metresPerDegreeEast(latitude0_deg));
  const perNorth_m = metresPerDegreeNorth(latitude0_deg);
  return {
    spot: (latitude_deg, longitude_deg) => {
      const apart_deg = longitude_deg - longitude0_deg;
      // Never the long way round.
      return [(apart_deg - 360 * Math.round(apart_deg / 360)) * perEast_m, (latitude_deg - latitude0_deg) * perNorth_m];
    },
    latitude_deg: (north_m) => latitude0_deg + north_m / perNorth_m,
    longitude_deg: (east_m) => longitude0_deg + east_m / perEast_m,
  };
}
