/** Slower than this is no headway: a ground speed of nothing rarely comes out of the arithmetic as exactly 0. */
const NO_HEADWAY_MS = 0.001;

/** @returns minutes for the leg; infinite without headway, 0 for no leg */
export function legTime_min(distance_m: number, ground_ms: number): number {
  if (distance_m === 0) return 0;
  return ground_ms <= NO_HEADWAY_MS ? Number.POSITIVE_INFINITY : distance_m / ground_ms / 60;
}

/** @returns minutes of the climb to the height of the leg; NaN where a height is not known */
export function climbTime_min(height_m: number, legHeight_m: number, climb_ms: number): number {
  const rise_m = legHeight_m - height_m;
  // Written so that an unknown height stays unknown instead of reading as "no climb".
  return rise_m <= 0 ? 0 : rise_m / climb_ms / 60;
}

/** @returns minutes down from the height of the leg, the last `slowHeight_m` at the landing's speed */
export function descentTime_min(
  legHeight_m: number,
  descent_ms: number,
  landing_ms: number,
  slowHeight_m: number,
): number {
  const top_m = legHeight_m < 0 ? 0 : legHeight_m;
  const slow_m = top_m > slowHeight_m ? slowHeight_m : top_m;
  return ((top_m - slow_m) / descent_ms + slow_m / landing_ms) / 60;
}
