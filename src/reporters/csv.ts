import type { Finding, FlightResult, LogResult, RunToReport } from "../score/result.js";
import { csvLine } from "./escape/csv-cell.js";
import { flightVerdictWord } from "./flight-words.js";

type Cell = number | string | boolean | null;

/** Columns of the table of flights; `note` says why a log has no flight to show. */
const FLIGHT_COLUMNS: readonly (readonly [string, (flight: FlightResult) => Cell])[] = [
  ["flight", ({ index }) => index],
  ["start_utc", ({ start_utc }) => start_utc],
  ["verdict", flightVerdictWord],
  ["score", ({ score }) => score],
  ["coverage_share", ({ coverage }) => coverage.share],
  ["recoverable_share", ({ recoverable_share }) => recoverable_share],
  ["fail_s", ({ fail_s }) => fail_s],
  ["thin_s", ({ thin_s }) => thin_s],
  ["fail_rules", (flight) => rulesOf(flight, "fail")],
  ["thin_rules", (flight) => rulesOf(flight, "thin")],
  ["not_assessed_rules", ({ not_assessed }) => not_assessed.map(({ rule }) => rule).join(" ")],
  ["share_part", ({ share_part }) => share_part],
  ["conduct_part", ({ conduct_part }) => conduct_part],
  ["start_s", ({ start_s }) => start_s],
  ["end_s", ({ end_s }) => end_s],
  ["airborne_s", ({ airborne_s }) => airborne_s],
  ["distance_flown_m", ({ distance_flown_m }) => distance_flown_m],
  ["farthest_m", ({ farthest_m }) => farthest_m],
  ["highest_m", ({ highest_m }) => highest_m],
  ["battery_start_pct", ({ battery_start_pct }) => battery_start_pct],
  ["battery_end_pct", ({ battery_end_pct }) => battery_end_pct],
  ["turnback_passed", ({ turnback }) => turnback?.passed ?? null],
  ["turnback_last_safe_s", ({ turnback }) => turnback?.last_safe_s ?? null],
  ["turnback_outbound_after_s", ({ turnback }) => turnback?.outbound_after_s ?? null],
  ["recovery_point_latitude_deg", ({ recovery_point }) => recovery_point?.latitude_deg ?? null],
  ["recovery_point_longitude_deg", ({ recovery_point }) => recovery_point?.longitude_deg ?? null],
  ["recovery_point_basis", ({ recovery_point }) => recovery_point?.basis ?? null],
  ["drain_basis", ({ drain }) => drain.basis],
  ["upper_is", ({ upper_is }) => upper_is],
];

const FINDING_COLUMNS: readonly (readonly [string, (finding: Finding) => Cell])[] = [
  ["rule", ({ rule }) => rule],
  ["verdict", ({ verdict }) => verdict],
  ["episode", ({ episode }) => episode],
  ["start_s", ({ start_s }) => start_s],
  ["end_s", ({ end_s }) => end_s],
  ["duration_s", ({ duration_s }) => duration_s],
  ["decided_by", ({ decided_by }) => decided_by],
  ["by_assumption_alone", ({ by_assumption_alone }) => by_assumption_alone],
  ["related", ({ related }) => related.join(" ")],
  ["worst_at_s", ({ worst }) => worst.at_s],
  ["worst_latitude_deg", ({ worst }) => worst.latitude_deg],
  ["worst_longitude_deg", ({ worst }) => worst.longitude_deg],
  ["worst_height_m", ({ worst }) => worst.height_m],
  ["value", ({ worst }) => worst.value],
  ["limit", ({ worst }) => worst.limit],
  ["unit", ({ worst }) => worst.unit],
  ["message", ({ message }) => message],
  ["advice", ({ advice }) => advice],
];

/**
 * @returns one row a flight, with a header; a log without a flight has a row too, with `not-read` or `no-flight` as its
 *   verdict, so that nothing goes missing from a table of a folder
 */
export function flightsCsv(run: RunToReport): string {
  return [...flightsCsvPieces(run)].join("");
}

/** `flightsCsv` row by row. */
export function* flightsCsvPieces({ logs }: RunToReport): Generator<string> {
  yield csvLine(["log", ...FLIGHT_COLUMNS.map(([name]) => name), "note"]);
  for (const log of logs) {
    if (log.flights.length === 0) yield csvLine([log.path, ...emptyRow(log), noteOf(log)]);
    for (const flight of log.flights) yield csvLine([log.path, ...FLIGHT_COLUMNS.map(([, of]) => of(flight)), null]);
  }
}

/** @returns one row a finding, with a header */
export function findingsCsv(run: RunToReport): string {
  return [...findingsCsvPieces(run)].join("");
}

/** `findingsCsv` row by row. */
export function* findingsCsvPieces({ logs }: RunToReport): Generator<string> {
  yield csvLine(["log", "flight", ...FINDING_COLUMNS.map(([name]) => name)]);
  for (const { path, flights } of logs)
    for (const { index, findings } of flights)
      for (const finding of findings) yield csvLine([path, index, ...FINDING_COLUMNS.map(([, of]) => of(finding))]);
}

function rulesOf({ findings }: FlightResult, verdict: Finding["verdict"]): string {
  return [...new Set(findings.filter((one) => one.verdict === verdict).map(({ rule }) => rule))].join(" ");
}

function emptyRow({ parser }: LogResult): Cell[] {
  return FLIGHT_COLUMNS.map(([name]) => (name !== "verdict" ? null : parser === null ? "not-read" : "no-flight"));
}

function noteOf({ problems }: LogResult): string | null {
  const told =
    problems.find(({ severity }) => severity === "error") ?? problems.find(({ code }) => code === "no-flight");
  return told?.message ?? null;
}
