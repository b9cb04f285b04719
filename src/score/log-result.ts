import { roundValue } from "../num/round.js";
import type { Setting } from "../recovery/setting.js";
import { declaredNotUsedYet } from "../config/not-used-yet.js";
import type { ParsedLog, Problem } from "../track/track.js";
import type { UserError } from "../user-error.js";
import type { FlightResult, LogResult, ResultProblem } from "./result.js";

interface Stored {
  readonly path: string;
  readonly sha256: string;
  readonly bytes: number;
}

/** @returns the result of a log that was read */
export function logResult({
  path,
  sha256,
  bytes,
  parsed,
  problems,
  flights,
  crashes,
  setting,
}: Stored & {
  readonly parsed: ParsedLog;
  readonly problems: readonly Problem[];
  readonly flights: readonly FlightResult[];
  readonly crashes: ReadonlyMap<string, unknown>;
  readonly setting: Pick<Setting, "config">;
}): LogResult {
  const crashed = [...crashes].map(([id, error]): ResultProblem => ({
    severity: "error",
    code: "rule-crashed",
    message: `The rule ${id} crashed (${error instanceof Error ? error.message : String(error)}) and counts as unknown; please report it.`,
    line: null,
  }));
  return {
    path,
    sha256,
    bytes,
    parser: parsed.parser,
    rows: parsed.rows,
    rows_rejected: parsed.rowsRejected,
    channels: Object.fromEntries(
      Object.entries(parsed.channels).map(([id, { source, unit, filledShare }]) => [
        id,
        { source, unit, filled_share: roundValue(filledShare) ?? 0 },
      ]),
    ),
    problems: [...crashed, ...resultProblems(problems)],
    declared_not_used: declaredNotUsedYet(setting.config),
    flights,
  };
}

/** @returns problems as the result shows them */
export function resultProblems(problems: readonly Problem[]): ResultProblem[] {
  return problems.map(({ line, ...problem }) => ({ ...problem, line: line ?? null }));
}

/** @returns the result of a log that could not be read, with the one line that says why */
export function unreadableResult({ path, sha256, bytes, error }: Stored & { readonly error: UserError }): LogResult {
  const hint = error.hint === undefined ? "" : ` ${error.hint}`;
  return {
    path,
    sha256,
    bytes,
    parser: null,
    rows: 0,
    rows_rejected: 0,
    channels: {},
    problems: [{ severity: "error", code: error.code, message: error.message + hint, line: error.where?.line ?? null }],
    declared_not_used: [],
    flights: [],
  };
}
