import { AXIS_M, ECCENTRICITY_2 } from "./wgs84.js";

const RAD_PER_DEG = Math.PI / 180;
/** Above it the terms left out grow with the square of the latitude's tangent. */
const MOST_LATITUDE_DEG = 80;
/** Square of the angle that 4 km are. */
const MOST_ANGLE_2 = (4000 / AXIS_M) ** 2;

/** A short geodesic by its middle; written over, since a log has two a row. */
export interface NearLine {
  /** Its components at the mean latitude, m. */
  north_m: number;
  east_m: number;
  /** By how much its course turns from the first point to the middle, rad. */
  turn_rad: number;
}

/** @returns a line to be written over */
export function noNearLine(): NearLine {
  return { north_m: Number.NaN, east_m: Number.NaN, turn_rad: Number.NaN };
}

/**
 * Gauss's mid-latitude formula with its terms of third order, as in textbooks of geometric geodesy (from memory): the
 * geodesic on WGS84 to 2e-8 m in length and across, which tests hold to the library.
 * @param out is written unless the answer is false
 * @returns false beyond some 4 km or 80° of latitude, across the antimeridian, and where a coordinate is NaN
 */
export function writeNearLine(
  lat1_deg: number,
  lon1_deg: number,
  lat2_deg: number,
  lon2_deg: number,
  out: NearLine,
): boolean {
  const middle_deg = (lat1_deg + lat2_deg) / 2;
  if (!(Math.abs(middle_deg) < MOST_LATITUDE_DEG)) return false;
  const middle_rad = RAD_PER_DEG * middle_deg;
  const sin = Math.sin(middle_rad);
  const cos = Math.cos(middle_rad);
  const north = RAD_PER_DEG * (lat2_deg - lat1_deg);
  const turn = RAD_PER_DEG * (lon2_deg - lon1_deg);
  const east = turn * cos;
  const north2 = north * north;
  const east2 = east * east;
  if (!(north2 + east2 < MOST_ANGLE_2)) return false;
  const w2 = 1 - ECCENTRICITY_2 * sin * sin;
  const w = Math.sqrt(w2);
  /** η², the excess over 1 of the ratio V² of the two radii of curvature; t is the tangent of the latitude. */
  const eta2 = (ECCENTRICITY_2 * cos * cos) / (1 - ECCENTRICITY_2);
  const v2 = 1 + eta2;
  const v4 = v2 * v2;
  const eta2t2 = (ECCENTRICITY_2 * sin * sin) / (1 - ECCENTRICITY_2);
  const half = turn * sin;
  const crossRadius_m = AXIS_M / w;
  const meridianRadius_m = crossRadius_m / v2;
  const northward = 1 + ((1 - 2 * eta2) * east2) / 24 + ((eta2 - eta2t2) * north2) / (8 * v4);
  out.north_m = meridianRadius_m * north * (1 - (turn * turn) / 8) * northward;
  const eastward = 1 - (half * half) / 24 + ((1 + eta2 - 9 * eta2t2) * north2) / (24 * v4);
  out.east_m = crossRadius_m * east * eastward;
  const converging = 1 + ((3 + 8 * eta2 + 5 * eta2 * eta2) * north2) / (24 * v4) + ((1 + eta2) * east2) / 12;
  out.turn_rad = (half / 2) * converging;
  return true;
}
