import { distance_m } from "../num/geodesic.js";
import { roundDegrees, roundValue } from "../num/round.js";
import { clearanceAt } from "../recovery/clearances.js";
import { rehearsalAt, type Rehearsal } from "../recovery/rehearsal.js";
import type { Replay } from "../recovery/replay.js";
import { wayHome } from "../recovery/way-home.js";
import { describeLacks } from "../rules/lacks.js";
import { limitsOf } from "../rules/rule.js";
import { sayIn } from "../rules/say.js";
import { VERDICT, type Verdict, verdictOf } from "../rules/verdict.js";
import type { FlightAudit } from "./flight-result.js";
import { lookAt, type MomentVerdicts, viewOf } from "./judge.js";
import type { FlightResult, ResultPosition } from "./result.js";

/** One recovery as the result shows it; null is not known, or without end where `need_pct.reason` says so. */
export interface RehearsalResult {
  readonly format: "homeleg-rehearsal";
  readonly format_version: 1;
  readonly path: string;
  readonly flight: number;
  /** Of the moment, from the log's first sample. */
  readonly at_s: number;
  readonly at_utc: string | null;
  readonly at_hand: boolean;
  readonly from: ResultPosition | null;
  readonly recovery_point: ResultPosition | null;
  /** Heights are above the ground at the recovery point. */
  readonly height_m: number | null;
  readonly leg_height_m: number | null;
  readonly distance_m: number | null;
  readonly battery_pct: number | null;
  /** At the height of the leg. */
  readonly wind: { readonly speed_ms: number | null; readonly from_deg: number | null; readonly basis: string };
  readonly phases: readonly {
    readonly phase: Rehearsal["phases"][number]["phase"];
    /** From the log's first sample, as all times. */
    readonly start_s: number | null;
    readonly duration_s: number | null;
    readonly distance_m: number | null;
    readonly height_m: number | null;
    readonly ground_speed_ms: number | null;
    readonly energy_pct: number | null;
  }[];
  readonly need_pct: {
    readonly middle: number | null;
    readonly upper: number | null;
    readonly upper_is: "level" | "bound";
    readonly reason?: "no_headway";
  };
  readonly touchdown_pct: { readonly middle: number | null; readonly upper: number | null };
  readonly clearance: {
    readonly centre_m: number | null;
    readonly corridor_m: number | null;
    readonly latitude_deg: number | null;
    readonly longitude_deg: number | null;
    /** `the ground`, or the name of an obstacle. */
    readonly over: string;
    /** From here to there. */
    readonly along_m: number | null;
  } | null;
  /** Of the policy, for what is left at touchdown and what is clear under the way. */
  readonly limits: {
    readonly touchdown_floor_pct: number;
    readonly touchdown_reserve_pct: number;
    readonly clearance_m: number;
    readonly corridor_m: number;
  };
  readonly verdicts: Readonly<Record<string, Verdict>>;
  /** By rule: what a thin or fail says, what an unknown wants, the question that a clear answers. */
  readonly reasons: Readonly<Record<string, string>>;
  /** The ground and what stands on it under the leg, in equal stretches, above the ground at the recovery point. */
  readonly profile: {
    readonly along_m: readonly (number | null)[];
    readonly ground_m: readonly (number | null)[];
    readonly obstacle_top_m: readonly (number | null)[];
    readonly obstacle_unknown: readonly boolean[];
  } | null;
  readonly inputs: FlightResult["inputs"];
  readonly drain: FlightResult["drain"];
}

const PROFILE_SAMPLES = 160;

/** @returns the recovery from the k-th moment of a flight, with its verdicts and the ground under it */
export function rehearsalResult(path: string, { result, judgement }: FlightAudit, k: number): RehearsalResult {
  const { replay } = judgement;
  const { moments, inputs, track, setting } = replay;
  const { policy } = setting;
  const at = (column: Float64Array): number => column[k] ?? Number.NaN;
  const rehearsal = rehearsalAt(replay, k);
  const { plan } = rehearsal;
  const at_s = at(moments.at_s);
  return {
    format: "homeleg-rehearsal",
    format_version: 1,
    path,
    flight: result.index,
    at_s: roundValue(at_s) ?? 0,
    at_utc: track.startUtc_s === undefined ? null : new Date((track.startUtc_s + at_s) * 1000).toISOString(),
    at_hand: rehearsal.isAtHand,
    from: positionOf(at(moments.latitude_deg), at(moments.longitude_deg)),
    recovery_point: positionOf(at(inputs.point.latitude_deg), at(inputs.point.longitude_deg)),
    height_m: roundValue(plan.height_m),
    leg_height_m: roundValue(plan.top_m),
    distance_m: roundValue(at(moments.distance_m)),
    battery_pct: roundValue(at(moments.battery_pct)),
    wind: { speed_ms: roundValue(plan.wind_ms), from_deg: roundValue(plan.windFrom_deg), basis: inputs.wind.basis },
    phases: phasesOf(rehearsal, at_s),
    need_pct: {
      middle: roundValue(at(moments.needMiddle_pct)),
      upper: roundValue(at(moments.needUpper_pct)),
      upper_is: replay.upperIs,
      ...(at(moments.needUpper_pct) === Number.POSITIVE_INFINITY ? ({ reason: "no_headway" } as const) : {}),
    },
    touchdown_pct: {
      middle: roundValue(at(moments.touchdownMiddle_pct)),
      upper: roundValue(at(moments.touchdownUpper_pct)),
    },
    clearance: clearanceOf(replay, k),
    limits: {
      touchdown_floor_pct: policy.touchdown_floor,
      touchdown_reserve_pct: policy.touchdown_reserve,
      clearance_m: policy.clearance,
      corridor_m: policy.corridor,
    },
    verdicts: Object.fromEntries(judgement.moments.map(({ rule, codes }) => [rule.id, verdictOf(codes[k] ?? 0)])),
    reasons: Object.fromEntries(judgement.moments.map((one) => [one.rule.id, reasonOf(one, replay, k)])),
    profile: profileOf(replay, rehearsal),
    inputs: result.inputs,
    drain: result.drain,
  };
}

