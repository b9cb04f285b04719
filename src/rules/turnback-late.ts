import { greatest } from "../num/columns.js";
import { findTurnback, type Turnback } from "../recovery/turnback.js";
import { type Conduct, conductRule } from "./rule.js";
import { concerns, energyBases } from "./shared.js";
import type { Replay } from "../recovery/replay.js";
import type { Say } from "./say.js";

/**
 * Seconds the aircraft stayed outbound after the last moment at which a recovery would have kept the reserve (`thin`) or
 * the floor (`fail`).
 */
export const turnbackLate = conductRule({
  id: "turnback-late",
  question: "Did the aircraft turn for home while the battery still covered the way?",
  unit: "s",
  limits: {
    touchdownFloor_pct: "touchdown_floor",
    touchdownReserve_pct: "touchdown_reserve",
    late_s: "turnback_late",
    beyond_m: "turnback_beyond",
  },
  judge(replay, { touchdownFloor_pct, touchdownReserve_pct, late_s, beyond_m }, say): Conduct {
    const isFar = greatest(replay.moments.distance_m) > beyond_m;
    const reserve = findTurnback(replay, "middle", touchdownReserve_pct);
    if (reserve === undefined) {
      // Never away from home with a known distance: the question does not arise; else something is missing.
      const isHome = replay.moments.distance_m.every((distance_m) => distance_m <= beyond_m);
      return isHome
        ? { verdict: "n/a" }
        : { verdict: "unknown", lacks: ["battery", "recovery-point", "height", "wind"] };
    }
    if (!isFar) return { verdict: "n/a" };
    const floor = findTurnback(replay, "low", touchdownFloor_pct);
    if (floor !== undefined && isLate(floor, late_s)) {
      return { verdict: "fail", finding: tell(replay, floor, reserve, touchdownFloor_pct, "floor", late_s, say) };
    }
    if (isLate(reserve, late_s)) {
      return { verdict: "thin", finding: tell(replay, reserve, reserve, touchdownReserve_pct, "reserve", late_s, say) };
    }
    const unknown_s = unknownAway_s(replay);
    return unknown_s > 0 && unknown_s >= late_s
      ? { verdict: "unknown", lacks: ["battery", "recovery-point", "height", "wind"] }
      : { verdict: "clear" };
  },
  bases: energyBases,
});

/** A limit of no time at all still wants the aircraft to have stayed out after the last safe moment. */
function isLate({ outboundAfter_s }: Turnback, late_s: number): boolean {
  return outboundAfter_s > 0 && outboundAfter_s >= late_s;
}

/** Time away from home in which the touchdown is not known: in it the last safe moment may have gone by. */
function unknownAway_s({ moments, length }: Replay): number {
  let lasted_s = 0;
  for (let k = 0; k < length; k += 1) {
    if (moments.atHand[k] === 1 || !Number.isNaN(moments.touchdownMiddle_pct[k] ?? Number.NaN)) continue;
    lasted_s += moments.weight_s[k] ?? 0;
  }
  return lasted_s;
}

function tell(
  replay: Replay,
  turnback: Turnback,
  advised: Turnback,
  limit_pct: number,
  name: "floor" | "reserve",
  late_s: number,
  say: Say,
): NonNullable<Conduct["finding"]> {
  const { moments, flight } = replay;
  const { lastSafe, turned = 0 } = turnback;
  const safe = lastSafe ?? turnback.firstUnsafe ?? 0;
  const at = (column: Float64Array, k: number): number => column[k] ?? Number.NaN;
  const safe_s = at(moments.at_s, safe);
  const since =
    lastSafe === undefined
      ? `, though from the first moment known (${say.time(safe_s)}) no recovery would have landed with`
      : ` after the last moment (${say.time(safe_s)}) at which a recovery would have landed with`;
  const message =
    `Stayed outbound for ${say.duration(turnback.outboundAfter_s)}${since} ` +
    `the ${name} of ${say.percent(limit_pct)}; turned for home at ` +
    `${say.time(at(moments.at_s, turned))}, ${say.length(at(moments.distance_m, turned))} out.${concerns(replay)}`;
  return {
    first: flight.first + safe,
    last: flight.first + turned,
    at: flight.first + turned,
    value: turnback.outboundAfter_s,
    limit: late_s,
    message,
    advice: advise(replay, advised, say),
    evidence: {
      last_safe_s: lastSafe === undefined ? null : safe_s,
      turned_s: at(moments.at_s, turned),
      outbound_after_s: turnback.outboundAfter_s,
      battery_at_last_safe_pct: lastSafe === undefined ? null : at(moments.battery_pct, lastSafe),
      distance_at_last_safe_m: lastSafe === undefined ? null : at(moments.distance_m, lastSafe),
    },
  };
}

/** When to turn next time: by the moment that kept the reserve, whatever the limit that was broken. */
function advise({ moments }: Replay, { lastSafe }: Turnback, say: Say): string {
  if (lastSafe === undefined) return "Set off on a flight like this with more battery, or stay nearer.";
  const at = (column: Float64Array): number => column[lastSafe] ?? Number.NaN;
  const left = say.percent(at(moments.battery_pct));
  return `Turn back by ${say.time(at(moments.at_s))} on a flight like this: with ${left} at ${say.length(at(moments.distance_m))}.`;
}
