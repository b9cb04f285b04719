import type { LogFacts, RunToReport } from "../index.js";

/** Exit codes, fixed. Where several apply, 2 wins, then 3, then 1; a run that Ctrl-C ended early has that of shells. */
export const EXIT = { passed: 0, gate: 1, usage: 2, unreadable: 3, interrupted: 130 } as const;

/**
 * @param logs of the run, or as much as must be known of them
 * @returns the exit code of a run: of several 2 wins, then 3, then 1
 */
export function exitCode(
  { summary, shard }: Pick<RunToReport, "summary" | "shard">,
  logs: readonly LogFacts[],
  isBroken: boolean,
): number {
  if (isBroken) return EXIT.usage;
  const isJudged = logs.some(({ flights }) => flights.some(({ recoverable_share }) => recoverable_share !== null));
  // A part of a run may have no logs at all.
  const isEmptyPart = shard !== undefined && logs.length === 0;
  if (summary.logs_unreadable > 0 || (!isJudged && !isEmptyPart)) return EXIT.unreadable;
  return summary.gate.passed ? EXIT.passed : EXIT.gate;
}
