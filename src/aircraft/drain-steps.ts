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

/** How long the aircraft flew in one regime. */
interface RegimeRun {
  readonly regime: number;
  readonly lasts_s: number;
}

/** A drop of the reading and the flying that it came of. */
interface Drop {
  readonly drop_pct: number;
  readonly isNext: boolean;
  /** What was flown since the drop before, or since the segment began. */
  readonly before: readonly RegimeRun[];
  readonly during: readonly RegimeRun[];
}

/** The drops within one segment of a flight. */
export interface SegmentDrops {
  /** The regime that the segment begins in; undefined at a take-off that was seen. */
  readonly startRegime: number | undefined;
  readonly drops: readonly Drop[];
}

/**
 * The drops of a flight's reading. The first and last partial steps and steps across a gap are left out: it is not known
 * when they began or ended.
 * @param regimes of the flight's rows, index 0 is the first
 */
export function dropsOf(track: Track, flight: Flight, battery_pct: Float64Array, regimes: Uint8Array): SegmentDrops[] {
  const { rows } = stepsOf(battery_pct, flight.first, flight.last);
  const flown = (from: number, to: number): RegimeRun[] => runsBetween(track, flight, regimes, from, to);
  return flight.segments.map(({ from: start, to: end }) => {
    // A value already there at the segment's first reading began in the gap, or before the flight.
    let firstRead = start;
    while (firstRead < end && Number.isNaN(battery_pct[firstRead] ?? Number.NaN)) firstRead += 1;
    const inside = rows.filter((row) => row > firstRead && row < end);
    // Before a take-off that was seen hardly anything was drawn; before a gap or a late start the same as after it.
    const isTakeoff = start === flight.first && !flight.beginsInAir;
    return {
      startRegime: isTakeoff ? undefined : (regimes[start - flight.first] ?? 0),
      drops: dropsAmong(inside, battery_pct).map(({ from, to, drop_pct, isNext }) => ({
        drop_pct,
        isNext,
        before: isNext ? [] : flown(start, from),
        during: flown(from, to),
      })),
    };
  });
}

function dropsAmong(
  [first, ...rows]: readonly number[],
  battery_pct: Float64Array,
): { from: number; to: number; drop_pct: number; isNext: boolean }[] {
  const drops: { from: number; to: number; drop_pct: number; isNext: boolean }[] = [];
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

/** @returns the regimes flown between two rows of a segment, in order; a row's regime holds until the next row */
function runsBetween(
  { columns: { time_s } }: Track,
  { first }: Flight,
  regimes: Uint8Array,
  from: number,
  to: number,
): RegimeRun[] {
  const runs: RegimeRun[] = [];
  let start = from;
  for (let row = from + 1; row <= to; row += 1) {
    if (row < to && regimes[row - first] === regimes[start - first]) continue;
    runs.push({ regime: regimes[start - first] ?? 0, lasts_s: (time_s[row] ?? 0) - (time_s[start] ?? 0) });
    start = row;
  }
  return runs;
}

/** @returns the drops of a flight's reading, set against what the aircraft did meanwhile; parameters as of `timedDrops` */
export function drainSteps(
  track: Track,
  flight: Flight,
  battery_pct: Float64Array,
  regimes: Uint8Array,
  lag_s = 0,
): DrainStep[] {
  return timedDrops(dropsOf(track, flight, battery_pct, regimes), lag_s);
}

/**
 * Sets drops against what the aircraft did meanwhile.
 * @param found of `dropsOf`, which no lag changes
 * @param lag_s of a gauge that follows the truth as a first-order filter of this time constant: it shows the drain of
 *   each regime late and smeared, and the times are smeared alike
 */
export function timedDrops(found: readonly SegmentDrops[], lag_s: number): DrainStep[] {
  return found.flatMap(({ startRegime, drops }) => {
    const gauge = new Gauge(lag_s, startRegime);
    return drops.map(({ drop_pct, isNext, before, during }) => {
      gauge.minutesOf(before);
      return { drop_pct, times_min: gauge.minutesOf(during), isNext };
    });
  });
}

/** Tells the time in each regime as a gauge with a lag feels it. */
class Gauge {
  /** How much of each regime it feels now: with a lag, also of those before. */
  readonly #felt = REGIMES.map(() => 0);
  readonly #lag_s: number;

  constructor(lag_s: number, startRegime: number | undefined) {
    this.#lag_s = lag_s;
    if (startRegime !== undefined) this.#felt[startRegime] = 1;
  }

  /** @returns minutes in each regime over what was flown next */
  minutesOf(runs: readonly RegimeRun[]): number[] {
    const minutes = REGIMES.map(() => 0);
    for (const { regime, lasts_s } of runs) {
      if (this.#lag_s === 0) minutes[regime] = (minutes[regime] ?? 0) + lasts_s / 60;
      else this.#follow(regime, lasts_s, minutes);
    }
    return minutes;
  }

  #follow(regime: number, lasts_s: number, minutes: number[]): void {
    const felt = this.#felt;
    const gone = 1 - Math.exp(-lasts_s / this.#lag_s);
    for (let r = 0; r < felt.length; r += 1) {
      const target = r === regime ? 1 : 0;
      const off = (felt[r] ?? 0) - target;
      minutes[r] = (minutes[r] ?? 0) + (target * lasts_s + off * this.#lag_s * gone) / 60;
      felt[r] = target + off * (1 - gone);
    }
  }
}
