import type { Finding } from "../../score/result.js";
import { byRule, gravest } from "../text-findings.js";
import type { Sheet } from "./sheet.js";

/** One episode of one rule: its gravest finding, the others that adjoin it, and those of the same cause. */
export interface Block {
  readonly head: Finding;
  readonly others: readonly Finding[];
  /** Findings of rules that share the cause and take no points of their own; only in the first block of a rule. */
  readonly sameCause: readonly Finding[];
}

/** @returns the findings that are not an assumption alone, the gravest rules first, one block an episode */
export function findingBlocks({ flight }: Sheet): Block[] {
  const decided = flight.findings.filter(({ by_assumption_alone }) => !by_assumption_alone);
  const related = new Set(decided.flatMap((finding) => finding.related));
  return byRule(decided.filter(({ rule }) => !related.has(rule))).flatMap((findings) => {
    const causes = new Set(findings.flatMap((finding) => finding.related));
    const sameCause = decided.filter(({ rule }) => causes.has(rule));
    const episodes = new Map<number, Finding[]>();
    for (const one of findings) episodes.set(one.episode, [...(episodes.get(one.episode) ?? []), one]);
    return [...episodes.values()]
      .map((members) => [...members].sort(gravest))
      .sort((a, b) => gravest(a[0], b[0]))
      .flatMap(([head, ...others], i) =>
        head === undefined ? [] : [{ head, others, sameCause: i === 0 ? sameCause : [] }],
      );
  });
}

/** @returns the numbers that mark worst moments on the plan, by recovery picture: those of the blocks in their order */
export function tagNumbers({ flight, picture }: Sheet, blocks: readonly Block[]): ReadonlyMap<number, number> {
  const tags = new Map<number, number>();
  for (const { head } of blocks) {
    const recovery = picture.recoveries.findIndex(({ findings }) => findings.includes(flight.findings.indexOf(head)));
    if (recovery >= 0 && !tags.has(recovery)) tags.set(recovery, tags.size + 1);
  }
  return tags;
}
