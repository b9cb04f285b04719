import type { Leg, LegClearance } from "../site/site.js";
import type { Replay } from "./replay.js";

/** Writes the clearance of the way home of every moment that is not at hand. */
export function fillClearances(replay: Replay): void {
  const { moments, length, inputs, setting, pointGround_m } = replay;
  const { site, policy } = setting;
  const leg: Leg = {
    from: { latitude_deg: 0, longitude_deg: 0 },
    to: { latitude_deg: 0, longitude_deg: 0 },
    path_m: 0,
    corridor_m: policy.corridor,
    knownOnly: false,
  };
  const out: LegClearance = {
    centre_m: 0,
    corridor_m: 0,
    latitude_deg: 0,
    longitude_deg: 0,
    over: -1,
    groundSeen_share: 0,
  };
  const doubt_m = Math.abs(inputs.heights.drift_m) + site.terrainError_m;
  for (let k = 0; k < length; k += 1) {
    if (moments.atHand[k] !== 0 || Number.isNaN(moments.top_m[k] ?? Number.NaN)) continue;
    leg.from.latitude_deg = moments.latitude_deg[k] ?? Number.NaN;
    leg.from.longitude_deg = moments.longitude_deg[k] ?? Number.NaN;
    leg.to.latitude_deg = inputs.point.latitude_deg[k] ?? Number.NaN;
    leg.to.longitude_deg = inputs.point.longitude_deg[k] ?? Number.NaN;
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
  const { moments, inputs, setting, pointGround_m } = replay;
  const at = (column: Float64Array): number => column[k] ?? Number.NaN;
  const out: LegClearance = {
    centre_m: Number.NaN,
    corridor_m: Number.NaN,
    latitude_deg: Number.NaN,
    longitude_deg: Number.NaN,
    over: -1,
    groundSeen_share: 0,
  };
  setting.site.legClearance(
    {
      from: { latitude_deg: at(moments.latitude_deg), longitude_deg: at(moments.longitude_deg) },
      to: { latitude_deg: at(inputs.point.latitude_deg), longitude_deg: at(inputs.point.longitude_deg) },
      path_m: at(pointGround_m) + at(moments.top_m),
      corridor_m,
      knownOnly,
    },
    out,
  );
  return out;
}
