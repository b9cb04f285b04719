import { blankClearance } from "../site/blank-leg.js";
import type { LegClearance } from "../site/site.js";
import type { Replay } from "./replay.js";
import { wayHome } from "./way-home.js";

/** Over everything that stands on the earth: from there the highest thing under a leg is what is nearest. */
const OVER_ALL_M = 20_000;

/** What a leg home asks of the recovery height. */
export interface NeededHeight {
  /**
   * Least recovery height, by the spot that the setting counts from, at which this leg and every higher one keeps the
   * clearance in the whole corridor; -Infinity where nothing of the leg is known, NaN where its ends are not.
   */
  height_m: number;
  /** What dictates it: -1 the ground, else the number of an obstacle; and where. */
  over: number;
  latitude_deg: number;
  longitude_deg: number;
  /** Share of the leg on known ground; less than 1: something unknown may ask for more. */
  seen_share: number;
}

/** @returns nothing found yet */
export function noNeed(): NeededHeight {
  return { height_m: Number.NaN, over: -1, latitude_deg: Number.NaN, longitude_deg: Number.NaN, seen_share: 0 };
}

/** @returns elevation of the spot that the recovery height counts from at the k-th moment, in the site's frame */
export function heightFrom_m({ inputs, pointGround_m }: Replay, k: number): number {
  return inputs.recoveryHeightAbove.value === "take-off"
    ? inputs.heights.takeoffGround_m
    : (pointGround_m[k] ?? Number.NaN);
}

/** A spot on the ground. */
interface Spot {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
}

/**
 * Asks what the leg from a spot to the recovery point of the k-th moment needs, whatever height the aircraft had. Nobody
 * is told to fly under a bridge: what stands open below counts by its top.
 * @param from by default where the aircraft was
 */
export function writeNeededHeight(replay: Replay, k: number, out: NeededHeight, from?: Spot): void {
  const met = legAt(replay, k, OVER_ALL_M, from);
  const { policy } = replay.setting;
  out.height_m = OVER_ALL_M - met.corridor_m + policy.clearance + doubt_m(replay) - heightFrom_m(replay, k);
  out.over = met.over;
  out.latitude_deg = met.latitude_deg;
  out.longitude_deg = met.longitude_deg;
  out.seen_share = met.groundSeen_share;
}

/**
 * @param height_m a recovery height, by the spot that the setting counts from
 * @returns whether the leg at it keeps the clearance in the corridor, by the very arithmetic of an audit
 */
export function keepsClearance(replay: Replay, k: number, height_m: number, from?: Spot): boolean {
  const top_m = height_m + heightFrom_m(replay, k) - (replay.pointGround_m[k] ?? Number.NaN);
  const met = legAt(replay, k, (replay.pointGround_m[k] ?? Number.NaN) + top_m, from);
  return met.corridor_m - doubt_m(replay) >= replay.setting.policy.clearance;
}

/** What is taken off a clearance: the drift of the height and the declared error of the terrain. */
function doubt_m({ inputs, setting }: Replay): number {
  return Math.abs(inputs.heights.drift_m) + setting.site.terrainError_m;
}

function legAt(replay: Replay, k: number, path_m: number, from: Spot | undefined): LegClearance {
  const { setting } = replay;
  const leg = wayHome(replay, k, setting.policy.corridor);
  if (from !== undefined) {
    leg.from.latitude_deg = from.latitude_deg;
    leg.from.longitude_deg = from.longitude_deg;
  }
  leg.path_m = path_m;
  const met = blankClearance();
  setting.site.legClearance(leg, met);
  return met;
}
