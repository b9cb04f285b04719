import { line } from "../num/geodesic.js";
import { radians } from "../num/bearing.js";
import { clearanceAt } from "../recovery/clearances.js";
import { rehearsalAt } from "../recovery/rehearsal.js";
import type { Replay } from "../recovery/replay.js";
import { wayHome } from "../recovery/way-home.js";
import type { LegClearance } from "../site/site.js";
import type { DrawnClearance, DrawnProfile, RecoveryPicture } from "./picture.js";

/** Stretches of a leg; each shows its highest, so that no mast is lost between two of them. */
const SAMPLES = 240;

/** @returns one recovery from the side and what it uses */
export function recoveryPicture(replay: Replay, k: number, findings: readonly number[]): RecoveryPicture {
  const { moments, setting } = replay;
  const { plan, phases } = rehearsalAt(replay, k);
  const at = (column: Float64Array): number => column[k] ?? Number.NaN;
  const isAtHand = at(moments.atHand) === 1;
  const hasLeg = plan.distance_m > 0;
  const battery_pct = at(moments.battery_pct);
  const hasClearance = !Number.isNaN(at(moments.clearanceCentre_m));
  const clearance = (corridor_m: number, which: "centre_m" | "corridor_m"): DrawnClearance | undefined => {
    if (!hasClearance) return undefined;
    const found = clearanceAt(replay, k, corridor_m);
    return Number.isFinite(found[which]) ? drawnClearance(replay, k, found, found[which]) : undefined;
  };
  return {
    at_s: at(moments.at_s),
    findings,
    height_m: plan.height_m,
    top_m: plan.top_m,
    distance_m: plan.distance_m,
    isAtHand,
    battery_pct,
    needMiddle_pct: at(moments.needMiddle_pct),
    needUpper_pct: at(moments.needUpper_pct),
    touchdownMiddle_pct: at(moments.touchdownMiddle_pct),
    touchdownUpper_pct: at(moments.touchdownUpper_pct),
    phases,
    profile: hasLeg ? drawnProfile(replay, k) : undefined,
    centre: clearance(0, "centre_m"),
    corridor: clearance(setting.policy.corridor, "corridor_m"),
  };
}

function drawnClearance(replay: Replay, k: number, found: LegClearance, clearance_m: number): DrawnClearance {
  const { moments, setting } = replay;
  const way = line(
    moments.latitude_deg[k] ?? Number.NaN,
    moments.longitude_deg[k] ?? Number.NaN,
    found.latitude_deg,
    found.longitude_deg,
  );
  // What lies beside the centre line is drawn where it is passed.
  const along_m = way.distance_m * Math.cos(radians(way.course_deg - (moments.courseHome_deg[k] ?? Number.NaN)));
  const over = found.over < 0 ? undefined : setting.site.obstacleNames[found.over];
  return { clearance_m, along_m, over };
}

function drawnProfile(replay: Replay, k: number): DrawnProfile | undefined {
  const { inputs, setting, pointGround_m } = replay;
  const { site } = setting;
  if (!(site.hasTerrain || site.hasObstacles)) return undefined;
  const base_m = pointGround_m[k] ?? Number.NaN;
  const { along_m, ground_m, obstacleTop_m, hasUnknownTop } = site.profile(wayHome(replay, k, 0), SAMPLES);
  const overPoint = (column: Float64Array): number[] => Array.from(column, (z_m) => z_m - base_m);
  // A terrain that does not reach take-off is not tied to the log's heights.
  const isUntied = site.hasTerrain && !inputs.heights.isTied;
  if (isUntied) return undefined;
  return {
    along_m: [...along_m],
    ground_m: overPoint(ground_m),
    obstacleTop_m: overPoint(obstacleTop_m),
    hasUnknownTop: Array.from(hasUnknownTop, (value) => value === 1),
  };
}
