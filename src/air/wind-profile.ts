/** The profile is used between these heights over the ground, m. */
export const PROFILE_LOWEST_M = 2;
export const PROFILE_HIGHEST_M = 200;

/** Exponent over open ground in neutral air. Source: wind profile power law, about 1/7 (reference table in docs/model.md). */
export const SHEAR_DEFAULT = 1 / 7;

/**
 * Wind speed at a height, by the power law W(z) = W_ref·(z / z_ref)^α, heights held to 2–200 m.
 * @param speed_ms at the reference height
 * @param reference_m, @param height_m over the ground
 * @param shear α
 * @returns m/s; NaN where an input is NaN
 */
export function windAtHeight_ms(speed_ms: number, reference_m: number, height_m: number, shear: number): number {
  if (speed_ms === 0) return Number.isNaN(height_m) ? Number.NaN : 0;
  return speed_ms * power(hold(height_m) / hold(reference_m), shear);
}

// Most moments of a flight ask for the leg's height, and each for its wind and its gust.
let lastRatio = Number.NaN;
let lastShear = Number.NaN;
let lastPower = Number.NaN;

function power(ratio: number, shear: number): number {
  if (ratio !== lastRatio || shear !== lastShear) {
    lastRatio = ratio;
    lastShear = shear;
    lastPower = Math.exp(shear * Math.log(ratio));
  }
  return lastPower;
}

/**
 * Wind speed at a height, by the log law W(z) = W_ref·ln(z/z0) / ln(z_ref/z0), heights held to 2–200 m.
 * @param speed_ms at the reference height
 * @param reference_m, @param height_m over the ground
 * @param roughness_m z0, over 0 and under 2 m
 * @returns m/s; NaN where an input is NaN
 * Source: logarithmic wind profile in neutral air (reference table in docs/model.md).
 */
export function logWindAtHeight_ms(
  speed_ms: number,
  reference_m: number,
  height_m: number,
  roughness_m: number,
): number {
  if (speed_ms === 0) return Number.isNaN(height_m) ? Number.NaN : 0;
  return (speed_ms * Math.log(hold(height_m) / roughness_m)) / Math.log(hold(reference_m) / roughness_m);
}

function hold(height_m: number): number {
  return height_m < PROFILE_LOWEST_M ? PROFILE_LOWEST_M : height_m > PROFILE_HIGHEST_M ? PROFILE_HIGHEST_M : height_m;
}
