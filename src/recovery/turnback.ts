import type { Replay } from "./replay.js";

/** How much nearer than the farthest counts as on the way home. */
const NEARER_M = 10;
const NEARER_SHARE = 0.05;
/** A dip of the distance by this much ends the way home, seen backward from there. */
const DIP_M = 10;

/** When a flight should have turned for home, and when it did. Indices are among the flight's rows. */
export interface Turnback {
  /** Last moment before the battery no longer covered a recovery with the limit kept; undefined when it always did. */
  readonly lastSafe: number | undefined;
  /** The first moment that no longer was safe. */
  readonly firstUnsafe: number | undefined;
  /** The moment it turned for home. */
  readonly turned: number | undefined;
  /** 0 when it turned in time. */
  readonly outboundAfter_s: number;
}

/**
 * Finds the turn-back moment: the last sample before the first stretch whose touchdown is under the limit, away
 * from home. The aircraft turned for home at the farthest moment of its last leg home: the leg that takes it for good from
 * about as far out as it ever got to nearer.
 * With constant wind and equal drains the moment is the textbook point of safe return, time E·H/(O+H).
 * @param touchdown `middle`, or `low`: what is only assumed at its favourable end, for what decides a fail
 * @param limit_pct battery to be left at touchdown
 * @returns undefined where no moment away from home has a known touchdown
 */
export function findTurnback(
  { moments, length }: Replay,
  touchdown: "middle" | "low",
  limit_pct: number,
): Turnback | undefined {
  const { distance_m, at_s, atHand } = moments;
  const touchdowns_pct = touchdown === "low" ? moments.touchdownLow_pct : moments.touchdownMiddle_pct;
  let firstUnsafe: number | undefined;
  let lastKnown = -1;
  let isKnown = false;
  for (let k = 0; k < length; k += 1) {
    const touchdown_pct = touchdowns_pct[k] ?? Number.NaN;
    if (Number.isNaN(touchdown_pct)) continue;
    if (atHand[k] === 0) isKnown = true;
    if (touchdown_pct < limit_pct && atHand[k] === 0) {
      firstUnsafe = k;
      break;
    }
    lastKnown = k;
  }
  if (!isKnown) return undefined;
  if (firstUnsafe === undefined) {
    return { lastSafe: undefined, firstUnsafe: undefined, turned: undefined, outboundAfter_s: 0 };
  }
  const lastSafe = lastKnown < 0 ? firstUnsafe : lastKnown;
  // A later trip begins anew: what counts is the one that had become unsafe.
  let home = firstUnsafe;
  while (home < length - 1 && atHand[home] !== 1) home += 1;
  const turned = turnOf(distance_m, lastSafe, home + 1);
  const outboundAfter_s = Math.max(0, (at_s[turned] ?? 0) - (at_s[lastSafe] ?? 0));
  return { lastSafe: lastKnown < 0 ? undefined : lastKnown, firstUnsafe, turned, outboundAfter_s };
}

/**
 * The last moment still within 5 % of the farthest is some way into the leg home (at 2 km out, 100 m of it), so from there
 * the leg is followed back to its farthest point.
 */
function turnOf(distance_m: Float64Array, from: number, length: number): number {
  let farthest_m = 0;
  for (let k = from; k < length; k += 1) farthest_m = Math.max(farthest_m, distance_m[k] || 0);
  const nearly_m = farthest_m - Math.max(NEARER_M, NEARER_SHARE * farthest_m);
  let left = from;
  for (let k = from; k < length; k += 1) if ((distance_m[k] ?? Number.NaN) >= nearly_m) left = k;
  let turned = left;
  for (let k = left; k >= from; k -= 1) {
    const here_m = distance_m[k] ?? Number.NaN;
    const most_m = distance_m[turned] ?? Number.NaN;
    if (here_m < most_m - DIP_M) break;
    if (here_m > most_m) turned = k;
  }
  return turned;
}
