import { isAssessed, VERDICT } from "../rules/verdict.js";
import type { Replay } from "../recovery/replay.js";
import type { Judgement } from "./judge.js";

/** The rules whose assessed share is the coverage of every flight. */
export const COVERAGE_RULES = ["reserve-short", "ceiling-low", "point-adrift", "headwind-stall", "fix-weak"] as const;

/** @returns the rules that the coverage of a flight is made of: more of them where zones or a lost-link action are declared */
export function coverageRules({ setting, inputs }: Replay): readonly string[] {
  return [
    ...COVERAGE_RULES,
    ...(setting.site.hasZones ? ["overhead-cover", "keepout-crossed"] : []),
    ...(inputs.lostLinkAction === undefined ? [] : ["action-unsuited"]),
  ];
}

/** Time a rule could and could not be asked, s; n/a counts in neither. */
export interface AssessedTime {
  readonly assessed_s: number;
  readonly unknown_s: number;
}

/** How much of a flight was assessed. */
export interface Coverage {
  /** Assessed ÷ (assessed + unknown) time over `coverageRules`; 0 where none of them arose. */
  readonly share: number;
  /** By rule; undefined where the question never arose. */
  readonly rules: ReadonlyMap<string, number | undefined>;
}

/** @returns coverage of a flight, by rule and in all */
export function coverageOf({ moments, conducts, replay }: Judgement): Coverage {
  const rules = new Map<string, number | undefined>();
  const counted = coverageRules(replay);
  let assessed_s = 0;
  let unknown_s = 0;
  for (const { rule, codes } of moments) {
    const time = assessedTime(codes, replay.moments.weight_s);
    rules.set(rule.id, shareOf(time));
    if (!counted.includes(rule.id)) continue;
    assessed_s += time.assessed_s;
    unknown_s += time.unknown_s;
  }
  for (const { rule, conduct } of conducts) {
    rules.set(rule.id, conduct.verdict === "n/a" ? undefined : conduct.verdict === "unknown" ? 0 : 1);
  }
  return { share: shareOf({ assessed_s, unknown_s }) ?? 0, rules };
}

function assessedTime(codes: Uint8Array, weight_s: Float64Array): AssessedTime {
  let assessed_s = 0;
  let unknown_s = 0;
  for (let k = 0; k < codes.length; k += 1) {
    const code = codes[k] ?? 0;
    if (isAssessed(code)) assessed_s += weight_s[k] ?? 0;
    else if (code === VERDICT.unknown) unknown_s += weight_s[k] ?? 0;
  }
  return { assessed_s, unknown_s };
}

function shareOf({ assessed_s, unknown_s }: AssessedTime): number | undefined {
  return assessed_s + unknown_s === 0 ? undefined : assessed_s / (assessed_s + unknown_s);
}