function positionOf(latitude: number, longitude: number): ResultPosition | null {
  const latitude_deg = roundDegrees(latitude);
  const longitude_deg = roundDegrees(longitude);
  return latitude_deg === null || longitude_deg === null ? null : { latitude_deg, longitude_deg };
}

function phasesOf({ phases }: Rehearsal, at_s: number): RehearsalResult["phases"] {
  return phases.map(({ phase, start_s, duration_s, groundSpeed_ms, ...phaseEnd }) => ({
    phase,
    start_s: roundValue(at_s + start_s),
    duration_s: roundValue(duration_s),
    distance_m: roundValue(phaseEnd.distance_m),
    height_m: roundValue(phaseEnd.height_m),
    ground_speed_ms: roundValue(groundSpeed_ms),
    energy_pct: roundValue(phaseEnd.energy_pct),
  }));
}

function clearanceOf(replay: Replay, k: number): RehearsalResult["clearance"] {
  const { moments, setting } = replay;
  if (Number.isNaN(moments.clearanceCentre_m[k] ?? Number.NaN)) return null;
  const { centre_m, corridor_m, latitude_deg, longitude_deg, over } = clearanceAt(replay, k, setting.policy.corridor);
  const along_m = distance_m(
    moments.latitude_deg[k] ?? Number.NaN,
    moments.longitude_deg[k] ?? Number.NaN,
    latitude_deg,
    longitude_deg,
  );
  return {
    centre_m: roundValue(centre_m),
    corridor_m: roundValue(corridor_m),
    latitude_deg: roundDegrees(latitude_deg),
    longitude_deg: roundDegrees(longitude_deg),
    over: over < 0 ? "the ground" : (setting.site.obstacleNames[over] ?? "an obstacle"),
    along_m: roundValue(along_m),
  };
}

function reasonOf({ rule, codes }: MomentVerdicts, replay: Replay, k: number): string {
  const code = codes[k] ?? 0;
  const verdict = verdictOf(code);
  const off = replay.setting.config.declared.rulesOff[rule.id];
  if (off !== undefined) return `Switched off: ${off}`;
  if (verdict === "n/a") return "The question does not arise here.";
  if (verdict === "clear") return `${rule.question} Yes.`;
  if (verdict === "unknown") {
    const wants = describeLacks(rule.lacks(replay), replay).map(({ label }) => label);
    return `Wants ${wants.length > 0 ? wants.join("; ") : "readings that the log lacks at this moment"}.`;
  }
  const view = viewOf(rule);
  lookAt(view, replay, k);
  const say = sayIn(replay.setting.units);
  const { message } = rule.describe(view, limitsOf(rule, replay.setting.policy), { replay, k, verdict, say });
  return code === VERDICT.thinAssumed ? `${message} By an assumption alone.` : message;
}

/** The profile where heights can be compared with it; nothing under a recovery that lands on the spot. */
function profileOf(replay: Replay, { plan, k }: Rehearsal): RehearsalResult["profile"] {
  const { inputs, setting, pointGround_m } = replay;
  const { site } = setting;
  const isKnown = site.hasTerrain ? inputs.heights.isTied : site.hasObstacles;
  if (!isKnown || !(plan.distance_m > 0)) return null;
  const base_m = pointGround_m[k] ?? Number.NaN;
  const leg = wayHome(replay, k, 0);
  leg.path_m = base_m + plan.top_m;
  const { along_m, ground_m, obstacleTop_m, hasUnknownTop } = site.profile(leg, PROFILE_SAMPLES);
  const above = (column: Float64Array): (number | null)[] => Array.from(column, (value) => roundValue(value - base_m));
  return {
    along_m: Array.from(along_m, roundValue),
    ground_m: site.hasTerrain ? above(ground_m) : Array.from(ground_m, () => null),
    obstacle_top_m: above(obstacleTop_m),
    obstacle_unknown: Array.from(hasUnknownTop, (value) => value === 1),
  };
}
