import type { Replay } from "../../src/recovery/replay.js";
import { MOMENT_RULES } from "../../src/rules/index.js";
import { type Conduct, type ConductRule, limitsOf } from "../../src/rules/rule.js";
import { sayIn } from "../../src/rules/say.js";
import { askedOf, judgeMoments } from "../../src/score/judge.js";

/** @returns what a conduct rule says of a replay, once the moment rules have judged it */
export function askConduct(rule: ConductRule, replay: Replay): Conduct {
  const moments = MOMENT_RULES.map((one) => ({ rule: one, codes: judgeMoments(one, replay) }));
  const limits = limitsOf(rule, replay.setting.policy);
  return rule.judge(replay, limits, sayIn("metric"), askedOf(replay, moments));
}
