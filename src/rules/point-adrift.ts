import { type Limits, momentRule, type View } from "./rule.js";
import { concerns } from "./shared.js";

/**
 * Distance between the recovery point and the operator: the point stays behind when the operator moves.
 */
export const pointAdrift = momentRule({
  id: "point-adrift",
  question: "Was the recovery point where the operator was?",
  unit: "m",
  needs: ["adrift_m", "operatorDistance_m", "leadsAway_deg", "distance_m"],
  limits: { thin_m: "adrift.thin", fail_m: "adrift.fail", away_deg: "adrift.away" },
  judge(view, limits) {
    if (view.adrift_m > limits.fail_m || leadsAway(view, limits)) return "fail";
    return view.adrift_m > limits.thin_m ? "thin" : "clear";
  },
  badness: (view) => view.adrift_m,
  describe(view, limits, { replay, k, verdict, say }) {
    const { thin_m, fail_m, away_deg } = limits;
    const away = leadsAway(view, limits) ? " A recovery from here would lead away from the operator." : "";
    const byAway = verdict === "fail" && view.adrift_m <= fail_m;
    const limit = verdict === "fail" && !byAway ? fail_m : thin_m;
    const [apart, allowed] = say.beside("length", view.adrift_m, limit);
    return {
      ...(byAway ? { value: view.leadsAway_deg, limit: away_deg, unit: "deg" } : { value: view.adrift_m, limit }),
      message: `The recovery point was ${apart} from the operator (limit ${allowed}).${away}${concerns(replay)}`,
      advice: `Move the recovery point when you move (${apart} away at ${say.time(replay.moments.at_s[k] ?? Number.NaN)}), or stay where it is.`,
      evidence: {
        recovery_point_to_operator_m: view.adrift_m,
        aircraft_to_operator_m: view.operatorDistance_m,
        aircraft_to_recovery_point_m: view.distance_m,
        angle_between_ways_deg: view.leadsAway_deg,
      },
    };
  },
  bases: ({ inputs }) => [inputs.point.basis, inputs.operator?.basis ?? "assumed"],
  lacks: () => ["operator", "recovery-point", "position"],
});

/** The way home bears away from the operator, where neither is at hand. */
function leadsAway(
  { leadsAway_deg, distance_m, operatorDistance_m }: View<"leadsAway_deg" | "distance_m" | "operatorDistance_m">,
  { thin_m, away_deg }: Limits<"thin_m" | "away_deg">,
): boolean {
  return leadsAway_deg > away_deg && distance_m > thin_m && operatorDistance_m > thin_m;
}
