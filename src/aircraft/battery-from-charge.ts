import type { Flight } from "../track/flights.js";
import { hasValues } from "../track/has-values.js";
import type { Track } from "../track/track.js";

/** A battery percent worked out from the charge used, or why it could not be. */
export interface ChargedBattery {
  /** One value a row of the track; undefined where it cannot be told. */
  readonly battery_pct: Float64Array | undefined;
  /** For people: what it was taken from, or what is missing. */
  readonly from: string;
  /** More was used than the declared capacity. */
  readonly isOverdrawn: boolean;
}

/** Project defaults. A count that begins at no more than this, of the capacity, began with the pack. */
const NEAR_NONE_SHARE = 0.02;
/** A count that falls by more than this began anew. */
const ANEW_SHARE = 0.01;
/** A cell that reads less than this before it has given anything is not full: at rest, and under load in the air. */
const FULL_AT_REST_V = 4.0;
const FULL_LOADED_V = 3.7;

/**
 * Battery percent from the charge used and the declared capacity, where a log has no percent.
 *
 * The count says what left the pack, not what was in it: it is taken as full only where the log's count begins near none,
 * and not where a cell voltage then says otherwise. Never from a voltage alone.
 * @param capacity_mAh of a full pack
 * @param cell_V highest voltage of a cell when the count began; NaN where it is not known
 */
export function batteryFromCharge(
  track: Track,
  flight: Flight,
  capacity_mAh: number,
  cell_V: (row: number) => number,
): ChargedBattery {
  const used_mAh = track.columns.chargeUsed_mAh;
  if (!hasValues(used_mAh, flight)) return none("no charge used in the log");
  const out = new Float64Array(track.length).fill(Number.NaN);
  let before_mAh = Number.NaN;
  let isFromFull = false;
  let isOverdrawn = false;
  let began = 0;
  for (let i = 0; i <= flight.last; i += 1) {
    const now_mAh = used_mAh[i] ?? Number.NaN;
    if (Number.isNaN(now_mAh)) continue;
    const isAnew = now_mAh < before_mAh - ANEW_SHARE * capacity_mAh;
    // In the air no pack is changed: a count that begins anew there has lost what was used.
    if (isAnew && i > flight.first) break;
    if (isAnew || Number.isNaN(before_mAh)) {
      isFromFull = now_mAh <= NEAR_NONE_SHARE * capacity_mAh;
      began = i;
    }
    before_mAh = now_mAh;
    if (!isFromFull) continue;
    isOverdrawn ||= now_mAh > capacity_mAh;
    out[i] = Math.max(0, 100 * (1 - now_mAh / capacity_mAh));
  }
  if (!hasValues(out, flight)) {
    return none("the charge used does not begin near none, so it is not known how full the pack was");
  }
  if (cell_V(began) < (began < flight.first ? FULL_AT_REST_V : FULL_LOADED_V)) {
    return none(`the charge used begins near none, but at ${cell_V(began).toFixed(2)} V a cell the pack was not full`);
  }
  return {
    battery_pct: out,
    from: `charge used, of ${capacity_mAh} mAh, the pack taken as full when the count began`,
    isOverdrawn,
  };
}

function none(from: string): ChargedBattery {
  return { battery_pct: undefined, from, isOverdrawn: false };
}
