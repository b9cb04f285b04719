/**
 * The library: a log's bytes and a setting in, a result out. It never prints, never exits and never reads the clock.
 *
 * @example
 * import { auditLog, loadSetting } from "homeleg";
 * const setting = await loadSetting({ startFolder: "flights" });
 * const { result } = await auditLog(await readFile("flights/a.csv"), setting, { path: "flights/a.csv" });
 * console.log(result.flights[0]?.score);
 */
import { createHash } from "node:crypto";
import type { SiteAdvice } from "./advise/advice.js";
import { adviseOn, type AdviseOptions } from "./advise/advise-site.js";
import { completeReading } from "./config/reading.js";
import type { LoadedSetting } from "./load-setting.js";
import { readFlights, replayFlights } from "./read-flights.js";
import { auditFlight, type FlightAudit } from "./score/flight-result.js";
import { logResult, unreadableResult } from "./score/log-result.js";
import type { FlightResult, LogResult } from "./score/result.js";
import { type LogBytes, StoredBytes } from "./stored-bytes.js";
import { SettingError, UserError } from "./user-error.js";

/** A log audited. */
export interface LogAudit {
  /** The `logs[]` entry of the JSON result; a log that could not be read has `parser: null` and says why. */
  readonly result: LogResult;
  /** Flights with all their moments, for `momentsTable`; empty where they were not to be kept. */
  readonly flights: readonly FlightAudit[];
  /** Rules that crashed: a bug in this program, named in the result, thrown errors kept here. */
  readonly crashes: ReadonlyMap<string, unknown>;
}

/**
 * Audits one log: had an automatic recovery begun at each moment, would it have brought the aircraft home?
 *
 * Same bytes and same setting give the same result, to the last digit.
 * @param bytes of the file as stored (CSV or GPX, gzip too)
 * @param setting from `loadSetting`
 * @param options `path` is only a name, for messages and the result; `around_m` reads the ground that far round a flight
 *   too, for `adviseSite` with a radius; `moments: false` keeps no moments, which a long log has much of
 * @returns never rejects for a bad log: that is a result too
 * @throws SettingError where the terrain that the settings name cannot be read under this log's flights
 */
export async function auditLog(
  bytes: LogBytes,
  setting: LoadedSetting,
  options: { path: string; around_m?: number | undefined; moments?: boolean } = { path: "log" },
): Promise<LogAudit> {
  const stored = new StoredBytes(bytes, completeReading(setting.config.declared.reading).log);
  try {
    // Bytes → track → flights.
    const read = await readFlights(stored, setting, options);
    const { parsed, problems: noted } = read;
    // Flight → rehearsals of all its moments → rules → score.
    const problems = [...noted];
    const crashes = new Map<string, unknown>();
    const results: FlightResult[] = [];
    const flights: FlightAudit[] = [];
    for await (const replay of replayFlights(setting, read, options.around_m)) {
      const audit = auditFlight(replay);
      results.push(audit.result);
      problems.push(...replay.inputs.problems);
      for (const [id, error] of audit.judgement.crashes) crashes.set(id, error);
      if (options.moments !== false) flights.push(audit);
    }
    await stored.drain();
    const { path } = options;
    return {
      result: logResult({ path, ...stored.facts(), parsed, problems, flights: results, crashes, setting }),
      flights,
      crashes,
    };
  } catch (error) {
    if (!(error instanceof UserError) || error instanceof SettingError) throw error;
    await stored.drain();
    return { result: unreadableResult({ ...options, ...stored.facts(), error }), flights: [], crashes: new Map() };
  }
}

/**
 * @param error why the log could not even be opened
 * @returns its entry in a run: no bytes were read, so size and hash are those of nothing
 */
export function unreadLog(path: string, error: UserError): LogResult {
  return unreadableResult({ path, sha256: createHash("sha256").digest("hex"), bytes: 0, error });
}

