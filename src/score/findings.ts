import { weakest } from "../config/sourced.js";
import { roundDegrees, roundValue } from "../num/round.js";
import type { Replay } from "../recovery/replay.js";
import { type Account, limitsOf, type Rule } from "../rules/rule.js";
import { sayIn } from "../rules/say.js";
import { VERDICT } from "../rules/verdict.js";
import { type ConductVerdict, type Judgement, lookAt, type MomentVerdicts, viewOf } from "./judge.js";
import type { Finding } from "./result.js";
import { MERGE_WITHIN_S, type Stretch, stretchesOf } from "./stretches.js";

/** Rules of one cause: the one that takes the points carries the others. */
const ONE_CAUSE: readonly string[] = ["reserve-short", "turnback-late", "reserve-floor"];

/** A rule that judged but could not put its verdict into words. */
export class TellingFailed extends Error {
  readonly ruleId: string;

  /** @param cause what the rule threw */
  constructor(ruleId: string, cause: unknown) {
    super(`${ruleId} cannot describe its finding`, { cause });
    this.ruleId = ruleId;
  }
}

/**
 * @returns every finding of a flight, in the order of rules and then of time, the rules of one cause linked
 * @throws TellingFailed where a rule's description throws
 */
export function findingsOf(judgement: Judgement, lost: ReadonlyMap<string, number>): Finding[] {
  const { replay } = judgement;
  let episode = 0;
  const drafts: Finding[] = [];
  for (const verdicts of judgement.moments) {
    let before: Stretch | undefined;
    for (const stretch of longStretches(verdicts, replay)) {
      if (before === undefined || !adjoins(replay, before, stretch)) episode += 1;
      drafts.push(ofStretch(verdicts, replay, stretch, episode));
      before = stretch;
    }
  }
  for (const verdict of judgement.conducts) {
    if (verdict.conduct.finding === undefined) continue;
    episode += 1;
    drafts.push(ofConduct(verdict, replay, episode));
  }
  return link(drafts, lost);
}

/** Stretches that are long enough to be findings; `shortest_stretch` keeps a single odd row from being one. */
export function longStretches({ codes }: MomentVerdicts, { moments, setting }: Replay): Stretch[] {
  const shortest_s = setting.policy.shortest_stretch - 1e-6;
  return stretchesOf(codes, moments.at_s, moments.weight_s).filter(({ duration_s }) => duration_s >= shortest_s);
}

function adjoins({ moments }: Replay, before: Stretch, after: Stretch): boolean {
  // Neighbouring rows adjoin however slow the log is.
  if (after.first <= before.last + 1) return true;
  return (moments.at_s[after.first] ?? 0) - (moments.at_s[before.last] ?? 0) < MERGE_WITHIN_S;
}

function ofStretch({ rule }: MomentVerdicts, replay: Replay, stretch: Stretch, episode: number): Finding {
  const verdict = stretch.code === VERDICT.fail ? "fail" : "thin";
  const view = viewOf(rule);
  const limits = limitsOf(rule, replay.setting.policy);
  let worst = stretch.first;
  let worstBadness = Number.NEGATIVE_INFINITY;
  for (const [from, to] of stretch.runs) {
    for (let k = from; k <= to; k += 1) {
      lookAt(view, replay, k);
      const badness = rule.badness(view, verdict, limits);
      if (badness > worstBadness) {
        worst = k;
        worstBadness = badness;
      }
    }
  }
  lookAt(view, replay, worst);
  const telling = { replay, k: worst, verdict, say: sayIn(replay.setting.units) } as const;
  return toFinding(
    rule,
    replay,
    tell(rule, () => rule.describe(view, limits, telling)),
    {
      verdict,
      episode,
      first: stretch.first,
      last: stretch.last,
      duration_s: stretch.duration_s,
      at: worst,
      isAssumed: stretch.code === VERDICT.thinAssumed,
    },
  );
}

function tell(rule: Rule, describe: () => Account): Account {
  try {
    return describe();
  } catch (error) {
    throw new TellingFailed(rule.id, error);
  }
}

function ofConduct({ rule, conduct }: ConductVerdict, replay: Replay, episode: number): Finding {
  const { finding } = conduct;
  if (finding === undefined || (conduct.verdict !== "thin" && conduct.verdict !== "fail")) {
    throw new Error(`${rule.id} gives a finding without a thin or fail verdict`);
  }
  const { first } = replay.flight;
  const from = finding.first - first;
  const to = finding.last - first;
  let duration_s = 0;
  for (let k = from; k <= to; k += 1) duration_s += replay.moments.weight_s[k] ?? 0;
  return toFinding(rule, replay, finding, {
    verdict: conduct.verdict,
    episode,
    first: from,
    last: to,
    duration_s,
    at: finding.at - first,
    isAssumed: conduct.byAssumptionAlone === true,
  });
}

function toFinding(
  rule: Rule,
  replay: Replay,
  account: Account,
  at: {
    verdict: "thin" | "fail";
    episode: number;
    first: number;
    last: number;
    duration_s: number;
    at: number;
    isAssumed: boolean;
  },
): Finding {
  const { moments } = replay;
  const value = (column: Float64Array, k: number): number => column[k] ?? Number.NaN;
  const rounded = Object.entries(account.evidence).map(([key, entry]) => {
    if (typeof entry !== "number") return [key, entry] as const;
    return [key, key.endsWith("_deg") ? roundDegrees(entry) : roundValue(entry)] as const;
  });
  return {
    rule: rule.id,
    verdict: at.verdict,
    episode: at.episode,
    start_s: roundValue(value(moments.at_s, at.first)) ?? 0,
    end_s: roundValue(value(moments.at_s, at.last)) ?? 0,
    duration_s: roundValue(at.duration_s) ?? 0,
    decided_by: at.isAssumed ? "assumed" : weakest(rule.bases(replay)),
    by_assumption_alone: at.isAssumed,
    related: [],
    worst: {
      at_s: roundValue(value(moments.at_s, at.at)) ?? 0,
      latitude_deg: roundDegrees(value(moments.latitude_deg, at.at)),
      longitude_deg: roundDegrees(value(moments.longitude_deg, at.at)),
      height_m: roundValue(value(moments.height_m, at.at)),
      value: roundValue(account.value),
      limit: roundValue(account.limit),
      unit: account.unit ?? rule.unit,
    },
    message: account.message,
    advice: account.advice,
    evidence: Object.fromEntries(rounded),
  };
}

/** The first finding of the dearest rule of one cause carries the ids of the others that have findings. */
function link(findings: readonly Finding[], lost: ReadonlyMap<string, number>): Finding[] {
  const present = ONE_CAUSE.filter((id) => findings.some(({ rule }) => rule === id));
  const dearest = present.find((id) => (lost.get(id) ?? 0) > 0) ?? present[0];
  const others = present.filter((id) => id !== dearest);
  return findings.map((finding) => (finding.rule === dearest ? { ...finding, related: others } : finding));
}
