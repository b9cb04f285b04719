import { type FlightAir, thinAirFactor } from "../air/flight-air.js";
import type { Config } from "../config/declared.js";
import type { Flight } from "../track/flights.js";
import { hasValues } from "../track/has-values.js";
import type { Problem, Track } from "../track/track.js";
import type { ToldRates } from "./drain.js";
import { climbFactor, discArea_m2, hoverFlow_ms, hoverPower_W } from "./momentum.js";
import { CLIMB, REGIMES } from "./regimes.js";

/** Project defaults, one standard deviation: a pack that is not new, a figure rounded, an aircraft loaded otherwise. */
export const MEASURED_SPREAD_PCT = 10;
export const POWER_SPREAD_PCT = 10;
export const ENDURANCE_SPREAD_PCT = 15;
/** Momentum theory knows neither the body's drag nor what the wind does to the discs. */
export const BODY_SPREAD_PCT = 30;
/** Project default, on the safe side of what small rotors with motors and controllers reach. */
export const BODY_EFFICIENCY = 0.5;
/** A regime's power is believed once it was flown this long. */
const MEASURED_ENOUGH_S = 10;
/** Air this much thinner is worth a word where a figure is not corrected for it. */
const THIN_WORTH = 1.03;

/**
 * Volts × amps of the log, mean of each regime, against the declared capacity at its nominal voltage, or at the flight's mean
 * voltage where none is declared. A log that counts discharge as negative is turned round.
 * @param regimes of the flight's rows
 * @returns undefined without voltage, current or a declared capacity
 */
export function measuredPower(
  config: Config,
  track: Track,
  flight: Flight,
  regimes: Uint8Array,
): ToldRates | undefined {
  const { capacity_mAh, nominalVoltage_V } = config.declared.aircraft;
  const { voltage_V, current_A, time_s } = track.columns;
  if (capacity_mAh === undefined || !hasValues(voltage_V, flight) || !hasValues(current_A, flight)) return undefined;
  const joules = REGIMES.map(() => 0);
  const seconds = REGIMES.map(() => 0);
  let voltSeconds = 0;
  for (const { from, to } of flight.segments) {
    for (let i = from; i < to - 1; i += 1) {
      const step_s = (time_s[i + 1] ?? 0) - (time_s[i] ?? 0);
      const volts = voltage_V[i] ?? Number.NaN;
      const watts = volts * (current_A[i] ?? Number.NaN);
      const regime = regimes[i - flight.first] ?? 0;
      if (Number.isNaN(watts)) continue;
      joules[regime] = (joules[regime] ?? 0) + watts * step_s;
      seconds[regime] = (seconds[regime] ?? 0) + step_s;
      voltSeconds += volts * step_s;
    }
  }
  const all_s = seconds.reduce((sum, time) => sum + time, 0);
  const sign = joules.reduce((sum, energy) => sum + energy, 0) < 0 ? -1 : 1;
  const full_V = nominalVoltage_V ?? voltSeconds / all_s;
  const rates = joules.map((energy, r) => {
    const time = seconds[r] ?? 0;
    return time < MEASURED_ENOUGH_S ? Number.NaN : toPctPerMin((sign * energy) / time, capacity_mAh, full_V);
  });
  const against = nominalVoltage_V === undefined ? `${full_V.toFixed(1)} V, this flight's mean` : `${full_V} V`;
  const from = `volts × amps of the log against ${capacity_mAh} mAh × ${against}`;
  return { basis: "measured", from, rates, spread_pct: MEASURED_SPREAD_PCT };
}

/**
 * What is declared of the aircraft in place of `drain`: power, endurance or body.
 * @param climb_ms of a recovery, for the power of a climb
 * @returns undefined where nothing is declared or the battery that it takes is not; the latter is a problem
 */
export function declaredSource(
  config: Config,
  air: FlightAir,
  climb_ms: number,
  problems: Problem[],
): ToldRates | undefined {
  const { power_W, endurance_s, body, capacity_mAh, nominalVoltage_V } = config.declared.aircraft;
  const key = power_W !== undefined ? "power" : endurance_s !== undefined ? "endurance" : "body";
  const place = config.places.get(`aircraft.${key}`) ?? "declared";
  if (endurance_s !== undefined) {
    const rate = (seconds: number | undefined): number => (seconds === undefined ? Number.NaN : 6000 / seconds);
    const rates = [rate(endurance_s.hover), Number.NaN, rate(endurance_s.cruise), Number.NaN];
    const from = `endurance, ${place}${thinAirNote(air)}`;
    return { basis: "declared", from, rates, spread_pct: ENDURANCE_SPREAD_PCT };
  }
  if (power_W === undefined && body === undefined) return undefined;
  if (capacity_mAh === undefined || nominalVoltage_V === undefined) {
    const message = `\`aircraft.${key}\` is not used: to make a percentage of it takes \`battery.capacity\` and \`battery.nominal_voltage\`.`;
    problems.push({ severity: "warning", code: "drain-incomplete", message, line: undefined });
    return undefined;
  }
  const toRate = (watts: number): number => toPctPerMin(watts, capacity_mAh, nominalVoltage_V);
  if (power_W !== undefined) {
    const rates = REGIMES.map((regime) => toRate(power_W[regime]));
    return { basis: "declared", from: `power, ${place}${thinAirNote(air)}`, rates, spread_pct: POWER_SPREAD_PCT };
  }
  return body && { basis: "declared", ...bodyRates(body, air, climb_ms, toRate, place), spread_pct: BODY_SPREAD_PCT };
}

/** Hover and climb by momentum theory; cruise and descent as the hover, which is the safe side. */
function bodyRates(
  body: NonNullable<Config["declared"]["aircraft"]["body"]>,
  air: FlightAir,
  climb_ms: number,
  toRate: (watts: number) => number,
  place: string,
): Pick<ToldRates, "from" | "rates"> {
  const rotors = { mass_kg: body.mass_kg, discArea_m2: discArea_m2(body.rotors, body.rotorDiameter_m) };
  const hover_W = hoverPower_W(rotors, air.density_kgm3, body.efficiency ?? BODY_EFFICIENCY);
  const factor = climbFactor(climb_ms, hoverFlow_ms(rotors, air.density_kgm3));
  const rates = REGIMES.map((_, regime) => toRate(regime === CLIMB ? factor * hover_W : hover_W));
  const efficiency = body.efficiency === undefined ? `, efficiency ${BODY_EFFICIENCY} assumed` : "";
  return { rates, from: `momentum theory of the body, ${place}${efficiency}; ${air.from}` };
}

function toPctPerMin(power_W: number, capacity_mAh: number, nominal_V: number): number {
  const full_Wh = (capacity_mAh / 1000) * nominal_V;
  return ((power_W / full_Wh) * 100) / 60;
}

function thinAirNote(air: FlightAir): string {
  const factor = thinAirFactor(air);
  if (factor < THIN_WORTH) return "";
  return `; not corrected for thin air, which takes ${Math.round((factor - 1) * 100)} % more than at sea level (${air.from})`;
}
