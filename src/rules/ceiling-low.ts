import { clearanceAt } from "../recovery/clearances.js";
import type { Replay } from "../recovery/replay.js";
import { momentRule } from "./rule.js";
import { concerns } from "./shared.js";

/**
 * Clearance of the transit leg over the ground and what stands on it.
 *
 * The centre line decides `fail`, the whole corridor `thin`. What is not seen (voids, the edge of the terrain, obstacles
 * that nobody declared, or that stand there with an unknown height) keeps it from being clear, never from failing.
 */
export const ceilingLow = momentRule({
  id: "ceiling-low",
  question: "Would the way home have cleared the ground and everything on it?",
  unit: "m",
  needs: ["atHand", "top_m"],
  accepts: [
    "clearanceCentre_m",
    "clearanceCorridor_m",
    "clearanceJudged_m",
    "clearanceKnownCentre_m",
    "groundSeen_share",
    "distance_m",
    "height_m",
  ],
  withoutAssumptions: {
    clearanceCentre_m: "clearanceKnownCentre_m",
    clearanceJudged_m: "clearanceKnownJudged_m",
  },
  limits: { clearance_m: "clearance" },
  always: ({ hasCeiling }) => (hasCeiling ? undefined : "unknown"),
  judge(view, { clearance_m }, { isCeilingWhole, setting }) {
    if (view.atHand === 1) return "n/a";
    if (Number.isNaN(view.clearanceCentre_m)) return "unknown";
    if (view.clearanceKnownCentre_m < 0) return "fail";
    // Only what a project default makes high is in the way: an assumption alone fails nothing.
    if (view.clearanceCentre_m < 0) return "thin";
    if (!setting.site.hasTerrain || view.groundSeen_share < 1) return "unknown";
    if (view.clearanceJudged_m < clearance_m) return "thin";
    return isCeilingWhole ? "clear" : "unknown";
  },
  badness: (view, verdict) => -(verdict === "fail" ? view.clearanceKnownCentre_m : view.clearanceJudged_m),
  describe(view, { clearance_m }, { replay, k, verdict, say }) {
    const fails = verdict === "fail";
    const value = fails ? view.clearanceKnownCentre_m : view.clearanceJudged_m;
    const limit = fails ? 0 : clearance_m;
    // A fail is told by the centre line and by what is known, so what it meets is looked for there alone.
    const corridor_m = fails ? 0 : replay.setting.policy.corridor;
    const { over, latitude_deg, longitude_deg } = clearanceAt(replay, k, corridor_m, fails);
    const name = replay.setting.site.obstacleNames[over];
    const thing = over < 0 ? "the ground" : (name ?? "an obstacle");
    const start_m = view.height_m + replay.inputs.heights.takeoffGround_m - (replay.pointGround_m[k] ?? Number.NaN);
    const set_m =
      (replay.inputs.recoveryHeights_m?.[k] ?? replay.inputs.recoveryHeight.value) - heightOfPoint_m(replay, k);
    const isAbove = start_m > set_m + 0.5;
    const leg = isAbove
      ? `the way home, level at ${say.length(view.top_m)} since a start above the recovery height gets no extra climb,`
      : `the way home at ${say.length(view.top_m)}`;
    const from = `${say.length(view.distance_m)} out`;
    const [gap, wanted] = say.beside("length", Math.abs(value), limit);
    const message = fails
      ? `${from}: ${leg} runs ${say.length(-value)} ${over < 0 ? "into the ground" : `under the top of ${thing}`}.`
      : `${from}: ${leg} clears ${thing} by ${value < 0 ? `-${gap}` : gap} in the corridor (wanted ${wanted}).`;
    const over_m = Math.ceil(view.top_m + clearance_m - view.clearanceJudged_m);
    const raise_m = over_m + heightOfPoint_m(replay, k);
    return {
      value,
      limit,
      message: message + concerns(replay),
      advice: `For this way home set a recovery height of at least ${say.length(raise_m)}, or stay on this side of ${over < 0 ? "the high ground" : thing}.`,
      evidence: {
        clearance_centre_m: view.clearanceCentre_m,
        clearance_corridor_m: view.clearanceCorridor_m,
        leg_height_m: view.top_m,
        over: thing,
        latitude_deg,
        longitude_deg,
        height_drift_m: replay.inputs.heights.drift_m,
        least_recovery_height_m: raise_m,
      },
    };
  },
  bases: ({ inputs }) => [inputs.recoveryHeight.basis, inputs.point.basis, inputs.heights.basis, "declared"],
  lacks: ({ setting, inputs, hasCeiling }) => [
    ...(inputs.recoveryHeight.basis === "assumed" ? (["recovery-height"] as const) : []),
    ...(setting.site.hasTerrain ? [] : (["terrain"] as const)),
    ...(setting.site.isSurface || setting.site.hasObstacles ? [] : (["obstacles"] as const)),
    ...(hasCeiling ? (["terrain-here", "way-length", "obstacle-heights"] as const) : []),
    "recovery-point",
    "height",
  ],
});

/** What the ground at the recovery point lies above that at take-off, where the setting counts from take-off; else 0. */
function heightOfPoint_m({ inputs, pointGround_m }: Replay, k: number): number {
  if (inputs.recoveryHeightAbove.value === "recovery-point") return 0;
  return (pointGround_m[k] ?? 0) - inputs.heights.takeoffGround_m;
}
