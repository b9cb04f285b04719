import { noNeed, writeNeededHeight } from "./needed-height.js";
import type { Replay } from "./replay.js";

/** The least recovery height that clears every way home of a flight. */
export interface LeastHeight {
  /** By the spot that the setting counts from; -Infinity where no way home is known. */
  readonly height_m: number;
  /** The moment whose way home dictates it; -1 for none. */
  readonly at: number;
  /** Whether every way home lies on known ground, with what stands there known too. */
  readonly isWhole: boolean;
}

/** @returns what the ways home from everywhere this flight went need, whatever height it had there */
export function leastHeight(replay: Replay): LeastHeight {
  const need = noNeed();
  let height_m = Number.NEGATIVE_INFINITY;
  let at = -1;
  let isWhole = replay.isCeilingWhole;
  for (let k = 0; k < replay.length; k += 1) {
    if (replay.moments.atHand[k] === 1) continue;
    writeNeededHeight(replay, k, need);
    if (!(need.seen_share === 1)) isWhole = false;
    if (need.height_m > height_m) {
      height_m = need.height_m;
      at = k;
    }
  }
  return { height_m, at, isWhole };
}
