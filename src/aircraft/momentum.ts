import { GRAVITY_MS2 } from "../air/atmosphere.js";

/** What momentum theory needs to know of a multirotor. */
export interface Rotors {
  readonly mass_kg: number;
  /** Of all discs together, m². */
  readonly discArea_m2: number;
}

/** @returns area of all discs, m² */
export function discArea_m2(rotors: number, diameter_m: number): number {
  return rotors * Math.PI * (diameter_m / 2) ** 2;
}

/**
 * Speed of the air through the discs at a hover, v_h = √(m·g / (2·ρ·A)), m/s.
 * Source: actuator disc (momentum) theory, as in any helicopter textbook.
 */
export function hoverFlow_ms({ mass_kg, discArea_m2: area_m2 }: Rotors, density_kgm3: number): number {
  return Math.sqrt((mass_kg * GRAVITY_MS2) / (2 * density_kgm3 * area_m2));
}

/**
 * Power of a hover, P = √((m·g)³ / (2·ρ·A)) / η, W: it grows with mass^1.5 and with ρ^−0.5.
 * @param efficiency η, from the battery to the air: rotors, motors and controllers together, 0–1
 * Source: as above.
 */
export function hoverPower_W(rotors: Rotors, density_kgm3: number, efficiency: number): number {
  return (rotors.mass_kg * GRAVITY_MS2 * hoverFlow_ms(rotors, density_kgm3)) / efficiency;
}

/**
 * Power of a steady climb ÷ that of a hover: x + √(x² + 1), x = v_c / (2·v_h).
 * @param climb_ms v_c ≥ 0
 * Source: momentum theory in axial climb, as above.
 */
export function climbFactor(climb_ms: number, hoverFlow: number): number {
  const x = climb_ms / (2 * hoverFlow);
  return x + Math.sqrt(x * x + 1);
}
