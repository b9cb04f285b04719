import { cellMeans_V, cellResistance_mOhm } from "../aircraft/cell-voltage.js";
import type { Replay } from "./replay.js";

export type { CellVoltage } from "../aircraft/cell-voltage.js";

/** Where in a flight a cell was lowest under load. */
export interface LowestCell {
  /** Index among the flight's rows, the middle of the window. */
  readonly k: number;
  readonly mean_V: number;
  /** Means over the window at every row; NaN where there is none. */
  readonly means_V: Float64Array;
  /** Of the flight's time, with a reading. */
  readonly knownShare: number;
}

/**
 * @param cell_V at the flight's rows, from its inputs
 * @param over_s how long the mean is taken over
 * @returns undefined where no such window in the air has a reading
 */
export function lowestCell(
  { track, flight, moments }: Replay,
  cell_V: Float64Array,
  over_s: number,
): LowestCell | undefined {
  const means_V = cellMeans_V(track, flight, cell_V, over_s);
  let k = -1;
  let known_s = 0;
  let all_s = 0;
  for (let i = 0; i < means_V.length; i += 1) {
    const mean_V = means_V[i] ?? Number.NaN;
    const weight_s = moments.weight_s[i] ?? 0;
    all_s += weight_s;
    if (!Number.isNaN(cell_V[i] ?? Number.NaN)) known_s += weight_s;
    if (!Number.isNaN(mean_V) && (k < 0 || mean_V < (means_V[k] ?? 0))) k = i;
  }
  if (k < 0) return undefined;
  return { k, mean_V: means_V[k] ?? Number.NaN, means_V, knownShare: known_s / all_s };
}

/** @returns internal resistance of one cell, milliohms, as evidence; NaN where it cannot be told */
export function cellResistanceOf_mOhm({ track, flight }: Replay, cell_V: Float64Array): number {
  return cellResistance_mOhm(track, flight, cell_V);
}
