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

/** A drop between two rows, before it is known what the aircraft did meanwhile. */
export interface Drop {
  readonly from: number;
  readonly to: number;
  readonly drop_pct: number;
  readonly isNext: boolean;
}

/** The drops within one segment of a flight. */
export interface SegmentDrops {
  /** First row of the segment. */
  readonly start: number;
  readonly drops: readonly Drop[];
}

/**
 * The drops of a flight's reading. The first and last partial steps and steps across a gap are left out: it is not known
 * when they began or ended.
 */
export function dropsOf(flight: Flight, battery_pct: Float64Array): SegmentDrops[] {
  const { rows } = stepsOf(battery_pct, flight.first, flight.last);
  return flight.segments.map(({ from, to }) => {
    // A value already there at the segment's first reading began in the gap, or before the flight.
    let firstRead = from;
    while (firstRead < to && Number.isNaN(battery_pct[firstRead] ?? Number.NaN)) firstRead += 1;
    const inside = rows.filter((row) => row > firstRead && row < to);
    return { start: from, drops: dropsAmong(inside, battery_pct) };
  });
}

function dropsAmong([first, ...rows]: readonly number[], battery_pct: Float64Array): Drop[] {
  const drops: Drop[] = [];
  if (first === undefined) return drops;
  let from = first;
  for (const to of rows) {
    const drop_pct = (battery_pct[from] ?? 0) - (battery_pct[to] ?? 0);
    if (drop_pct < STEP_PCT - 1e-9) continue;
    drops.push({ from, to, drop_pct, isNext: from !== first });
    from = to;
  }
  return drops;
}

/** @returns the drops of a flight's reading, set against what the aircraft did meanwhile; parameters as of `timedDrops` */
export function drainSteps(
  track: Track,
  flight: Flight,
  battery_pct: Float64Array,
  regimes: Uint8Array,
  lag_s = 0,
): DrainStep[] {
  return timedDrops(track, flight, dropsOf(flight, battery_pct), regimes, lag_s);
}

/**
 * Sets drops against what the aircraft did meanwhile.
 * @param found of `dropsOf`, which no lag changes
 * @param regimes of the flight's rows, index 0 is the first
 * @param lag_s of a gauge that follows the truth as a first-order filter of this time constant: it shows the drain of
 *   each regime late and smeared, and the times are smeared alike
 */
export function timedDrops(
  track: Track,
  flight: Flight,
  found: readonly SegmentDrops[],
  regimes: Uint8Array,
  lag_s: number,
): DrainStep[] {
  const { time_s } = track.columns;
  return found.flatMap(({ start, drops }) => {
    const walk = new Walk(start, flight, regimes, lag_s);
    return drops.map(({ from, to, drop_pct, isNext }) => {
      if (!isNext) walk.to(from, time_s);
      return { drop_pct, times_min: walk.to(to, time_s), isNext };
    });
  });
}

/** A walk through a segment, telling the time in each regime as a gauge with a lag feels it. */
class Walk {
  #row: number;
  /** How much of each regime the gauge feels now: with a lag, also of those before. */
  readonly #felt: Float64Array;
  readonly #flight: Flight;
  readonly #regimes: Uint8Array;
  readonly #lag_s: number;

  constructor(start: number, flight: Flight, regimes: Uint8Array, lag_s: number) {
    this.#row = start;
    this.#flight = flight;
    this.#regimes = regimes;
    this.#lag_s = lag_s;
    this.#felt = new Float64Array(REGIMES.length);
    // Before a take-off that was seen hardly anything was drawn; before a gap or a late start the same as after it.
    const isTakeoff = start === flight.first && !flight.beginsInAir;
    if (!isTakeoff) this.#felt[regimes[start - flight.first] ?? 0] = 1;
  }

  /** @returns minutes in each regime from where the walk stands to the row, where it stands then */
  to(row: number, time_s: Float64Array): number[] {
    const minutes = new Float64Array(REGIMES.length);
    if (this.#lag_s === 0) this.#prompt(row, time_s, minutes);
    else this.#lagging(row, time_s, minutes);
    this.#row = Math.max(this.#row, row);
    return [...minutes];
  }

  #prompt(row: number, time_s: Float64Array, minutes: Float64Array): void {
    const { first } = this.#flight;
    for (let i = this.#row; i < row; i += 1) {
      const now = this.#regimes[i - first] ?? 0;
      minutes[now] = (minutes[now] ?? 0) + ((time_s[i + 1] ?? 0) - (time_s[i] ?? 0)) / 60;
    }
  }

  #lagging(row: number, time_s: Float64Array, minutes: Float64Array): void {
    const { first } = this.#flight;
    const felt = this.#felt;
    const regimes = this.#regimes;
    const lag_s = this.#lag_s;
    let stepBefore_s = Number.NaN;
    let gone = 0;
    for (let i = this.#row; i < row; i += 1) {
      const step_s = (time_s[i + 1] ?? 0) - (time_s[i] ?? 0);
      // Most loggers keep their pace.
      if (step_s !== stepBefore_s) gone = 1 - Math.exp(-step_s / lag_s);
      stepBefore_s = step_s;
      const now = regimes[i - first] ?? 0;
      for (let r = 0; r < felt.length; r += 1) {
        const target = r === now ? 1 : 0;
        const off = (felt[r] ?? 0) - target;
        minutes[r] = (minutes[r] ?? 0) + (target * step_s + off * lag_s * gone) / 60;
        felt[r] = target + off * (1 - gone);
      }
    }
  }
}
