import { greatest } from "../num/columns.js";
import { distance_m } from "../num/geodesic.js";
import { roundDegrees, roundValue } from "../num/round.js";
import { findFlownRecoveries, type FlownRecovery } from "../recovery/flown.js";
import type { Replay } from "../recovery/replay.js";
import { findTurnback } from "../recovery/turnback.js";
import { describeLacks } from "../rules/lacks.js";
import type { Lack } from "../rules/rule.js";
import { isAssessed, VERDICT } from "../rules/verdict.js";
import { type Coverage, coverageOf, coverageRules } from "./coverage.js";
import { coverageHints } from "./coverage-hints.js";
import { findingsOf, longStretches, TellingFailed } from "./findings.js";
import { drainRecord, inputsOf } from "./inputs.js";
import { codeOf, type Judgement, judgeFlight, type RuleSet } from "./judge.js";
import { type Score, scoreOf } from "./points.js";
import type { FlightResult, NotAssessed, RecoveryFlown } from "./result.js";
import { gravestParts, shownCodes, worstCodes } from "./strip.js";

/** Parts of the one-line strip of a flight. */
const STRIP_PARTS = 100;

/** A flight audited: the result, and the judgement it was made from (for `--moments`). */
export interface FlightAudit {
  readonly result: FlightResult;
  readonly judgement: Judgement;
}

/** Judges a replayed flight and makes its result. A rule that cannot even describe its finding counts as crashed. */
export function auditFlight(replay: Replay, rules?: RuleSet): FlightAudit {
  let judgement = judgeFlight(replay, rules);
  for (;;) {
    try {
      return { result: flightResult(judgement), judgement };
    } catch (error) {
      if (!(error instanceof TellingFailed)) throw error;
      judgement = withCrash(judgement, error);
    }
  }
}

function withCrash(judgement: Judgement, { ruleId, cause }: TellingFailed): Judgement {
  const unknown = new Uint8Array(judgement.replay.length).fill(VERDICT.unknown);
  return {
    ...judgement,
    moments: judgement.moments.map((one) => (one.rule.id === ruleId ? { ...one, codes: unknown } : one)),
    crashes: new Map([...judgement.crashes, [ruleId, cause]]),
  };
}

function flightResult(judgement: Judgement): FlightResult {
  const { replay } = judgement;
  const { flight, track, moments, inputs, setting } = replay;
  const coverage = coverageOf(judgement);
  const isCovered = coverage.share >= setting.policy.coverage_floor;
  const score = scoreOf({
    weight_s: moments.weight_s,
    moments: judgement.moments.map(({ rule, codes }) => ({ id: rule.id, codes })),
    conducts: judgement.conducts.map(({ rule, conduct }) => ({ id: rule.id, code: codeOf(conduct) })),
    isCapped: isCapped(judgement),
    points: { thin: setting.policy["conduct_points.thin"], fail: setting.policy["conduct_points.fail"] },
  });
  const shown = isCovered ? score : undefined;
  const start_s = track.columns.time_s[flight.first] ?? 0;
  const end_s = track.columns.time_s[flight.last] ?? 0;
  return {
    index: flight.index,
    start_utc: track.startUtc_s === undefined ? null : new Date((track.startUtc_s + start_s) * 1000).toISOString(),
    start_s: roundValue(start_s) ?? 0,
    end_s: roundValue(end_s) ?? 0,
    airborne_s: roundValue(end_s - start_s) ?? 0,
    ...extent(replay),
    ...pointOf(replay),
    inputs: inputsOf(replay),
    drain: drainRecord(inputs.drain),
    drain_fitted: inputs.fitted === undefined || inputs.fitted === inputs.drain ? null : drainRecord(inputs.fitted),
    upper_is: replay.upperIs,
    ...scoreFields(shown),
    ...timesByVerdict(judgement),
    coverage: {
      share: roundValue(coverage.share) ?? 0,
      rules: Object.fromEntries(
        [...coverage.rules].map(([id, share]) => [id, share === undefined ? null : roundValue(share)]),
      ),
    },
    turnback: turnbackOf(replay),
    recoveries_flown: findFlownRecoveries(replay).map((one) => recoveryFlown(replay, one)),
    findings: findingsOf(judgement, score?.lost ?? new Map()),
    not_assessed: notAssessed(judgement, coverage),
    coverage_hints: isCovered ? [] : coverageHints(judgement, coverage),
    strip: stripOf(judgement),
  };
}

/** A fail stretch long enough to be a finding caps the score, and so does an unsafe recovery point. */
function isCapped({ moments, conducts, replay }: Judgement): boolean {
  return (
    moments.some((verdicts) => longStretches(verdicts, replay).some(({ code }) => code === VERDICT.fail)) ||
    conducts.some(({ rule, conduct }) => rule.id === "point-unsafe" && conduct.verdict === "fail")
  );
}

function scoreFields(
  score: Score | undefined,
): Pick<FlightResult, "score" | "share_part" | "conduct_part" | "points_lost"> {
  if (score === undefined) return { score: null, share_part: null, conduct_part: null, points_lost: {} };
  return {
    score: score.score,
    share_part: roundValue(score.sharePart),
    conduct_part: roundValue(score.conductPart),
    points_lost: Object.fromEntries([...score.lost].map(([id, points]) => [id, roundValue(points) ?? 0])),
  };
}

function extent({
  flight,
  moments,
  inputs,
}: Replay): Pick<
  FlightResult,
  "distance_flown_m" | "farthest_m" | "highest_m" | "battery_start_pct" | "battery_end_pct"
