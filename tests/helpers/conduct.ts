import type { Replay } from "../../src/recovery/replay.js";
import { type Conduct, type ConductRule, limitsOf } from "../../src/rules/rule.js";
import { sayIn } from "../../src/rules/say.js";

/** @returns what a conduct rule says of a replay */
export function askConduct(rule: ConductRule, replay: Replay): Conduct {
  return rule.judge(replay, limitsOf(rule, replay.setting.policy), sayIn("metric"));
}
