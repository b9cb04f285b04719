import { radians } from "../num/bearing.js";

/**
 * Ground speed on a course, the nose turned into the wind to hold it.
 *
 * headwind w = W·cos(θ − c), crosswind x = W·sin(θ − c), G = √(V² − x²) − w.
 * Source: wind triangle as in FAA Pilot's Handbook of Aeronautical Knowledge, chapter Navigation.
 * @param airSpeed_ms V > 0
 * @param windSpeed_ms W ≥ 0
 * @param windFrom_deg θ, where the wind comes from, true
 * @param course_deg c, true
 * @returns G, m/s: 0 or less is no headway; 0 where the crosswind alone exceeds the air speed and the course cannot be
 *   held. NaN where an input is NaN.
 */
export function groundSpeed_ms(
  airSpeed_ms: number,
  windSpeed_ms: number,
  windFrom_deg: number,
  course_deg: number,
): number {
  const angle = radians(windFrom_deg - course_deg);
  return groundSpeedIn_ms(airSpeed_ms, windSpeed_ms, Math.sin(angle), Math.cos(angle));
}

/**
 * The same for many speeds on one course, its sine and cosine worked out once.
 * @param sin, @param cos of the angle θ − c that the wind blows from, off the course
 * @returns as `groundSpeed_ms`
 */
export function groundSpeedIn_ms(airSpeed_ms: number, windSpeed_ms: number, sin: number, cos: number): number {
  const crosswind_ms = windSpeed_ms * sin;
  const left = airSpeed_ms * airSpeed_ms - crosswind_ms * crosswind_ms;
  if (left <= 0) return 0;
  return Math.sqrt(left) - windSpeed_ms * cos;
}
