import { blankLeg } from "../site/blank-leg.js";
import { type Column, nothingMet } from "../site/column.js";
import type { KeepOutMet } from "../site/keep-out-met.js";
import type { Replay } from "./replay.js";
import { layWayHome, wayHome } from "./way-home.js";

/** Writes what every moment has to do with zones, and what a climb from it would meet. */
export function fillZones(replay: Replay): void {
  const { site } = replay.setting;
  if (site.hasZones) {
    fillKinds(replay);
    fillKeepOuts(replay);
  }
  if (site.hasZones || site.hasObstacles) fillClimbs(replay);
}

function fillKinds({ moments, length, setting }: Replay): void {
  const { latitude_deg, longitude_deg, zoneKinds } = moments;
  for (let k = 0; k < length; k += 1) {
    zoneKinds[k] = setting.site.zoneKinds(latitude_deg[k] ?? Number.NaN, longitude_deg[k] ?? Number.NaN);
  }
}

function fillKeepOuts(replay: Replay): void {
  const { moments, length, setting } = replay;
  const leg = blankLeg(setting.policy.corridor);
  const out = nothingCrossed();
  for (let k = 0; k < length; k += 1) {
    if (moments.atHand[k] !== 0) continue;
    layWayHome(replay, k, leg);
    setting.site.keepOut(leg, out);
    moments.keepoutInside_m[k] = out.inside_m;
    moments.keepoutEntered_m[k] = out.entered_m;
    moments.keepoutTouched[k] = out.isTouched ? 1 : 0;
  }
}

function fillClimbs(replay: Replay): void {
  const { moments, length, setting } = replay;
  const column = emptyColumn(setting.policy.corridor);
  const out = nothingMet();
  for (let k = 0; k < length; k += 1) {
    if (!((moments.climb_m[k] ?? Number.NaN) > 0)) continue;
    layColumn(replay, k, column);
    setting.site.climb(column, out);
    moments.coverUp_m[k] = out.up_m;
    moments.coverUpKnown_m[k] = out.upKnown_m;
    moments.coverUpNear_m[k] = out.upNear_m;
    moments.coverUpNearKnown_m[k] = out.upNearKnown_m;
    moments.coverInside[k] = out.inside < 0 ? 0 : 1;
    moments.coverInsideKnown[k] = out.insideKnown < 0 ? 0 : 1;
    moments.coverWhole[k] = out.isWhole ? 1 : 0;
  }
}

/** Writes the climb of the k-th moment; elevations are NaN where take-off is not tied to a terrain that is there. */
function layColumn({ moments, inputs, setting }: Replay, k: number, column: Column): void {
  const { site } = setting;
  const { heights } = inputs;
  column.latitude_deg = moments.latitude_deg[k] ?? Number.NaN;
  column.longitude_deg = moments.longitude_deg[k] ?? Number.NaN;
  const takeoff_m = site.hasTerrain && !heights.isTied ? Number.NaN : heights.takeoffGround_m;
  column.from_m = takeoff_m + (moments.height_m[k] ?? Number.NaN);
  column.to_m = column.from_m + (moments.climb_m[k] ?? Number.NaN);
  // Only covers ask for it. On a surface it is what a person could stand on: the canopy is no ground.
  const isAsked = site.hasTerrain && site.zoneNames.length > 0;
  column.ground_m = isAsked ? site.standingGround(column.latitude_deg, column.longitude_deg) : takeoff_m;
}

function emptyColumn(radius_m: number): Column {
  return {
    latitude_deg: Number.NaN,
    longitude_deg: Number.NaN,
    from_m: Number.NaN,
    to_m: Number.NaN,
    ground_m: Number.NaN,
    radius_m,
  };
}

function nothingCrossed(): KeepOutMet {
  return { inside_m: 0, entered_m: 0, isTouched: false, zone: -1, isStillInside: false };
}

/** Names of what a climb from one moment meets, for a finding; undefined where there is nothing of the kind. */
export function climbAt(
  replay: Replay,
  k: number,
): { over: string | undefined; near: string | undefined; inside: string | undefined } {
  const column = emptyColumn(replay.setting.policy.corridor);
  layColumn(replay, k, column);
  const out = nothingMet();
  const { site } = replay.setting;
  site.climb(column, out);
  const nameOf = (what: number): string | undefined =>
    what >= 0 ? site.obstacleNames[what] : site.zoneNames[-2 - what];
  return { over: nameOf(out.over), near: nameOf(out.overNear), inside: nameOf(out.inside) };
}

/** @returns name of the keep-out zone that the way home of one moment enters or touches, for a finding */
export function keepOutAt(replay: Replay, k: number): string | undefined {
  const { site, policy } = replay.setting;
  const out = nothingCrossed();
  site.keepOut(wayHome(replay, k, policy.corridor), out);
  return site.zoneNames[out.zone];
}
