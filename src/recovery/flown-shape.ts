import { distance_m } from "../num/geodesic.js";
import { recoveryHeightOverPoint_m } from "./replay-flight.js";
import type { Replay } from "./replay.js";

/** Project defaults: what a flight home must look like to be taken for a recovery. */
const HEIGHT_WITHIN_M = 3;
const HEIGHT_WITHIN_SHARE = 0.05;
const LEG_LEAST_M = 50;
const LEG_LEAST_S = 20;
const STRAIGHT_SHARE = 0.97;
const CLIMB_WITHIN_M = 5;
const CLIMB_OVER_S = 2;
const CLIMB_LEAST_MS = 0.5;
const LEAVES_BY_M = 2;
const LEAVES_WITHIN_S = 10;
const LANDS_WITHIN_M = 15;

/**
 * The last part of a flight, where it has the shape of a recovery: straight to the recovery point at the recovery height for
 * 20 s and 50 m or more, then down on the spot to a landing within 15 m of it; with the climb on the spot before, if there was
 * one. A pilot may fly so by hand: it is shown, and never scored.
 * @returns rows among the flight's; undefined where there is none, or where the recovery height is only assumed
 */
export function findReturnShape(replay: Replay): { first: number; last: number } | undefined {
  const { moments, length, flight, inputs } = replay;
  const last = length - 1;
  const away_m = (k: number): number => moments.distance_m[k] ?? Number.NaN;
  if (inputs.recoveryHeight.basis === "assumed" || flight.endsInAir || !(away_m(last) <= LANDS_WITHIN_M)) {
    return undefined;
  }
  let arrived = last;
  while (arrived > 0 && away_m(arrived - 1) <= LANDS_WITHIN_M) arrived -= 1;
  let top = arrived;
  while (top > 0 && isAtHeight(replay, top - 1) && away_m(top - 1) >= away_m(top) - 1) top -= 1;
  // Before it set off it may have hovered at that height for minutes: the leg begins where it leaves the spot.
  let left = arrived;
  while (left > top && !(away_m(left) >= away_m(top) - LEAVES_BY_M)) left -= 1;
  const at_s = (k: number): number => moments.at_s[k] ?? Number.NaN;
  const leg_m = away_m(left) - away_m(arrived);
  const isLeg = leg_m >= LEG_LEAST_M && at_s(arrived) - at_s(left) >= LEG_LEAST_S && isAtHeight(replay, arrived);
  if (!isLeg || !(leg_m >= STRAIGHT_SHARE * way_m(replay, left, arrived))) return undefined;
  return { first: at_s(left) - at_s(top) <= LEAVES_WITHIN_S ? climbBefore(replay, top) : left, last };
}

function heightOverPoint_m({ moments, inputs, pointGround_m }: Replay, k: number): number {
  return (moments.height_m[k] ?? Number.NaN) + inputs.heights.takeoffGround_m - (pointGround_m[k] ?? Number.NaN);
}

function isAtHeight(replay: Replay, k: number): boolean {
  const set_m = recoveryHeightOverPoint_m(replay, k);
  const within_m = Math.max(HEIGHT_WITHIN_M, HEIGHT_WITHIN_SHARE * set_m);
  return Math.abs(heightOverPoint_m(replay, k) - set_m) <= within_m;
}

/** Along rows at least 5 m apart, since positions jitter. */
function way_m(replay: Replay, first: number, last: number): number {
  let sum_m = 0;
  let anchor = first;
  for (let k = first + 1; k <= last; k += 1) {
    const step_m = apart_m(replay, anchor, k);
    if (step_m < CLIMB_WITHIN_M && k < last) continue;
    sum_m += step_m;
    anchor = k;
  }
  return sum_m;
}

/** The first row of a climb on the spot that ends at a row; that row itself where there was none. */
function climbBefore(replay: Replay, top: number): number {
  let first = top;
  while (first > 0 && apart_m(replay, first - 1, top) <= CLIMB_WITHIN_M && isClimbing(replay, first)) first -= 1;
  return first;
}

/** Over the two seconds before a row. */
function isClimbing(replay: Replay, k: number): boolean {
  const { at_s } = replay.moments;
  let back = k;
  while (back > 0 && (at_s[k] ?? 0) - (at_s[back] ?? 0) < CLIMB_OVER_S) back -= 1;
  const rise_m = heightOverPoint_m(replay, k) - heightOverPoint_m(replay, back);
  return rise_m >= CLIMB_LEAST_MS * ((at_s[k] ?? 0) - (at_s[back] ?? 0));
}

function apart_m({ moments }: Replay, a: number, b: number): number {
  const { latitude_deg, longitude_deg } = moments;
  const at = (column: Float64Array, k: number): number => column[k] ?? Number.NaN;
  return distance_m(at(latitude_deg, a), at(longitude_deg, a), at(latitude_deg, b), at(longitude_deg, b));
}
