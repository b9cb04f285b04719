import type { Flight } from "../track/flights.js";
import { hasValues } from "../track/has-values.js";
import type { Track } from "../track/track.js";

/** How many cells in series a pack has, by its voltage at a known charge. */
export interface InferredCells {
  /** Undefined where the voltage fits no count, or more than one. */
  readonly cells: number | undefined;
  /** The reasoning, for people. */
  readonly from: string;
}

/**
 * Voltage of one lithium cell with 4.2 V at full charge, from the least charge on, %. The upper ends leave room for the
 * reading, the lower ones for 0.3 V of sag. Full 4.2 V, nominal 3.7 V and 0.3–0.5 V under heavy load are from hobby training
 * material (a weak source); the table is a project default.
 */
const CELL_V = [
  { atLeast_pct: 90, low_V: 3.8, high_V: 4.25 },
  { atLeast_pct: 60, low_V: 3.5, high_V: 4.2 },
] as const;
/** The first readings count, before a flight has drained the pack. */
const FIRST_S = 5;
const MOST_CELLS = 14;

/**
 * Tells the number of cells from the pack voltage at the first charge that the log knows, before or in the flight.
 * @param charge_pct one value a row of the track; a reading, never a charge that was itself told from a voltage
 */
export function inferCells(track: Track, flight: Flight, charge_pct: Float64Array | undefined): InferredCells {
  const { time_s, voltage_V } = track.columns;
  if (voltage_V === undefined || !hasValues(voltage_V, flight)) return refused("no voltage in the log");
  if (charge_pct === undefined) return refused("a pack voltage without a charge fits several cell counts");
  let first = 0;
  while (first <= flight.last && !isBoth(charge_pct, voltage_V, first)) first += 1;
  if (first > flight.last) return refused("a pack voltage without a charge fits several cell counts");
  let most_V = 0;
  const until_s = (time_s[first] ?? 0) + FIRST_S;
  for (let i = first; i <= flight.last && (time_s[i] ?? 0) <= until_s; i += 1) {
    if (isBoth(charge_pct, voltage_V, i)) most_V = Math.max(most_V, voltage_V[i] ?? 0);
  }
  const at_pct = charge_pct[first] ?? 0;
  const said = `${most_V.toFixed(1)} V at ${at_pct.toFixed(0)} %`;
  const range = CELL_V.find(({ atLeast_pct }) => at_pct >= atLeast_pct);
  if (range === undefined) return refused(`${said} is too little charge to tell the cells by`);
  const fits: number[] = [];
  for (let n = 1; n <= MOST_CELLS; n += 1) {
    if (most_V / n >= range.low_V && most_V / n <= range.high_V) fits.push(n);
  }
  const [only] = fits;
  if (only === undefined || fits.length > 1) {
    return refused(`${said} fits ${fits.length === 0 ? "no number of 4.2 V cells" : `${fits.join(" or ")} cells`}`);
  }
  return {
    cells: only,
    from: `${said}: ${(most_V / only).toFixed(2)} V a cell, as no other number of 4.2 V cells gives`,
  };
}

function refused(from: string): InferredCells {
  return { cells: undefined, from };
}

function isBoth(charge_pct: Float64Array, voltage_V: Float64Array, i: number): boolean {
  return !Number.isNaN(charge_pct[i] ?? Number.NaN) && (voltage_V[i] ?? Number.NaN) > 0;
}
