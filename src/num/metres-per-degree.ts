import { AXIS_M, ECCENTRICITY_2 } from "./wgs84.js";

const RAD_PER_DEG = Math.PI / 180;

/**
 * Length of a degree of latitude on WGS84, from the meridian's radius of curvature a(1−e²)/(1−e²sin²φ)^1.5.
 * @returns m, 110 574 at the equator to 111 694 at the poles
 */
export function metresPerDegreeNorth(latitude_deg: number): number {
  const sin = Math.sin(latitude_deg * RAD_PER_DEG);
  const w2 = 1 - ECCENTRICITY_2 * sin * sin;
  return (RAD_PER_DEG * AXIS_M * (1 - ECCENTRICITY_2)) / (w2 * Math.sqrt(w2));
}

/**
 * Length of a degree of longitude on WGS84, from the prime vertical's radius of curvature a/sqrt(1−e²sin²φ).
 * @returns m, 111 320 at the equator to 0 at the poles
 */
export function metresPerDegreeEast(latitude_deg: number): number {
  const sin = Math.sin(latitude_deg * RAD_PER_DEG);
  return (RAD_PER_DEG * AXIS_M * Math.cos(latitude_deg * RAD_PER_DEG)) / Math.sqrt(1 - ECCENTRICITY_2 * sin * sin);
}
