/** Sea level of the standard atmosphere. Source: ICAO Doc 7488/3, ISO 2533:1975 (as quoted by several public tables). */
const SEA_LEVEL = { temperature_K: 288.15, pressure_Pa: 101_325 } as const;
const LAPSE_K_PER_M = 0.0065;
const GAS_J_PER_KG_K = 287.05287;
export const GRAVITY_MS2 = 9.80665;
/** Radius of the geopotential relation, m. Source: as above. */
const EARTH_M = 6_356_766;
/** The formulas here hold for the lowest layer alone. */
const LOWEST_M = -1000;
const HIGHEST_M = 11_000;

/** Density of the standard atmosphere at sea level, kg/m³. */
export const STANDARD_DENSITY = 1.225;

/** Air at a height. */
export interface Air {
  readonly temperature_K: number;
  readonly pressure_Pa: number;
  readonly density_kgm3: number;
}

/**
 * Air of the standard atmosphere at a **geopotential** height, its pressure kept and its temperature moved by a deviation.
 *
 * Geopotential and geometric height differ by 1.4 m at 3000 m (13 Pa); `geopotential_m` turns one into the other.
 * @param height_m geopotential, above mean sea level; held to −1000–11000 m, the layer in which the formulas hold
 * @param deviation_K how much warmer the air is than the standard one
 * @returns NaN in all where an input is NaN
 * Source: ICAO Doc 7488/3; US Standard Atmosphere 1976, the same below 32 km.
 */
export function standardAir(height_m: number, deviation_K = 0): Air {
  // Math.min and Math.max hand NaN on.
  const held_m = Math.min(Math.max(height_m, LOWEST_M), HIGHEST_M);
  const standard_K = SEA_LEVEL.temperature_K - LAPSE_K_PER_M * held_m;
  const exponent = GRAVITY_MS2 / (GAS_J_PER_KG_K * LAPSE_K_PER_M);
  const pressure_Pa = SEA_LEVEL.pressure_Pa * (standard_K / SEA_LEVEL.temperature_K) ** exponent;
  const temperature_K = standard_K + deviation_K;
  return { temperature_K, pressure_Pa, density_kgm3: pressure_Pa / (GAS_J_PER_KG_K * temperature_K) };
}

/**
 * @param geometric_m height above mean sea level as a tape would measure it
 * @returns the geopotential height, m
 * Source: h = 6356766·z / (6356766 + z), ICAO Doc 7488/3.
 */
export function geopotential_m(geometric_m: number): number {
  return (EARTH_M * geometric_m) / (EARTH_M + geometric_m);
}
