import { blankClearance, blankLeg } from "../site/blank-leg.js";
import type { LegClearance } from "../site/site.js";
import type { Replay } from "./replay.js";
import { layWayHome, wayHome } from "./way-home.js";

/** Writes the clearance of the way home of every moment that is not at hand. */
export function fillClearances(replay: Replay): void {
  const { moments, length, inputs, setting, pointGround_m } = replay;
  const { site, policy } = setting;
  const leg = blankLeg(policy.corridor);
  const out = blankClearance();
  const doubt_m = Math.abs(inputs.heights.drift_m) + site.terrainError_m;
  for (let k = 0; k < length; k += 1) {
    if (moments.atHand[k] !== 0 || Number.isNaN(moments.top_m[k] ?? Number.NaN)) continue;
    layWayHome(replay, k, leg);
    leg.path_m = (pointGround_m[k] ?? Number.NaN) + (moments.top_m[k] ?? Number.NaN);
    site.legClearance(leg, out);
    moments.clearanceCentre_m[k] = out.centre_m;
    moments.clearanceCorridor_m[k] = out.corridor_m;
    moments.clearanceJudged_m[k] = out.corridor_m - doubt_m;
    moments.groundSeen_share[k] = out.groundSeen_share;
    if (site.hasAssumedHeights) {
      leg.knownOnly = true;
      site.legClearance(leg, out);
      leg.knownOnly = false;
    }
    moments.clearanceKnownCentre_m[k] = out.centre_m;
    moments.clearanceKnownJudged_m[k] = out.corridor_m - doubt_m;
  }
}

/**
 * @param corridor_m half-width; 0 for what stands on the centre line itself
 * @param knownOnly what only a project default makes high is left out
 * @returns the clearance of one moment with its place, for a finding; the caller knows that it has one
 */
export function clearanceAt(replay: Replay, k: number, corridor_m: number, knownOnly = false): LegClearance {
  const { moments, setting, pointGround_m } = replay;
  const leg = wayHome(replay, k, corridor_m);
  leg.path_m = (pointGround_m[k] ?? Number.NaN) + (moments.top_m[k] ?? Number.NaN);
  leg.knownOnly = knownOnly;
  const out = blankClearance();
  setting.site.legClearance(leg, out);
  return out;
}
