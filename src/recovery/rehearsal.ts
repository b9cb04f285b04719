import { CLIMB, CRUISE, DESCENT, HOVER } from "../aircraft/regimes.js";
import type { Plan } from "./need.js";
import { climbTime_min, legTime_min } from "./phase-times.js";
import { emptyPlan, planMoment } from "./replay-flight.js";
import type { Replay } from "./replay.js";

/** One part of a recovery. Infinite where there is no headway, NaN where what it rests on is not known. */
export interface RehearsalPhase {
  readonly phase: "delay" | "climb" | "transit" | "descent" | "landing";
  /** From the trigger. */
  readonly start_s: number;
  readonly duration_s: number;
  readonly distance_m: number;
  /** At its end, above the ground at the recovery point. */
  readonly height_m: number;
  readonly groundSpeed_ms: number;
  readonly energy_pct: number;
}

/** One recovery, phase by phase. */
export interface Rehearsal {
  /** Index of the moment among the flight's rows. */
  readonly k: number;
  readonly plan: Readonly<Plan>;
  /** In order; a part that takes no time is left out. */
  readonly phases: readonly RehearsalPhase[];
  /** The recovery ends on the spot, by hand or by the near action. */
  readonly isAtHand: boolean;
  /** The middle estimate gets nowhere against the wind. */
  readonly hasNoHeadway: boolean;
}

/**
 * Lays out the recovery that the replay computed for one moment: the same plan, rates and times as its need.
 * @param k index of the moment among the flight's rows
 * @returns phases whose energies add up to the middle need of that moment
 */
export function rehearsalAt(replay: Replay, k: number): Rehearsal {
  const { model, moments } = replay;
  const { speeds, drain, slowHeight_m } = model;
  const plan = emptyPlan(replay);
  planMoment(replay, k, plan);
  const top_m = plan.top_m < 0 ? 0 : plan.top_m;
  const slow_m = top_m > slowHeight_m ? slowHeight_m : top_m;
  const groundSpeed_ms = moments.groundSpeed_ms[k] ?? Number.NaN;
  const rate = (regime: number): number => drain.middle[regime] ?? Number.NaN;
  const transit_s = 60 * legTime_min(plan.distance_m, groundSpeed_ms);
  const parts: readonly (readonly [RehearsalPhase["phase"], number, number, number])[] = [
    ["delay", plan.delay_s, plan.height_m, rate(HOVER)],
    ["climb", 60 * climbTime_min(plan.height_m, plan.top_m, speeds.climb.value), plan.top_m, rate(CLIMB)],
    ["transit", transit_s, plan.top_m, rate(CRUISE)],
    ["descent", (top_m - slow_m) / speeds.descent.value, slow_m, rate(DESCENT)],
    ["landing", slow_m / speeds.landing.value, 0, rate(DESCENT)],
  ];
  return {
    k,
    plan,
    phases: inOrder(parts, plan, groundSpeed_ms),
    isAtHand: moments.atHand[k] === 1,
    hasNoHeadway: transit_s === Number.POSITIVE_INFINITY,
  };
}

function inOrder(
  parts: readonly (readonly [RehearsalPhase["phase"], number, number, number])[],
  plan: Plan,
  groundSpeed_ms: number,
): RehearsalPhase[] {
  let start_s = 0;
  return parts.flatMap(([phase, duration_s, height_m, rate_pctPerMin]) => {
    if (duration_s === 0) return [];
    const isLeg = phase === "transit";
    const begins_s = start_s;
    start_s += duration_s;
    return [
      {
        phase,
        start_s: begins_s,
        duration_s,
        distance_m: isLeg ? plan.distance_m : 0,
        height_m,
        groundSpeed_ms: isLeg ? groundSpeed_ms : 0,
        // A leg that takes for ever costs for ever, whatever the rate.
        energy_pct: duration_s === Number.POSITIVE_INFINITY ? duration_s : (rate_pctPerMin * duration_s) / 60,
      },
    ];
  });
}
