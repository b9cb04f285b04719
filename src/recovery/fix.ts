import { jumpSpeeds_ms } from "../track/clean-positions.js";
import { hasValues } from "../track/has-values.js";
import type { Replay } from "./replay.js";

/** Project default: a position that jumped is in doubt for this long. */
const DOUBT_AFTER_JUMP_S = 2;

/** What the log says of the position fix; `fixMissing` counts channels that the flight has but this moment lacks. */
export function fillFix({ track, flight, moments, length }: Replay): void {
  const { satellites, hdop, fixType } = track.columns;
  const logged = [satellites, hdop, fixType].filter((column) => hasValues(column, flight));
  const jumps = jumpSpeeds_ms(track, flight);
  let worst_ms = 0;
  let worst_s = Number.NEGATIVE_INFINITY;
  const { at_s, fixMissing, jump_ms: jumps_ms } = moments;
  fixMissing.fill(logged.length === 0 ? 1 : 0);
  for (const column of logged) countMissingAt(column.subarray(flight.first, flight.last + 1), fixMissing);
  for (let k = 0; k < length; k += 1) {
    const jump_ms = jumps[k] ?? Number.NaN;
    const now_s = at_s[k] ?? 0;
    if (Number.isNaN(jump_ms)) fixMissing[k] = (fixMissing[k] ?? 0) + 1;
    if (now_s - worst_s > DOUBT_AFTER_JUMP_S || jump_ms >= worst_ms) {
      worst_ms = Number.isNaN(jump_ms) ? 0 : jump_ms;
      worst_s = now_s;
    }
    jumps_ms[k] = worst_ms;
  }
}

function countMissingAt(column: Float64Array, counts: Float64Array): void {
  for (let k = 0; k < counts.length; k += 1) {
    if (Number.isNaN(column[k] ?? Number.NaN)) counts[k] = (counts[k] ?? 0) + 1;
  }
}