export { fitAircraft, type FitOptions } from "./fit/fit-aircraft.js";
export type * from "./fit/aircraft-fit.js";
export type { FlightEvidence, LogEvidence } from "./fit/evidence.js";
export { sharedAircraft } from "./fit/shared-aircraft.js";
export { readFitLog, unreadFitLog } from "./read-fit-log.js";
export { aircraftYaml, type AircraftYamlOptions } from "./reporters/aircraft-yaml.js";
export { fitReport } from "./reporters/fit-text.js";
/**
 * Advice for the next flight at a site, from audits of flights that were made there; it rests on their very clearances and
 * needs.
 * @param audits of logs of one site; those without a flight add nothing
 * @param options `radius_m` also asks about everywhere that near to the recovery point of the last flight
 */
export function adviseSite(audits: readonly LogAudit[], options: AdviseOptions = {}): SiteAdvice {
  const logs = audits.map(({ result, flights }) => ({
    path: result.path,
    replays: flights.map(({ judgement }) => judgement.replay),
  }));
  return adviseOn(logs, options);
}

export type { AdviseOptions } from "./advise/advise-site.js";
export type * from "./advise/advice.js";
export { parseQuantity } from "./config/units.js";
export { adviseReport } from "./reporters/advise-text.js";
export { inspectSite } from "./inspect-site.js";
export type * from "./inspect/site-inspection.js";
export { siteReport } from "./reporters/inspect-site-text.js";
export {
  type AuditToShow,
  htmlIndex,
  htmlPage,
  htmlReport,
  type HtmlReportOptions,
  htmlSignoff,
  rehearsalHtml,
  rehearsalSvg,
} from "./html-report.js";
export { pageNamer } from "./reporters/html/page-names.js";
export { inspectLog, uninspectedLog } from "./inspect-log.js";
export type * from "./inspect/inspection.js";
export { rehearse, type RehearseOptions } from "./rehearse.js";
export type * from "./score/rehearsal-result.js";
export { bytesOfFile, readWhole } from "./plain-file.js";
export { findConfig } from "./config/find-config.js";
export { type LoadedSetting as Setting, loadSetting, type SettingOptions } from "./load-setting.js";
export { flightGeometry } from "./score/flight-geometry.js";
export type * from "./score/flight-geometry.js";
export { type MergedRun, mergeRuns, type RunToMerge } from "./score/merge-runs.js";
export { parseRunResult } from "./parse-run-result.js";
export { momentsTable, type MomentsTable } from "./score/moments-table.js";
export { DEFAULT_GATE, type GateOptions, type RunExtent, summarize } from "./score/gate.js";
export { type FlightFacts, type LogFacts, logFacts } from "./score/log-facts.js";
export { inspectionReport } from "./reporters/inspect-text.js";
export { findingsCsv, findingsCsvPieces, flightsCsv, flightsCsvPieces } from "./reporters/csv.js";
export { csvCell } from "./reporters/escape/csv-cell.js";
export { jsonText } from "./reporters/escape/json-text.js";
export { visible } from "./reporters/escape/visible.js";
export { geojsonPieces, geojsonReport, type MappedLog } from "./reporters/geojson.js";
export { jsonPieces, jsonReport, ndjsonPieces, ndjsonReport } from "./reporters/json.js";
export { junitPieces, junitReport, type JunitOptions } from "./reporters/junit.js";
export { markdownPieces, markdownReport, type MarkdownOptions } from "./reporters/markdown.js";
export { rehearsalText } from "./reporters/rehearsal-text.js";
export { starterConfig } from "./reporters/starter-config.js";
export { signoffMarkdown } from "./reporters/signoff-markdown.js";
export { signoffText } from "./reporters/signoff-text.js";
export { textPieces, textReport, type TextOptions } from "./reporters/text.js";
export { findRule } from "./rules/find-rule.js";
export { RULES } from "./rules/index.js";
export { POLICY, type Policy, type PolicyKey } from "./config/policy.js";
export type { MomentRule, ConductRule, Rule } from "./rules/rule.js";
export { hashOf, type SignoffNotes, signedFiles, signOff, signoffPolicy } from "./sign-off.js";
export { compareSignoffs, parseSignoffRecord } from "./verify-signoff.js";
export type * from "./score/signoff-record.js";
export type * from "./score/result.js";
export type { LogBytes } from "./stored-bytes.js";
export { SettingError, UserError, UserErrors } from "./user-error.js";
export { describeTerrain } from "./describe-terrain.js";
export type { TerrainSummary } from "./site/terrain-file.js";
