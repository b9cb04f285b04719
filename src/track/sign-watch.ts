import type { Motion } from "./motion.js";
import type { Track } from "./track.js";

/** Limits (docs/model.md): signs held this long begin it, and none for this long ends it. */
const RISEN_M = 2;
const HELD_S = 2;
const LANDED_S = 5;
/** Project defaults: a height that only stayed up after landing is lower than this and keeps this still. */
export const LEFTOVER_HEIGHT_M = 10;
const LEFTOVER_STILL_M = 1;
/** Project default: how fast a barometric height may wander while the aircraft stands, m/s. */
const REST_DRIFT_MS = 0.02;
/** Project default: a battery that gained this much was changed, so what came before was another flight. */
const BATTERY_CHANGED_PCT = 5;

/** Rows from the first sign of flying to the last. */
export interface Span {
  readonly first: number;
  readonly last: number;
  /** It was already flying before it had ever been seen at rest. */
  readonly fromStart: boolean;
  readonly landed: boolean;
}

/** How many of climbing, moving and drawing current a row shows: the signs that a standing aircraft does not. */
export interface Activity {
  readonly at: (row: number) => number;
  readonly hasCurrent: boolean;
  /** The current is known at the row, so that a small one says that the motors rest. */
  readonly isMetered: (row: number) => boolean;
}

/** Since when nothing but the height says flying, and how still it has been. */
interface Leftover {
  readonly from: number;
  low_m: number;
  high_m: number;
}

/**
 * Watches the rows of a track go by and notes when the aircraft was in the air: two signs of four held for 2 s, until
 * none is left for 5 s. Height alone keeps a flight going, since a hover shows nothing else, unless the motors are known
 * to rest; but at the log's end, or when the battery was changed meanwhile, a still height of a few metres is a landed
 * aircraft whose height has drifted.
 */
export class SignWatch {
  readonly spans: Span[] = [];
  readonly #track: Track;
  readonly #motion: Motion;
  readonly #activity: Activity;
  #rest_m: number;
  #hasRested = false;
  #first = -1;
  #heldFrom = -1;
  #quietFrom = -1;
  #leftover: Leftover | undefined;
  #battery_pct = Number.NaN;

  constructor(track: Track, motion: Motion, activity: Activity) {
    this.#track = track;
    this.#motion = motion;
    this.#activity = activity;
    const firstHeight = motion.anyHeight_m?.find((height) => !Number.isNaN(height)) ?? Number.NaN;
    this.#rest_m = motion.heightIsAboveTakeoff ? 0 : firstHeight;
  }

  /** Looks at the next row. @param isAfterGap what was held before a gap is not held across it */
  see(row: number, isAfterGap: boolean): void {
    if (this.#first < 0) this.#onGround(row, isAfterGap);
    else this.#inAir(row, isAfterGap);
    const battery_pct = this.#track.columns.battery_pct?.[row] ?? Number.NaN;
    if (!Number.isNaN(battery_pct)) this.#battery_pct = battery_pct;
  }

  /** Ends the watch at the last row. */
  close(): void {
    if (this.#first < 0) return;
    const last = this.#track.length - 1;
    const left = this.#leftover;
    const isLanded =
      left !== undefined &&
      this.#time(last) - this.#time(left.from) >= LANDED_S &&
      left.high_m - left.low_m <= LEFTOVER_STILL_M &&
      left.high_m - this.#rest_m <= LEFTOVER_HEIGHT_M;
    this.#end(isLanded ? left.from : last, isLanded);
  }

  #onGround(row: number, isAfterGap: boolean): void {
    const height = this.#height(row);
    const active = this.#activity.at(row);
    const isFlying = active + (height - this.#rest_m > RISEN_M ? 1 : 0) >= 2;
    if (isAfterGap || !isFlying) this.#heldFrom = -1;
    if (isFlying && this.#heldFrom < 0) this.#heldFrom = row;
    if (isFlying && this.#time(row) - this.#time(this.#heldFrom) >= HELD_S) {
      this.#first = this.#heldFrom;
      this.#quietFrom = -1;
      return;
    }
    if (active > 0) {
      this.#quietFrom = -1;
      return;
    }
    this.#rest(row, height);
  }

  /** The first rest seen sets the height of the ground; later it may only wander with the weather. */
  #rest(row: number, height: number): void {
    if (this.#quietFrom < 0) this.#quietFrom = row;
    // A height above take-off that is far from 0 is a hover in which the recording began, not a rest.
    const isAloft = this.#motion.heightIsAboveTakeoff && Math.abs(height) > LEFTOVER_HEIGHT_M;
    if (!this.#hasRested && !isAloft && this.#time(row) - this.#time(this.#quietFrom) >= LANDED_S) {
      this.#hasRested = true;
      if (!Number.isNaN(height)) this.#rest_m = height;
    }
    if (Number.isNaN(height)) return;
    const most_m = row === 0 ? 0 : REST_DRIFT_MS * (this.#time(row) - this.#time(row - 1));
    const wander_m = Math.min(most_m, Math.max(-most_m, height - this.#rest_m));
    this.#rest_m = Number.isNaN(this.#rest_m) ? height : this.#rest_m + wander_m;
  }

  #inAir(row: number, isAfterGap: boolean): void {
    const height = this.#height(row);
    const gained_pct = (this.#track.columns.battery_pct?.[row] ?? Number.NaN) - this.#battery_pct;
    if (gained_pct >= BATTERY_CHANGED_PCT && (this.#leftover !== undefined || isAfterGap)) {
      // Changed in a gap out of full flight: the record of that flight ends before the gap.
      if (this.#leftover === undefined) this.#end(row - 1, false);
      else this.#end(this.#leftover.from, true);
      this.#rest_m = height;
      return;
    }
    if (this.#activity.at(row) > 0) {
      this.#quietFrom = -1;
      this.#leftover = undefined;
      return;
    }
    if (this.#quietFrom < 0) this.#quietFrom = row;
    const left = (this.#leftover ??= { from: row, low_m: height, high_m: height });
    if (!(left.low_m <= height)) left.low_m = Number.isNaN(height) ? left.low_m : height;
    if (!(left.high_m >= height)) left.high_m = Number.isNaN(height) ? left.high_m : height;
    if (height - this.#rest_m > RISEN_M && !this.#activity.isMetered(row)) {
      // While it still sinks, however slowly, the quiet has not begun.
      if (left.high_m - left.low_m > LEFTOVER_STILL_M) this.#quietFrom = row;
      return;
    }
    if (this.#time(row) - this.#time(this.#quietFrom) < LANDED_S) return;
    this.#end(this.#quietFrom, true);
    if (!Number.isNaN(height)) this.#rest_m = height;
  }

  #end(last: number, landed: boolean): void {
    this.spans.push({ first: this.#first, last, fromStart: !this.#hasRested, landed });
    this.#hasRested = true;
    this.#first = -1;
    this.#heldFrom = -1;
    this.#quietFrom = -1;
    this.#leftover = undefined;
  }

  #height(row: number): number {
    return this.#motion.anyHeight_m?.[row] ?? Number.NaN;
  }

  #time(row: number): number {
    return this.#track.columns.time_s[row] ?? 0;
  }
}
