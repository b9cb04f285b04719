import { median } from "../num/quantile.js";
import type { Track } from "../track/track.js";
import { geopotential_m, standardAir, STANDARD_DENSITY } from "./atmosphere.js";

/** Outside temperatures; a reading beyond them is that of something else. */
const COLDEST_C = -60;
const WARMEST_C = 60;
const ZERO_C_IN_K = 273.15;

/** The density of the air that a flight was flown in, and how it is known. */
export interface FlightAir {
  readonly density_kgm3: number;
  /** For people: `standard atmosphere at 1480 m, 12 °C in the log`. */
  readonly from: string;
  /** False where no altitude is logged and sea level stands for it. */
  readonly isAltitudeKnown: boolean;
}

/**
 * The air of a flight: the standard atmosphere at the median altitude, which is taken as geometric above mean sea level
 * (the ellipsoid's where nothing else is logged: up to 100 m off, 1 % of the density), with the logged air temperature.
 *
 * Without an altitude it is that at sea level, and `from` says so: thin air then goes unseen.
 */
export function flightAir(track: Track, flight: { readonly first: number; readonly last: number }): FlightAir {
  const { altitude_m, altitudeEllipsoidal_m, temperature_C } = track.columns;
  const within = (column: Float64Array | undefined): number =>
    column === undefined ? Number.NaN : median(column.subarray(flight.first, flight.last + 1));
  const overSea_m = within(altitude_m);
  const height_m = Number.isNaN(overSea_m) ? within(altitudeEllipsoidal_m) : overSea_m;
  if (Number.isNaN(height_m)) {
    const from = "standard atmosphere at sea level, no altitude in the log";
    return { density_kgm3: STANDARD_DENSITY, from, isAltitudeKnown: false };
  }
  const standard = standardAir(geopotential_m(height_m));
  const read_C = within(temperature_C);
  const isAir = read_C >= COLDEST_C && read_C <= WARMEST_C;
  const deviation_K = isAir ? read_C + ZERO_C_IN_K - standard.temperature_K : 0;
  const { density_kgm3 } = standardAir(geopotential_m(height_m), deviation_K);
  const at = `standard atmosphere at ${height_m.toFixed(0)} m`;
  return { density_kgm3, from: isAir ? `${at}, ${read_C.toFixed(0)} °C in the log` : at, isAltitudeKnown: true };
}

/** @returns how much more power it takes to stay up in this air than at sea level: (ρ0/ρ)^½ by the actuator disc */
export function thinAirFactor({ density_kgm3 }: FlightAir): number {
  return Math.sqrt(STANDARD_DENSITY / density_kgm3);
}