> {
  let flown_m = 0;
  for (const { from, to } of flight.segments) {
    let before = -1;
    for (let k = from - flight.first; k < to - flight.first; k += 1) {
      if (Number.isNaN(moments.latitude_deg[k] ?? Number.NaN)) continue;
      if (before >= 0) flown_m += stepLength_m(moments, before, k);
      before = k;
    }
  }
  const battery = inputs.battery_pct;
  return {
    distance_flown_m: roundValue(flown_m),
    farthest_m: roundValue(greatest(moments.distance_m)),
    highest_m: roundValue(greatest(moments.height_m)),
    battery_start_pct: roundValue(battery?.find((value) => !Number.isNaN(value)) ?? Number.NaN),
    battery_end_pct: roundValue(battery?.findLast((value) => !Number.isNaN(value)) ?? Number.NaN),
  };
}

function stepLength_m({ latitude_deg, longitude_deg }: Replay["moments"], from: number, to: number): number {
  const at = (column: Float64Array, k: number): number => column[k] ?? Number.NaN;
  return distance_m(at(latitude_deg, from), at(longitude_deg, from), at(latitude_deg, to), at(longitude_deg, to));
}

function pointOf({ inputs, flight, track }: Replay): Pick<FlightResult, "recovery_point" | "recovery_point_moves"> {
  const { point } = inputs;
  const at = (row: number): { at_s: number; latitude_deg: number; longitude_deg: number } => ({
    at_s: roundValue(track.columns.time_s[row] ?? 0) ?? 0,
    latitude_deg: roundDegrees(point.latitude_deg[row - flight.first] ?? 0) ?? 0,
    longitude_deg: roundDegrees(point.longitude_deg[row - flight.first] ?? 0) ?? 0,
  });
  if (point.setRow === undefined) return { recovery_point: null, recovery_point_moves: [] };
  const { at_s, ...position } = at(point.setRow);
  return {
    recovery_point: { ...position, basis: point.basis, set_at_s: at_s },
    recovery_point_moves: point.moveRows.map(at),
  };
}

function timesByVerdict(judgement: Judgement): Pick<FlightResult, "recoverable_share" | "fail_s" | "thin_s"> {
  const { weight_s } = judgement.replay.moments;
  const codes = worstCodes(judgement);
  let judged_s = 0;
  let fail_s = 0;
  let thin_s = 0;
  for (let k = 0; k < weight_s.length; k += 1) {
    const worst = codes[k] ?? 0;
    const weight = weight_s[k] ?? 0;
    if (isAssessed(worst)) judged_s += weight;
    if (worst === VERDICT.fail) fail_s += weight;
    else if (worst >= VERDICT.thinAssumed) thin_s += weight;
  }
  return {
    recoverable_share: judged_s === 0 ? null : roundValue((judged_s - fail_s) / judged_s),
    fail_s: roundValue(fail_s) ?? 0,
    thin_s: roundValue(thin_s) ?? 0,
  };
}

function turnbackOf(replay: Replay): FlightResult["turnback"] {
  const turnback = findTurnback(replay, "middle", replay.setting.policy.touchdown_reserve);
  if (turnback === undefined) return null;
  const { lastSafe, outboundAfter_s } = turnback;
  return {
    passed: outboundAfter_s > 0,
    last_safe_s: lastSafe === undefined ? null : roundValue(replay.moments.at_s[lastSafe] ?? Number.NaN),
    outbound_after_s: roundValue(outboundAfter_s) ?? 0,
  };
}

function recoveryFlown(
  { moments }: Replay,
  { first, last, basis, ended, predicted, actual }: FlownRecovery,
): RecoveryFlown {
  return {
    start_s: roundValue(moments.at_s[first] ?? 0) ?? 0,
    end_s: roundValue(moments.at_s[last] ?? 0) ?? 0,
    basis,
    ended,
    predicted: {
      time_s: roundValue(predicted.time_s),
      need_middle_pct: roundValue(predicted.needMiddle_pct),
      need_upper_pct: roundValue(predicted.needUpper_pct),
      height_m: roundValue(predicted.height_m),
    },
    actual: {
      time_s: roundValue(actual.time_s) ?? 0,
      used_pct: roundValue(actual.used_pct),
      height_m: roundValue(actual.height_m),
      ended_m_from_point: roundValue(actual.endedFromPoint_m),
      path_ratio: roundValue(actual.pathRatio),
    },
  };
}

function notAssessed(judgement: Judgement, coverage: Coverage): NotAssessed[] {
  return [
    ...judgement.moments.map(({ rule }) => ({ id: rule.id, lacks: rule.lacks(judgement.replay) })),
    ...judgement.conducts.map(({ rule, conduct }) => ({ id: rule.id, lacks: conduct.lacks ?? [] })),
  ].flatMap(({ id, lacks }) => {
    const share = coverage.rules.get(id);
    if (share === undefined || share === 1) return [];
    return [{ rule: id, missing: missingFor(judgement, id, lacks), share: roundValue(1 - share) ?? 0 }];
  });
}

function missingFor({ replay, crashes }: Judgement, id: string, lacks: readonly Lack[]): string[] {
  const reason = replay.setting.config.declared.rulesOff[id];
  if (reason !== undefined) return [`switched off: ${reason}`];
  if (crashes.has(id)) return ["the rule crashed; please report it"];
  const labels = describeLacks(lacks, replay).map(({ label }) => label);
  return labels.length > 0 ? labels : ["readings that the log lacks at these moments"];
}

function stripOf(judgement: Judgement): FlightResult["strip"] {
  const shown = shownCodes(judgement, coverageRules(judgement.replay));
  const worst = gravestParts(judgement.replay, shown, STRIP_PARTS);
  return [...worst].map((code) => {
    if (code === VERDICT.fail) return "fail";
    if (code >= VERDICT.thinAssumed) return "thin";
    return code === VERDICT.clear ? "clear" : "unknown";
  });
}
