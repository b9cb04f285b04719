import { keepOutAt } from "../recovery/zones.js";
import { momentRule } from "./rule.js";
import { concerns } from "./shared.js";

/**
 * Whether the way home, a straight line that asks nobody, runs through a keep-out zone.
 *
 * The centre line decides `fail`, where it enters a zone; a corridor that touches one is thin, and so is a way home that
 * begins inside and only leaves.
 */
export const keepoutCrossed = momentRule({
  id: "keepout-crossed",
  question: "Would the way home have kept out of every keep-out zone?",
  unit: "m",
  needs: ["atHand"],
  accepts: ["keepoutInside_m", "keepoutEntered_m", "keepoutTouched", "distance_m"],
  limits: { corridor_m: "corridor" },
  always: ({ setting }) => (setting.site.hasZones ? undefined : "unknown"),
  judge(view) {
    if (view.atHand === 1) return "n/a";
    if (Number.isNaN(view.keepoutInside_m)) return "unknown";
    if (view.keepoutEntered_m > 0) return "fail";
    return view.keepoutTouched === 1 ? "thin" : "clear";
  },
  badness: (view, verdict) => (verdict === "fail" ? view.keepoutEntered_m : view.keepoutInside_m),
  describe(view, { corridor_m }, { replay, k, verdict, say }) {
    const zone = keepOutAt(replay, k) ?? "a keep-out zone";
    const from = `${say.length(view.distance_m)} out`;
    const value = verdict === "fail" ? view.keepoutEntered_m : view.keepoutInside_m;
    const message =
      verdict === "fail"
        ? `${from}: the way home runs ${say.length(value)} through ${zone}.`
        : value > 0
          ? `${from}: the aircraft is inside ${zone}, and the way home runs ${say.length(value)} out of it.`
          : `${from}: the way home passes ${zone} nearer than ${say.length(corridor_m)}.`;
    return {
      value,
      limit: 0,
      message: message + concerns(replay),
      advice:
        verdict === "thin" && value > 0
          ? `Stay out of ${zone}.`
          : `Fly where the straight line to the recovery point keeps clear of ${zone}, or take off from its other side.`,
      evidence: {
        inside_m: view.keepoutInside_m,
        entered_m: view.keepoutEntered_m,
        zone,
      },
    };
  },
  bases: ({ inputs }) => [inputs.point.basis, "declared"],
  lacks: () => ["zones", "way-length", "recovery-point", "position"],
});
