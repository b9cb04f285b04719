import { coverageRules } from "../score/coverage.js";
import type { Judgement } from "../score/judge.js";
import { gravestParts, shownCodes } from "../score/strip.js";
import { drawnVerdict } from "./drawn-verdict.js";
import type { Band, RuleBands } from "./picture.js";

/** Parts of a flight's time, about as many as a page is wide in points: the gravest verdict of each is drawn. */
const PARTS = 600;

/** @returns every moment rule over time, but those that were never asked */
export function ruleBands(judgement: Judgement): RuleBands[] {
  return judgement.moments
    .map(({ rule, codes }) => ({
      rule: rule.id,
      question: rule.question,
      bands: bandsOf(judgement, codes),
    }))
    .filter(({ bands }) => bands.length > 0);
}

/** @returns the worst of all rules over time, clear only where no main rule is unknown */
export function worstBands(judgement: Judgement): Band[] {
  return bandsOf(judgement, shownCodes(judgement, coverageRules(judgement.replay)));
}

/** Parts of one verdict joined; what was not asked is left out. */
function bandsOf({ replay }: Judgement, codes: Uint8Array): Band[] {
  const { at_s, weight_s } = replay.moments;
  const parts = gravestParts(replay, codes, PARTS);
  const start_s = at_s[0] ?? 0;
  const last = at_s.length - 1;
  const part_s = ((at_s[last] ?? 0) + (weight_s[last] ?? 0) - start_s) / PARTS;
  const bands: Band[] = [];
  for (let from = 0; from < PARTS;) {
    let to = from + 1;
    while (to < PARTS && parts[to] === parts[from]) to += 1;
    const verdict = drawnVerdict(parts[from] ?? 0);
    if (verdict !== "n/a") bands.push({ verdict, from_s: start_s + from * part_s, to_s: start_s + to * part_s });
    from = to;
  }
  return bands;
}
