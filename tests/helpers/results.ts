import type { Finding, FlightResult, LogResult } from "../../src/score/result.js";

/** @returns a finding with nothing but its rule and verdict */
export const findingOf = (rule: string, verdict: "thin" | "fail"): Finding => ({
  rule,
  verdict,
  episode: 1,
  start_s: 0,
  end_s: 1,
  duration_s: 1,
  decided_by: "measured",
  by_assumption_alone: false,
  related: [],
  worst: { at_s: 0, latitude_deg: null, longitude_deg: null, height_m: null, value: null, limit: null, unit: "%" },
  message: "",
  advice: "",
  evidence: {},
});

/** @returns a flight's result, clear throughout, with what is given over it */
export const flightOf = (given: Partial<FlightResult> & { share?: number } = {}): FlightResult => {
  const { share = 0.9, ...rest } = given;
  return {
    index: 1,
    start_utc: null,
    start_s: 0,
    end_s: 100,
    airborne_s: 100,
    distance_flown_m: null,
    farthest_m: null,
    highest_m: null,
    battery_start_pct: null,
    battery_end_pct: null,
    recovery_point: null,
    recovery_point_moves: [],
    inputs: {},
    drain: {
      basis: "assumed",
      from: "project default",
      hover_pct_per_min: 4,
      climb_pct_per_min: 4,
      cruise_pct_per_min: 4,
      descent_pct_per_min: 4,
      spread_pct: 0,
    },
    drain_fitted: null,
    upper_is: "level",
    score: 90,
    share_part: 90,
    conduct_part: 0,
    points_lost: {},
    recoverable_share: 1,
    fail_s: 0,
    thin_s: 0,
    coverage: { share, rules: {} },
    turnback: null,
    recoveries_flown: [],
    findings: [],
    not_assessed: [],
    coverage_hints: [],
    strip: [],
    ...rest,
  };
};

/** @returns a log's result with these flights */
export const logWith = (
  path: string,
  flights: readonly FlightResult[],
  parser: LogResult["parser"] = "csv",
): LogResult => ({
  path,
  sha256: "",
  bytes: 0,
  parser,
  rows: 0,
  rows_rejected: 0,
  channels: {},
  problems: [],
  declared_not_used: [],
  flights,
});
