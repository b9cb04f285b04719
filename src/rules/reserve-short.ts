import { momentRule } from "./rule.js";
import { concerns, energyBases } from "./shared.js";

/**
 * Battery left at touchdown, had a recovery begun at this moment.
 *
 * The middle estimate of the need decides `fail`, the upper one `thin`: a pilot may be unlucky once in ten flights, not
 * once in two. With rates that are only assumed, the low end decides `fail`. Equality with a limit is still good.
 */
export const reserveShort = momentRule({
  id: "reserve-short",
  question: "Would the battery have lasted a recovery from here, with the reserve left?",
  unit: "%",
  needs: ["touchdownLow_pct", "touchdownMiddle_pct", "touchdownUpper_pct", "battery_pct"],
  accepts: ["needMiddle_pct", "needUpper_pct", "distance_m", "groundSpeed_ms", "touchdownUpperKnown_pct"],
  withoutAssumptions: { touchdownUpper_pct: "touchdownUpperKnown_pct" },
  limits: { touchdownFloor_pct: "touchdown_floor", touchdownReserve_pct: "touchdown_reserve" },
  judge({ touchdownLow_pct, touchdownUpper_pct }, { touchdownFloor_pct, touchdownReserve_pct }) {
    if (touchdownLow_pct < touchdownFloor_pct) return "fail";
    return touchdownUpper_pct < touchdownReserve_pct ? "thin" : "clear";
  },
  badness: (view, verdict) => -(verdict === "fail" ? view.touchdownLow_pct : view.touchdownUpper_pct),
  describe(view, { touchdownFloor_pct, touchdownReserve_pct }, { replay, verdict, say }) {
    const fails = verdict === "fail";
    const value = fails ? view.touchdownLow_pct : view.touchdownUpper_pct;
    const limit = fails ? touchdownFloor_pct : touchdownReserve_pct;
    const need = fails ? view.battery_pct - view.touchdownLow_pct : view.needUpper_pct;
    const [left, floor] = say.beside("percent", value, limit);
    const [has, needs] = say.beside("percent", view.battery_pct, need);
    const where = `${say.length(view.distance_m)} out with ${value < 0 ? has : say.percent(view.battery_pct)}`;
    const estimate = fails && replay.inputs.drain.isAssumed ? "at the very least" : fails ? "about" : "up to";
    const message =
      need === Number.POSITIVE_INFINITY
        ? `${where}: ${fails ? "no headway home at the recovery speed" : "no headway home in the gusts"}.`
        : value < 0
          ? `${where}: a recovery from here needs ${estimate} ${needs}, more than there is.`
          : `${where}: a recovery from here needs ${estimate} ${say.percent(need)} and lands with ${left} (${fails ? "floor" : "reserve"} ${floor}).`;
    return {
      value,
      limit,
      message: message + concerns(replay),
      advice: turnBackAdvice(need, touchdownReserve_pct, say.percent),
      evidence: {
        battery_pct: view.battery_pct,
        need_middle_pct: view.needMiddle_pct,
        need_upper_pct: view.needUpper_pct,
        touchdown_middle_pct: view.touchdownMiddle_pct,
        touchdown_upper_pct: view.touchdownUpper_pct,
        distance_m: view.distance_m,
        ground_speed_ms: view.groundSpeed_ms,
        ...(need === Number.POSITIVE_INFINITY ? { reason: "no_headway" } : {}),
      },
    };
  },
  bases: energyBases,
  lacks: () => ["battery", "recovery-point", "height", "wind"],
});

function turnBackAdvice(need_pct: number, reserve_pct: number, percent: (value: number) => string): string {
  if (need_pct === Number.POSITIVE_INFINITY) {
    return "Stay upwind of the recovery point in such a wind, or fly lower on the way out: the wind grows with height.";
  }
  const wanted_pct = need_pct + reserve_pct;
  if (wanted_pct > 100)
    return "No battery is enough for a recovery from here with the reserve kept: do not go this far out.";
  return `From here turn back with ${percent(Math.ceil(wanted_pct))} or more.`;
}
