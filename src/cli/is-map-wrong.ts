interface ReadLog {
  readonly problems: readonly { readonly code: string }[];
}

/**
 * Tells a mistake under `columns:` of homeleg.yaml from a log of another kind in the folder. A channel or a unit that
 * does not exist is a mistake whatever the logs are; the name of a column is one where no log of the run has it.
 */
export function isMapWrong(logs: readonly ReadLog[]): boolean {
  const has = ({ problems }: ReadLog, ...codes: readonly string[]): boolean =>
    problems.some(({ code }) => codes.includes(code));
  if (logs.some((log) => has(log, "columns-channel", "columns-unit"))) return true;
  return logs.length > 0 && logs.every((log) => has(log, "columns-unknown"));
}

/** Codes of problems that are those of settings or of this program, not of a log. */
const BROKEN: readonly string[] = ["settings-wrong", "rule-crashed", "audit-crashed"];

/** @returns true where something other than the logs is wrong: that wins over every other exit code */
export function isRunBroken(logs: readonly ReadLog[]): boolean {
  return isMapWrong(logs) || logs.some(({ problems }) => problems.some(({ code }) => BROKEN.includes(code)));
}
