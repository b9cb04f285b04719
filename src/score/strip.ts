import { VERDICT } from "../rules/verdict.js";
import type { Replay } from "../recovery/replay.js";
import type { Judgement } from "./judge.js";

/** @returns the worst verdict of a moment over all moment rules; `unknown` where no rule had an answer */
export function worstAt({ moments }: Judgement, k: number): number {
  let worst: number = VERDICT.unknown;
  for (const { codes } of moments) worst = Math.max(worst, codes[k] ?? 0);
  return worst;
}

/**
 * @param main rules whose answer a clear moment needs, from `coverageRules`
 * @returns as `worstAt`, but clear only where no main rule is unknown: nothing is drawn as clear that nobody could ask
 */
export function shownAt(judgement: Judgement, k: number, main: readonly string[]): number {
  const worst = worstAt(judgement, k);
  if (worst !== VERDICT.clear) return worst;
  const isOpen = judgement.moments.some(({ rule, codes }) => codes[k] === VERDICT.unknown && main.includes(rule.id));
  return isOpen ? VERDICT.unknown : worst;
}

/**
 * A flight over time in equal parts, each with the gravest code of its moments; a gap is `notAsked`.
 * @param codeAt the code of the k-th moment
 * @param count of parts
 */
export function gravestParts(
  { moments: { at_s, weight_s } }: Pick<Replay, "moments">,
  codeAt: (k: number) => number,
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
    const code = codeAt(k);
    for (let part = from; part < Math.max(to, from + 1); part += 1) worst[part] = graver(worst[part] ?? 0, code);
  }
  return worst;
}

/** Of two verdicts the graver; an unknown is graver than clear, since a part of the strip stands for all its moments. */
function graver(a: number, b: number): number {
  if (Math.max(a, b) > VERDICT.clear) return Math.max(a, b);
  return a === VERDICT.unknown || b === VERDICT.unknown ? VERDICT.unknown : Math.max(a, b);
}
