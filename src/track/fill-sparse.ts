import { countMissing } from "../num/columns.js";
import { CHANNEL_KEYS, type Channel } from "./channels.js";
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
  "chargeUsed_mAh",
  ...CHANNEL_KEYS.filter((key) => key.startsWith("cellVoltage")),
  "operatorLatitude_deg",
  "operatorLongitude_deg",
  "windSpeed_ms",
  "windFrom_deg",
  "height_m",
  "altitude_m",
  "heightAboveGround_m",
];

/** Settings hold until they are changed, however long that is: they do not age as a reading does. */
const SETTINGS: readonly Channel[] = ["recoveryLatitude_deg", "recoveryLongitude_deg", "recoveryHeight_m"];

/** Positions lie on a line between fixes, since an aircraft does not stand still from one to the next. */
const POSITIONS: readonly Channel[] = ["latitude_deg", "longitude_deg"];

/** Project default: a column filled less than this is written slower than the log; else its blanks are losses. */
const SPARSE_SHARE = 0.6;

/**
 * Holds the last reading of channels that are written slower than the log, for at most `longestGap_s`; settings hold
 * without limit, and positions are joined by straight lines over at most `longestGap_s`. A channel that is
 * mostly filled keeps its blanks: there a missing reading is a missing reading, and the moment is unknown.
 */
export function fillSparse(track: Track, longestGap_s: number): Track {
  const { time_s } = track.columns;
  const breaks = new Set(track.breaks);
  const columns: Partial<Record<Channel, Float64Array>> = {};
  const fill = (channels: readonly Channel[], filler: (column: Float64Array) => Float64Array): void => {
    for (const channel of channels) {
      const column = track.columns[channel];
      if (column !== undefined && column.length - countMissing(column) < SPARSE_SHARE * track.length)
        columns[channel] = filler(column);
    }
  };
  fill(HOLDING, (column) => hold(column, time_s, breaks, longestGap_s));
  fill(SETTINGS, (column) => hold(column, time_s, breaks, Number.POSITIVE_INFINITY));
  fill(POSITIONS, (column) => join(column, time_s, breaks, longestGap_s));
  return { ...track, columns: { ...track.columns, ...columns } };
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

/** Straight lines between values that are near enough in time; never across a break, nor round the antimeridian. */
function join(
  column: Float64Array,
  time_s: Float64Array,
  breaks: ReadonlySet<number>,
  longestGap_s: number,
): Float64Array {
  const out = column.slice();
  const time = (i: number): number => time_s[i] ?? 0;
  let last = -1;
  for (let i = 0; i < column.length; i += 1) {
    if (breaks.has(i)) last = -1;
    const value = column[i] ?? Number.NaN;
    if (Number.isNaN(value)) continue;
    const from = column[last] ?? Number.NaN;
    if (last >= 0 && time(i) - time(last) <= longestGap_s && Math.abs(value - from) < 180) {
      const slope = (value - from) / (time(i) - time(last));
      for (let k = last + 1; k < i; k += 1) out[k] = from + slope * (time(k) - time(last));
    }
    last = i;
  }
  return out;
}
