import type { Basis } from "../config/declared.js";
import { windowMean } from "../num/window-mean.js";
import { CHANNEL_KEYS, type Channel } from "../track/channels.js";
import type { Flight } from "../track/flights.js";
import { hasValues } from "../track/has-values.js";
import type { Track } from "../track/track.js";
import { inferCells } from "./cell-count.js";

/** Voltage of the lowest cell at a flight's rows (index 0 is its first row). */
export interface CellVoltage {
  readonly basis: Basis;
  readonly from: string;
  /** NaN where it is not known. */
  readonly cell_V: Float64Array;
  /** Each cell has its own reading; else the pack's mean stands for all. */
  readonly isOfCells: boolean;
  /** In series; undefined where only the lowest one is logged. */
  readonly cells: number | undefined;
}

/** Why there is no cell voltage. */
export interface NoCellVoltage {
  readonly lacks: "voltage" | "cells";
  readonly from: string;
}

/** Less than this is a cell that is not there, or a lost reading. */
const NO_CELL_V = 0.5;
const CELL_CHANNELS: readonly Channel[] = CHANNEL_KEYS.filter((key) => key.startsWith("cellVoltage"));

/**
 * The voltage of the lowest cell: from the cells' own columns, else the pack's divided by the number of cells, declared or
 * inferred from the voltage at a known charge.
 * @param declaredCells of `aircraft.battery.cells`
 * @param charge_pct a reading of the charge at the track's rows, to infer the count by
 */
export function chooseCellVoltage(
  track: Track,
  flight: Flight,
  declaredCells: { readonly value: number; readonly from: string } | undefined,
  charge_pct: Float64Array | undefined,
): CellVoltage | NoCellVoltage {
  const columns = CELL_CHANNELS.flatMap((key) => {
    const column = track.columns[key];
    const isThere =
      hasValues(column, flight) && column.subarray(flight.first, flight.last + 1).some((v) => v > NO_CELL_V);
    return isThere ? [column] : [];
  });
  if (columns.length > 0) {
    const isLowestAlone = track.columns.cellVoltageLowest_V === columns[0] && columns.length === 1;
    return {
      basis: "measured",
      from: isLowestAlone ? "lowest cell in the log" : "cell voltages in the log",
      cell_V: lowestOf(columns, flight),
      isOfCells: true,
      cells: isLowestAlone ? declaredCells?.value : (declaredCells?.value ?? columns.length),
    };
  }
  const { voltage_V } = track.columns;
  if (voltage_V === undefined || !hasValues(voltage_V, flight))
    return { lacks: "voltage", from: "no voltage in the log" };
  if (declaredCells !== undefined) {
    const from = `pack voltage in the log by ${declaredCells.value} cells (${declaredCells.from})`;
    return ofPack(voltage_V, flight, declaredCells.value, "declared", from);
  }
  const { cells, from } = inferCells(track, flight, charge_pct);
  if (cells === undefined) return { lacks: "cells", from };
  return ofPack(voltage_V, flight, cells, "inferred", from);
}

function ofPack(voltage_V: Float64Array, flight: Flight, cells: number, basis: Basis, from: string): CellVoltage {
  const cell_V = voltage_V.slice(flight.first, flight.last + 1);
  for (let k = 0; k < cell_V.length; k += 1) {
    const volts = (cell_V[k] ?? Number.NaN) / cells;
    cell_V[k] = volts > NO_CELL_V ? volts : Number.NaN;
  }
  return { basis, from, cell_V, isOfCells: false, cells };
}

/** The least of the columns at each row; NaN where one of them has no reading, which may be the lowest. */
function lowestOf(columns: readonly Float64Array[], { first, last }: Flight): Float64Array {
  const out = new Float64Array(last - first + 1).fill(Number.NaN);
  for (let k = 0; k < out.length; k += 1) {
    let least = Number.POSITIVE_INFINITY;
    for (const column of columns) {
      const volts = column[first + k] ?? Number.NaN;
      // Math.min hands NaN on.
      least = Math.min(least, volts > NO_CELL_V ? volts : Number.NaN);
    }
    out[k] = least;
  }
  return out;
}

/**
 * Means of a flight's cell voltage around each row, where that window lies within a segment: a single row that dips is
 * no sag, and what the pack reads on the ground is not loaded.
 * @param over_s the whole window
 * @returns one value a row of the flight; NaN at the ends of segments and where the window holds no reading
 */
export function cellMeans_V(track: Track, flight: Flight, cell_V: Float64Array, over_s: number): Float64Array {
  const { time_s } = track.columns;
  const times = time_s.subarray(flight.first, flight.last + 1);
  const means = new Float64Array(cell_V.length).fill(Number.NaN);
  for (const segment of flight.segments) {
    const from = segment.from - flight.first;
    const to = segment.to - flight.first;
    windowMean(times, cell_V, from, to, over_s / 2, means);
    const begins_s = (times[from] ?? 0) + over_s / 2;
    const ends_s = (times[to - 1] ?? 0) - over_s / 2;
    for (let k = from; k < to; k += 1) {
      const at_s = times[k] ?? 0;
      if (at_s < begins_s - 1e-9 || at_s > ends_s + 1e-9 || Number.isNaN(cell_V[k] ?? Number.NaN))
        means[k] = Number.NaN;
    }
  }
  return means;
}

/** How far voltage and current are compared with their own mean around a row, s. */
const AROUND_S = 10;
const ENOUGH_PAIRS = 30;
/** The current must vary by this share of its mean, or the slope is noise. */
const ENOUGH_VARIATION = 0.05;

/**
 * Internal resistance of one cell by how its voltage follows the current: least squares of both less their means over
 * twenty seconds, which takes out the discharge. Evidence only: noise in the current pulls it down, and it says nothing of
 * the cells one by one. (Project method.)
 * @returns milliohms; NaN without a current, or with one that hardly varies
 */
export function cellResistance_mOhm(track: Track, flight: Flight, cell_V: Float64Array): number {
  const { time_s, current_A } = track.columns;
  if (current_A === undefined) return Number.NaN;
  const times = time_s.subarray(flight.first, flight.last + 1);
  const amps = current_A.slice(flight.first, flight.last + 1);
  const [meanV, meanA] = [cell_V, amps].map((values) => {
    const out = new Float64Array(values.length).fill(Number.NaN);
    for (const { from, to } of flight.segments) {
      windowMean(times, values, from - flight.first, to - flight.first, AROUND_S, out);
    }
    return out;
  });
  let pairs = 0;
  let product = 0;
  let square = 0;
  let mean = 0;
  for (let k = 0; k < amps.length; k += 1) {
    const dA = (amps[k] ?? Number.NaN) - (meanA?.[k] ?? Number.NaN);
    const dV = (cell_V[k] ?? Number.NaN) - (meanV?.[k] ?? Number.NaN);
    if (Number.isNaN(dA) || Number.isNaN(dV)) continue;
    pairs += 1;
    product += dA * dV;
    square += dA * dA;
    mean += amps[k] ?? 0;
  }
  const isEnough = pairs >= ENOUGH_PAIRS && Math.sqrt(square / pairs) >= ENOUGH_VARIATION * Math.abs(mean / pairs);
  const ohm = isEnough ? -product / square : Number.NaN;
  return ohm > 0 ? ohm * 1000 : Number.NaN;
}
