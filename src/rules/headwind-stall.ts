import { momentRule } from "./rule.js";
import { concerns } from "./shared.js";

/**
 * Ground speed on the way home at the height of the leg; at hand, whether the aircraft can hold station.
 *
 * Unknown where nothing tells the wind: an assumed wind would find what it put in. An assumed recovery speed fails only
 * at its fast end.
 */
export const headwindStall = momentRule({
  id: "headwind-stall",
  question: "Would a recovery from here have made headway against the wind?",
  unit: "m/s",
  needs: ["groundSpeedBest_ms", "groundSpeedAdverse_ms", "atHand"],
  accepts: ["groundSpeed_ms", "groundSpeedAdverseBest_ms", "distance_m", "top_m"],
  withoutAssumptions: { groundSpeedAdverse_ms: "groundSpeedAdverseBest_ms" },
  limits: { leastGroundSpeed_ms: "least_ground_speed" },
  always: ({ inputs }) => (inputs.wind.basis === "assumed" ? "unknown" : undefined),
  judge({ groundSpeedBest_ms, groundSpeedAdverse_ms }, { leastGroundSpeed_ms }) {
    if (groundSpeedBest_ms < leastGroundSpeed_ms) return "fail";
    return groundSpeedAdverse_ms < leastGroundSpeed_ms ? "thin" : "clear";
  },
  badness: (view, verdict) => -(verdict === "fail" ? view.groundSpeedBest_ms : view.groundSpeedAdverse_ms),
  describe(view, { leastGroundSpeed_ms }, { replay, verdict, say }) {
    const value = verdict === "fail" ? view.groundSpeedBest_ms : view.groundSpeedAdverse_ms;
    const [speed, limit] = say.beside("speed", value, leastGroundSpeed_ms);
    const gusts = verdict === "fail" ? "" : " in the gusts";
    const message =
      view.atHand === 1
        ? `Holding station into the wind leaves ${speed} in hand${gusts} (least ${limit}).`
        : value <= 0
          ? `${say.length(view.distance_m)} out: no headway home${gusts} at ${say.length(view.top_m)} over the point (least ${say.speed(leastGroundSpeed_ms)}).`
          : `${say.length(view.distance_m)} out: the way home at ${say.length(view.top_m)} over the point makes ${speed}${gusts} (least ${limit}).`;
    return {
      value,
      limit: leastGroundSpeed_ms,
      message: message + concerns(replay),
      advice:
        view.atHand === 1
          ? "Fly lower in such a wind: it grows with height."
          : "Stay upwind in such a wind, set a lower recovery height where the ground allows it, or do not fly.",
      evidence: {
        ground_speed_ms: view.groundSpeed_ms,
        ground_speed_adverse_ms: view.groundSpeedAdverse_ms,
        recovery_speed_ms: replay.inputs.speeds.recovery.value,
        leg_height_m: view.top_m,
      },
    };
  },
  bases: ({ inputs }) => [inputs.wind.basis, inputs.speeds.recovery.basis, inputs.point.basis],
  lacks: () => ["wind", "recovery-point", "height"],
});
