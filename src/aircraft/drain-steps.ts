import type { Flight } from "../track/flights.js";
import type { Track } from "../track/track.js";
import { stepsOf } from "./battery-line.js";
import { REGIMES } from "./regimes.js";

/** One drop of the reading: how much, and how long the aircraft spent in each regime meanwhile, min. */
export interface DrainStep {
  readonly drop_pct: number;
  readonly times_min: readonly number[];
  /** It begins at the very reading that the step before it ended at, so that an error there is in both. */
  readonly isNext?: boolean;
}

/** Finer readings are taken together until they have dropped this much. */
const STEP_PCT = 1;

/**
 * The drops of a flight's reading. The first and last partial steps and steps across a gap are left out: it is not known
 * when they began or ended.
 * @param regimes of the flight's rows, index 0 is the first
 * @param lag_s of a gauge that follows the truth as a first-order filter of this time constant: it shows the drain of
 *   each regime late and smeared, and the times are smeared alike
 */
export function drainSteps(
  track: Track,
  flight: Flight,
  battery_pct: Float64Array,
  regimes: Uint8Array,
  lag_s = 0,
): DrainStep[] {
  const { time_s } = track.columns;
  const { rows } = stepsOf(battery_pct, flight.first, flight.last);
  const steps: DrainStep[] = [];
  for (const segment of flight.segments) {
    // A value already there at the segment's first reading began in the gap, or before the flight.
    let firstRead = segment.from;
    while (firstRead < segment.to && Number.isNaN(battery_pct[firstRead] ?? Number.NaN)) firstRead += 1;
    const inside = rows.filter((row) => row > firstRead && row < segment.to);
    const walk = walkFrom(segment.from, flight, regimes, lag_s);
    let anchor = inside[0];
    let isNext = false;
    for (const row of inside.slice(1)) {
      if (anchor === undefined) break;
      const drop_pct = (battery_pct[anchor] ?? 0) - (battery_pct[row] ?? 0);
      if (drop_pct < STEP_PCT - 1e-9) continue;
      if (!isNext) walkTo(anchor, walk, time_s);
      steps.push({ drop_pct, times_min: walkTo(row, walk, time_s), isNext });
      anchor = row;
      isNext = true;
    }
  }
  return steps;
}

/** A walk through a segment, telling the time in each regime as a gauge with a lag feels it. */
interface Walk {
  row: number;
  /** How much of each regime the gauge feels now: with a lag, also of those before. */
  readonly felt: number[];
  readonly lag_s: number;
  readonly regimeAt: (row: number) => number;
}

function walkFrom(start: number, flight: Flight, regimes: Uint8Array, lag_s: number): Walk {
  const regimeAt = (row: number): number => regimes[row - flight.first] ?? 0;
  // Before a take-off that was seen hardly anything was drawn; before a gap or a late start the same as after it.
  const isTakeoff = start === flight.first && !flight.beginsInAir;
  const felt = REGIMES.map((_, regime) => (!isTakeoff && regime === regimeAt(start) ? 1 : 0));
  return { row: start, felt, lag_s, regimeAt };
}

/** @returns minutes in each regime from where the walk stands to the row, where it stands then */
function walkTo(row: number, walk: Walk, time_s: Float64Array): number[] {
  const minutes = REGIMES.map(() => 0);
  for (; walk.row < row; walk.row += 1) {
    const step_s = (time_s[walk.row + 1] ?? 0) - (time_s[walk.row] ?? 0);
    const now = walk.regimeAt(walk.row);
    if (walk.lag_s === 0) {
      minutes[now] = (minutes[now] ?? 0) + step_s / 60;
      continue;
    }
    const gone = 1 - Math.exp(-step_s / walk.lag_s);
    for (let r = 0; r < minutes.length; r += 1) {
      const target = r === now ? 1 : 0;
      const off = (walk.felt[r] ?? 0) - target;
      minutes[r] = (minutes[r] ?? 0) + (target * step_s + off * walk.lag_s * gone) / 60;
      walk.felt[r] = target + off * (1 - gone);
    }
  }
  return minutes;
}
