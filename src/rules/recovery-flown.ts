import { findFlownRecoveries, type FlownRecovery } from "../recovery/flown.js";
import type { Replay } from "../recovery/replay.js";
import { type Conduct, conductRule } from "./rule.js";
import type { Say } from "./say.js";
import { energyBases } from "./shared.js";

/**
 * A recovery that was flown, against the one rehearsed at its first moment: the only check of the model that a log holds.
 *
 * One that only has the shape of a recovery may have been flown by hand; it is shown in the result and not judged.
 */
export const recoveryFlown = conductRule({
  id: "recovery-flown",
  question: "Did a recovery that was flown go as rehearsed, and end at its point?",
  unit: "%",
  limits: { adriftFail_m: "adrift.fail" },
  judge(replay, { adriftFail_m }, say): Conduct {
    const flown = findFlownRecoveries(replay).filter(({ basis }) => basis !== "inferred");
    if (flown.length === 0) return { verdict: "n/a" };
    // A flight lands once.
    const astray = flown.find((one) => hasLandedPast(one, adriftFail_m));
    if (astray !== undefined) return { verdict: "fail", finding: tellAstray(replay, astray, adriftFail_m, say) };
    const [dear] = flown.filter(isDear).toSorted((a, b) => beyond_pct(b) - beyond_pct(a));
    if (dear !== undefined) return { verdict: "thin", finding: tellDear(replay, dear, say) };
    return flown.some(isUnknown)
      ? { verdict: "unknown", lacks: ["battery", "recovery-point", "height", "wind"] }
      : { verdict: "clear" };
  },
  bases: (replay) => [replay.inputs.flown?.basis ?? "measured", ...energyBases(replay)],
});

/** One that the pilot took over did not end where it was going. */
function hasLandedPast({ ended, actual }: FlownRecovery, limit_m: number): boolean {
  return ended === "landed" && actual.endedFromPoint_m > limit_m;
}

/** One begun at hand is rehearsed as a descent alone, whatever the aircraft then flies: only its end is judged. */
function isDear({ isAtHand, actual, predicted }: FlownRecovery): boolean {
  return !isAtHand && actual.used_pct > predicted.needUpper_pct;
}

function isUnknown({ isAtHand, ended, actual, predicted }: FlownRecovery): boolean {
  if (ended === "landed" && Number.isNaN(actual.endedFromPoint_m)) return true;
  return !isAtHand && (Number.isNaN(actual.used_pct) || Number.isNaN(predicted.needUpper_pct));
}

function beyond_pct({ actual, predicted }: FlownRecovery): number {
  return actual.used_pct - predicted.needUpper_pct;
}

function tellAstray(replay: Replay, one: FlownRecovery, limit_m: number, say: Say): NonNullable<Conduct["finding"]> {
  const [away, limit] = say.beside("length", one.actual.endedFromPoint_m, limit_m);
  return {
    ...placeOf(replay, one),
    at: replay.flight.first + one.last,
    value: one.actual.endedFromPoint_m,
    limit: limit_m,
    unit: "m",
    message: `A recovery was flown from ${startOf(replay, one, say)} and landed ${away} from the recovery point (limit ${limit}).`,
    advice:
      "Find out why it landed there before you count on a recovery again: where the point was stored, how good the fix was, what the set action was.",
    evidence: evidenceOf(one),
  };
}

function tellDear(replay: Replay, one: FlownRecovery, say: Say): NonNullable<Conduct["finding"]> {
  const { predicted, actual } = one;
  const [used, upper] = say.beside("percent", actual.used_pct, predicted.needUpper_pct);
  return {
    ...placeOf(replay, one),
    at: replay.flight.first + one.first,
    value: predicted.needMiddle_pct - actual.used_pct,
    limit: predicted.needMiddle_pct - predicted.needUpper_pct,
    message:
      `A recovery was flown from ${startOf(replay, one, say)} and used ${used}, more than the upper estimate of ${upper} ` +
      `(${say.duration(actual.time_s)} flown${Number.isNaN(predicted.time_s) ? "" : `, ${say.duration(predicted.time_s)} rehearsed`}).`,
    advice:
      "Put right what the rehearsal was given: recovery speed, climb and descent, wind, and drain rates (homeleg fit).",
    evidence: evidenceOf(one),
  };
}

function placeOf({ flight }: Replay, { first, last }: FlownRecovery): { first: number; last: number } {
  return { first: flight.first + first, last: flight.first + last };
}

function startOf({ moments }: Replay, { first }: FlownRecovery, say: Say): string {
  const distance_m = moments.distance_m[first] ?? Number.NaN;
  const out = Number.isNaN(distance_m) ? "" : `, ${say.length(distance_m)} out,`;
  return `${say.time(moments.at_s[first] ?? Number.NaN)}${out}`;
}

function evidenceOf({ predicted, actual, ended }: FlownRecovery): Record<string, number | string | null> {
  const known = (value: number): number | null => (Number.isFinite(value) ? value : null);
  return {
    ended,
    predicted_time_s: known(predicted.time_s),
    actual_time_s: known(actual.time_s),
    need_middle_pct: known(predicted.needMiddle_pct),
    need_upper_pct: known(predicted.needUpper_pct),
    used_pct: known(actual.used_pct),
    predicted_height_m: known(predicted.height_m),
    actual_height_m: known(actual.height_m),
    ended_m_from_point: known(actual.endedFromPoint_m),
    path_ratio: known(actual.pathRatio),
  };
}
