import { roundTo } from "../num/round.js";
import { findTurnback } from "../recovery/turnback.js";
import type { FlightAudit } from "../score/flight-result.js";
import type { Judgement } from "../score/judge.js";
import type { Finding } from "../score/result.js";
import { coverageRules } from "../score/coverage.js";
import { shownCodes } from "../score/strip.js";
import { VERDICT } from "../rules/verdict.js";
import { drawnVerdict } from "./drawn-verdict.js";
import type { DrawnMoments, FlightPicture } from "./picture.js";
import { frameOf, planPicture } from "./plan-picture.js";
import { recoveryPicture } from "./recovery-picture.js";
import { ruleBands, worstBands } from "./rule-bands.js";
import { thinMoments } from "./thin-moments.js";

/** Runs that a flight is cut into for its lines; with two columns, at most seven moments of each are kept. */
const RUNS = 84;

/**
 * Turns a judged flight into plain data to be drawn. It computes nothing that decides a verdict: it picks moments out of
 * the replay and rehearses the worst of each finding again, phase by phase.
 */
export function flightPicture({ result, judgement }: FlightAudit): FlightPicture {
  const { replay } = judgement;
  const { moments, setting, length } = replay;
  const { policy } = setting;
  const worst = worstMoments(result.findings, judgement);
  const recoveries = [...worst].map(([k, findings]) => recoveryPicture(replay, k, findings));
  const last = length - 1;
  return {
    start_s: moments.at_s[0] ?? 0,
    end_s: (moments.at_s[last] ?? 0) + (moments.weight_s[last] || 0),
    limits: {
      floor_pct: policy.touchdown_floor,
      reserve_pct: policy.touchdown_reserve,
      clearance_m: policy.clearance,
      corridor_m: policy.corridor,
    },
    upper_pct: policy.upper,
    moments: drawnMoments(judgement, [...worst.keys()]),
    bands: ruleBands(judgement),
    recoveries,
    plan: planPicture(replay, worstBands(judgement), recoveries),
  };
}

/** Moments at which findings are worst, with the numbers of those findings; what only an assumption makes has no picture. */
function worstMoments(findings: readonly Finding[], { replay }: Judgement): Map<number, number[]> {
  const { at_s } = replay.moments;
  const byTime = new Map<number | null, number>();
  for (let k = at_s.length - 1; k >= 0; k -= 1) byTime.set(roundTo(at_s[k] ?? Number.NaN, 6), k);
  const worst = new Map<number, number[]>();
  findings.forEach(({ worst: { at_s: time_s }, by_assumption_alone }, number) => {
    const k = byTime.get(time_s);
    if (k === undefined || by_assumption_alone) return;
    worst.set(k, [...(worst.get(k) ?? []), number]);
  });
  return worst;
}

function drawnMoments(judgement: Judgement, worst: readonly number[]): DrawnMoments {
  const { replay } = judgement;
  const { moments, flight, inputs, pointGround_m } = replay;
  const turnback = findTurnback(replay, "middle", replay.setting.policy.touchdown_reserve);
  const starts = new Set(flight.segments.map(({ from }) => from - flight.first));
  const forced = [...worst, turnback?.lastSafe ?? -1, turnback?.firstUnsafe ?? -1, ...starts];
  const kept = thinMoments([moments.touchdownMiddle_pct, moments.touchdownUpper_pct], RUNS, forced);
  const frame = frameOf(replay);
  const pick = (column: Float64Array): number[] => kept.map((k) => exact(column[k] ?? Number.NaN));
  const shown = shownCodes(judgement, coverageRules(replay));
  let before = -1;
  const isAfterGap = kept.map((k) => {
    const hasGap = [...starts].some((start) => start > Math.max(0, before) && start <= k);
    before = k;
    return hasGap;
  });
  return {
    at_s: pick(moments.at_s),
    isAfterGap,
    battery_pct: pick(moments.battery_pct),
    needMiddle_pct: pick(moments.needMiddle_pct),
    needUpper_pct: pick(moments.needUpper_pct),
    touchdownMiddle_pct: pick(moments.touchdownMiddle_pct),
    distance_m: pick(moments.distance_m),
    height_m: pick(moments.height_m),
    overPoint_m: kept.map((k) =>
      exact((moments.height_m[k] ?? Number.NaN) + inputs.heights.takeoffGround_m - (pointGround_m[k] ?? Number.NaN)),
    ),
    spot: kept.map((k) => {
      const at = (column: Float64Array): number => column[k] ?? Number.NaN;
      return frame?.spot(at(moments.latitude_deg), at(moments.longitude_deg)) ?? [Number.NaN, Number.NaN];
    }),
    verdict: kept.map((k) => drawnVerdict(shown[k] ?? VERDICT.unknown)),
    rules: kept.map((k) => worstRules(judgement, k)),
  };
}

/** Rules that give a moment its verdict, where that is thin or fail. */
function worstRules({ moments }: Judgement, k: number): string[] {
  const worst = Math.max(0, ...moments.map(({ codes }) => codes[k] ?? 0));
  if (worst <= VERDICT.clear) return [];
  return moments.filter(({ codes }) => codes[k] === worst).map(({ rule }) => rule.id);
}

/** Rounded as the result's numbers are; what is not known or has no end stays so. */
function exact(value: number): number {
  return roundTo(value, 6) ?? value;
}
