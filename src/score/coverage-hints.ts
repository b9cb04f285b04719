import { describeLacks, LACKS } from "../rules/lacks.js";
import type { Lack } from "../rules/rule.js";
import { type Coverage, coverageRules } from "./coverage.js";
import type { Judgement } from "./judge.js";

const HINTS_MOST = 3;

/**
 * The lines of homeleg.yaml that lift the coverage: first those of the rules that want the fewest lines, as many as fit.
 * A rule that also wants something only a log can hold is not lifted by lines, and is left out.
 */
export function coverageHints({ moments, replay }: Judgement, coverage: Coverage): string[] {
  const counted = coverageRules(replay);
  const wanted = moments.flatMap(({ rule }) => {
    const share = coverage.rules.get(rule.id);
    if (share === undefined || share === 1 || !counted.includes(rule.id)) return [];
    const lacks = describeLacks(rule.lacks(replay), replay).map(({ lack }) => lack);
    const isInTerrain = (lack: Lack): boolean => lack === "obstacles" && lacks.includes("terrain");
    const lines = lacks.filter((lack) => !isInTerrain(lack)).map((lack) => LACKS[lack].yaml);
    const known = lines.filter((line) => line !== undefined);
    return known.length === 0 || known.length < lines.length ? [] : [{ lines: known, unknown: 1 - share }];
  });
  wanted.sort((a, b) => a.lines.length - b.lines.length || b.unknown - a.unknown);
  const chosen = new Set<string>();
  for (const { lines } of wanted) {
    const more = lines.filter((line) => !chosen.has(line));
    if (chosen.size + more.length <= HINTS_MOST) more.forEach((line) => chosen.add(line));
  }
  return [...chosen];
}
