import type { DrawnClearance, RecoveryPicture } from "../../pictures/picture.js";
import type { RehearsalResult } from "../../score/rehearsal-result.js";
import { sideView } from "../side-view.js";

/** @returns a rehearsal as the figures of a recovery draw it */
export function rehearsedRecovery(rehearsal: RehearsalResult): RecoveryPicture {
  const { at_s, at_hand, height_m, leg_height_m, distance_m, battery_pct, need_pct, touchdown_pct } = rehearsal;
  const isEndless = need_pct.reason === "no_headway";
  // Without headway null is no end; otherwise it is not known.
  const endless = (value: number | null, sign: 1 | -1 = 1): number =>
    value ?? (isEndless ? sign * Number.POSITIVE_INFINITY : Number.NaN);
  const left = (value: number | null): number => (battery_pct === null ? Number.NaN : endless(value, -1));
  return {
    at_s,
    findings: [],
    height_m: height_m ?? Number.NaN,
    top_m: leg_height_m ?? Number.NaN,
    distance_m: at_hand ? 0 : (distance_m ?? Number.NaN),
    isAtHand: at_hand,
    battery_pct: battery_pct ?? Number.NaN,
    needMiddle_pct: endless(need_pct.middle),
    needUpper_pct: endless(need_pct.upper),
    touchdownMiddle_pct: left(touchdown_pct.middle),
    touchdownUpper_pct: left(touchdown_pct.upper),
    phases: rehearsal.phases.map((phase) => ({
      phase: phase.phase,
      start_s: endless(phase.start_s) - at_s,
      duration_s: endless(phase.duration_s),
      distance_m: phase.distance_m ?? Number.NaN,
      height_m: phase.height_m ?? Number.NaN,
      groundSpeed_ms: phase.ground_speed_ms ?? Number.NaN,
      energy_pct: endless(phase.energy_pct),
    })),
    ...under(rehearsal),
  };
}

/** What is under the way. */
function under(rehearsal: RehearsalResult): Pick<RecoveryPicture, "profile" | "centre" | "corridor"> {
  const { profile, clearance } = rehearsal;
  const over = clearance === null || clearance.over === "the ground" ? undefined : clearance.over;
  const drawn = (clearance_m: number | null | undefined, along_m: number | null | undefined) =>
    typeof clearance_m === "number" && typeof along_m === "number"
      ? ({ clearance_m, along_m, over } satisfies DrawnClearance)
      : undefined;
  const known = (values: readonly (number | null)[]): number[] => values.map((value) => value ?? Number.NaN);
  return {
    profile:
      profile === null
        ? undefined
        : {
            along_m: known(profile.along_m),
            ground_m: known(profile.ground_m),
            obstacleTop_m: known(profile.obstacle_top_m),
            hasUnknownTop: profile.obstacle_unknown,
          },
    centre: drawn(clearance?.centre_m, sideView(rehearsal)?.nearest?.along_m),
    corridor: drawn(clearance?.corridor_m, clearance?.along_m),
  };
}
