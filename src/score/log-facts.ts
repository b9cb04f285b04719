import type { Finding, FlightResult, LogResult, ResultProblem } from "./result.js";

/** What a run must know of a flight to sum it up and to pass its gate. */
export interface FlightFacts extends Pick<
  FlightResult,
  "index" | "score" | "recoverable_share" | "airborne_s" | "fail_s"
> {
  readonly coverage: Pick<FlightResult["coverage"], "share">;
  readonly findings: readonly Pick<Finding, "rule" | "verdict">[];
}

/** What a run must know of a log while the whole of its result is put away; a `LogResult` has it all too. */
export interface LogFacts extends Pick<LogResult, "path" | "parser"> {
  readonly problems: readonly Pick<ResultProblem, "code">[];
  readonly flights: readonly FlightFacts[];
}

/** @returns the facts alone, as plain data */
export function logFacts({ path, parser, problems, flights }: LogResult): LogFacts {
  return {
    path,
    parser,
    problems: problems.map(({ code }) => ({ code })),
    flights: flights.map(({ index, score, recoverable_share, airborne_s, fail_s, coverage, findings }) => ({
      index,
      score,
      recoverable_share,
      airborne_s,
      fail_s,
      coverage: { share: coverage.share },
      findings: findings.map(({ rule, verdict }) => ({ rule, verdict })),
    })),
  };
}
