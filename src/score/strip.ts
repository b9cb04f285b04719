import { VERDICT } from "../rules/verdict.js";
import type { Replay } from "../recovery/replay.js";
import type { Judgement } from "./judge.js";

/** @returns the worst verdict of every moment over all moment rules; `unknown` where no rule had an answer */
export function worstCodes({ moments, replay }: Pick<Judgement, "moments" | "replay">): Uint8Array {
  const worst = new Uint8Array(replay.length).fill(VERDICT.unknown);
  for (const { codes } of moments) {
    for (let k = 0; k < worst.length; k += 1) worst[k] = Math.max(worst[k] ?? 0, codes[k] ?? 0);
  }
  return worst;
}

/**
 * @param main rules whose answer a clear moment needs, from `coverageRules`
 * @returns as `worstCodes`, but clear only where no main rule is unknown: nothing is drawn as clear that nobody could ask
 */
export function shownCodes(judgement: Pick<Judgement, "moments" | "replay">, main: readonly string[]): Uint8Array {
  const shown = worstCodes(judgement);
  for (const { rule, codes } of judgement.moments) {
    if (!main.includes(rule.id)) continue;
    for (let k = 0; k < shown.length; k += 1) {
      if (shown[k] === VERDICT.clear && codes[k] === VERDICT.unknown) shown[k] = VERDICT.unknown;
    }
  }
  return shown;
}

/**
 * A flight over time in equal parts, each with the gravest code of its moments; a gap is `notAsked`.
 * @param codes one a moment
 * @param count of parts
 */
export function gravestParts(
  { moments: { at_s, weight_s } }: Pick<Replay, "moments">,
  codes: Uint8Array,
  count: number,
): Uint8Array {
  const start_s = at_s[0] ?? 0;
  const last = at_s.length - 1;
  const span_s = (at_s[last] ?? 0) + (weight_s[last] ?? 0) - start_s;
  const partOf = (time_s: number): number => (span_s > 0 ? ((time_s - start_s) / span_s) * count : 0);
  const worst = new Uint8Array(count).fill(VERDICT.notAsked);
  for (let k = 0; k < at_s.length; k += 1) {
    // A moment stands for the time to the next: a slow log fills the strip too.
    const from = Math.min(count - 1, Math.floor(partOf(at_s[k] ?? 0)));
    const to = Math.min(count, Math.ceil(partOf((at_s[k] ?? 0) + (weight_s[k] ?? 0)) - 1e-9));
    const code = codes[k] ?? 0;
    for (let part = from; part < Math.max(to, from + 1); part += 1) worst[part] = graver(worst[part] ?? 0, code);
  }
  return worst;
}

/** Of two verdicts the graver; an unknown is graver than clear, since a part of the strip stands for all its moments. */
function graver(a: number, b: number): number {
  if (Math.max(a, b) > VERDICT.clear) return Math.max(a, b);
  return a === VERDICT.unknown || b === VERDICT.unknown ? VERDICT.unknown : Math.max(a, b);
}
