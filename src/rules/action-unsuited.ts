import type { Replay } from "../recovery/replay.js";
import { ZONE_BITS } from "../site/zones.js";
import { momentRule } from "./rule.js";

/** Where an aircraft that comes down by itself must not. */
const NO_GROUND = ZONE_BITS.water | ZONE_BITS["no-landing"] | ZONE_BITS["keep-out"];

/**
 * Whether what a lost link would start, in place of a recovery, suits the spot.
 *
 * `land` comes down where the aircraft is. `hold` waits where the aircraft is until its battery is low, and then comes
 * down too, with nobody there: near the operator that is a plan, far away it is none.
 */
export const actionUnsuited = momentRule({
  id: "action-unsuited",
  question: "Did the lost-link action suit the spot where the aircraft was?",
  unit: "m",
  needs: ["at_s"],
  accepts: ["zoneKinds", "operatorDistance_m", "distance_m", "latitude_deg", "longitude_deg", "battery_pct"],
  limits: { holdWithin_m: "hold_within" },
  always: ({ inputs }) => {
    if (inputs.lostLinkAction === undefined) return "unknown";
    return undefined;
  },
  judge({ zoneKinds, operatorDistance_m }, { holdWithin_m }, { inputs, setting }) {
    const action = inputs.lostLinkAction?.value;
    if (action === "return") return "clear";
    if (setting.site.hasZones && (zoneKinds & NO_GROUND) !== 0) return "fail";
    if (action === "hold" && operatorDistance_m > holdWithin_m) return "thin";
    const isOpen = Number.isNaN(zoneKinds) || (action === "hold" && Number.isNaN(operatorDistance_m));
    return isOpen ? "unknown" : "clear";
  },
  badness: (view) => (Number.isNaN(view.operatorDistance_m) ? view.distance_m : view.operatorDistance_m),
  describe(view, { holdWithin_m }, { replay, verdict, say }) {
    const action = replay.inputs.lostLinkAction?.value ?? "";
    const bits = view.zoneKinds & NO_GROUND;
    const zone = zoneName(replay, view, bits);
    const battery = Number.isNaN(view.battery_pct) ? "" : ` (${say.percent(view.battery_pct)} left)`;
    const evidence = {
      lost_link_action: action,
      zone: verdict === "fail" ? zone : null,
      to_operator_m: known(view.operatorDistance_m),
    };
    if (verdict === "fail") {
      const where = (bits & ZONE_BITS.water) !== 0 ? `over the water of ${zone}` : `in ${zone}`;
      const what =
        action === "land"
          ? `would have landed it there`
          : `would have kept it there until the battery${battery} was low, and then set it down there`;
      return {
        value: Number.NaN,
        limit: Number.NaN,
        message: `The aircraft was ${where}: a lost link ${what}.`,
        advice: "Set the lost-link action to return for such a flight, and check that the way home is high enough.",
        evidence,
      };
    }
    const [apart, allowed] = say.beside("length", view.operatorDistance_m, holdWithin_m);
    return {
      value: view.operatorDistance_m,
      limit: holdWithin_m,
      message: `On a lost link the aircraft would hold ${apart} from the operator (limit ${allowed}), its battery falling${battery} until it comes down by itself, with nobody near.`,
      advice: `Keep within ${say.length(holdWithin_m)} with hold set, so that you can walk up and take over; farther out set it to return.`,
      evidence,
    };
  },
  bases: ({ inputs }) => [inputs.lostLinkAction?.basis ?? "declared", inputs.operator?.basis ?? "declared"],
  lacks: ({ inputs }) => [
    "lost-link-action",
    "zones",
    ...(inputs.lostLinkAction?.value === "hold" ? (["operator"] as const) : []),
    "position",
  ],
});

function zoneName({ setting }: Replay, view: { latitude_deg: number; longitude_deg: number }, bits: number): string {
  const { site } = setting;
  // The gravest kind first: water drowns, whatever else the spot may be.
  const water = site.zoneAt(view.latitude_deg, view.longitude_deg, bits & ZONE_BITS.water);
  const zone = water >= 0 ? water : site.zoneAt(view.latitude_deg, view.longitude_deg, bits);
  return site.zoneNames[zone] ?? "a zone";
}

function known(value: number): number | null {
  return Number.isNaN(value) ? null : value;
}
