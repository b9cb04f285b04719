import type { Channel } from "./channels.js";
import type { Track } from "./track.js";

/** Slow readings that hold until the next one: a log written at 10 Hz often carries them once a second. */
const HOLDING: readonly Channel[] = [
  "battery_pct",
  "satellites",
  "hdop",
  "fixType",
  "link_pct",
  "voltage_V",
  "current_A",
  "operatorLatitude_deg",
  "operatorLongitude_deg",
  "recoveryLatitude_deg",
  "recoveryLongitude_deg",
  "recoveryHeight_m",
  "windSpeed_ms",
  "windFrom_deg",
  "height_m",
  "altitude_m",
  "heightAboveGround_m",
];

/** Project default: a column filled less than this is written slower than the log; else its blanks are losses. */
const SPARSE_SHARE = 0.6;

/**
 * Holds the last reading of channels that are written slower than the log, for at most `longestGap_s`. A channel that is
 * mostly filled keeps its blanks: there a missing reading is a missing reading, and the moment is unknown.
 */
export function fillSparse(track: Track, longestGap_s: number): Track {
  const columns: Partial<Record<Channel, Float64Array>> = {};
  for (const channel of HOLDING) {
    const column = track.columns[channel];
    if (column === undefined || filled(column) >= SPARSE_SHARE * track.length) continue;
    columns[channel] = hold(column, track.columns.time_s, new Set(track.breaks), longestGap_s);
  }
  return { ...track, columns: { ...track.columns, ...columns } };
}

function filled(column: Float64Array): number {
  return column.reduce((n, value) => (Number.isNaN(value) ? n : n + 1), 0);
}

function hold(
  column: Float64Array,
  time_s: Float64Array,
  breaks: ReadonlySet<number>,
  longestGap_s: number,
): Float64Array {
  const out = column.slice();
  let last = -1;
  for (let i = 0; i < out.length; i += 1) {
    if (breaks.has(i)) last = -1;
    if (!Number.isNaN(out[i] ?? Number.NaN)) last = i;
    else if (last >= 0 && (time_s[i] ?? 0) - (time_s[last] ?? 0) <= longestGap_s) out[i] = column[last] ?? Number.NaN;
  }
  return out;
}
