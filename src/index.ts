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
import { readLog } from "./parsers/read-log.js";
import { replayFlight } from "./recovery/replay.js";
import type { Setting } from "./recovery/setting.js";
import { auditFlight, type FlightAudit } from "./score/flight-result.js";
import { logResult, unreadableResult } from "./score/log-result.js";
import type { LogResult } from "./score/result.js";
import { cleanPositions } from "./track/clean-positions.js";
import { fillSparse } from "./track/fill-sparse.js";
import { findFlights } from "./track/flights.js";
import { UserError } from "./user-error.js";

/** The bytes of a log: whole, or in pieces as they are read. */
export type LogBytes = Uint8Array | AsyncIterable<Uint8Array> | Iterable<Uint8Array>;

/** A log audited. */
export interface LogAudit {
  /** The `logs[]` entry of the JSON result; a log that could not be read has `parser: null` and says why. */
  readonly result: LogResult;
  /** Flights with all their moments, for `momentsTable`. */
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
 * @param options `path` is only a name, for messages and the result
 * @returns never rejects for a bad log: that is a result too
 */
export async function auditLog(bytes: LogBytes, setting: Setting, options: { path: string }): Promise<LogAudit> {
  const stored = new StoredBytes(bytes);
  try {
    // Bytes → track.
    const parsed = await readLog(stored, { path: options.path, columns: setting.config.declared.columns });
    const cleaned = cleanPositions(parsed.track);
    const track = fillSparse(cleaned.track, setting.policy.longest_gap);
    // Track → flights.
    const found = findFlights(track, {
      longestGap_s: setting.policy.longest_gap,
      shortestFlight_s: setting.policy.shortest_flight,
    });
    // Flight → rehearsals of all its moments → rules → score.
    const flights = found.flights.map((flight) => auditFlight(replayFlight(setting, track, flight, found.motion)));
    const problems = [
      ...parsed.problems,
      ...setting.problems,
      ...cleaned.problems,
      ...found.problems,
      ...flights.flatMap(({ judgement }) => judgement.replay.inputs.problems),
    ];
    const crashes = new Map(flights.flatMap(({ judgement }) => [...judgement.crashes]));
    return {
      result: logResult({ ...options, ...stored.facts(), parsed, problems, flights, crashes, setting }),
      flights,
      crashes,
    };
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
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

/** The bytes as stored, hashed and counted as the parser draws them. */
class StoredBytes implements AsyncIterable<Uint8Array> {
  readonly #chunks: AsyncIterator<Uint8Array> | Iterator<Uint8Array>;
  readonly #hash = createHash("sha256");
  #bytes = 0;

  constructor(bytes: LogBytes) {
    if (bytes instanceof Uint8Array) this.#chunks = [bytes][Symbol.iterator]();
    else if (Symbol.asyncIterator in bytes) this.#chunks = bytes[Symbol.asyncIterator]();
    else this.#chunks = bytes[Symbol.iterator]();
  }

  [Symbol.asyncIterator](): AsyncIterator<Uint8Array> {
    return {
      next: async () => {
        const step = await this.#chunks.next();
        if (step.done !== true) {
          this.#hash.update(step.value);
          this.#bytes += step.value.length;
        }
        return step;
      },
    };
  }

  /** Reads what a parser that gave up left, so that hash and size are those of the whole file. */
  async drain(): Promise<void> {
    for await (const _chunk of this);
  }

  facts(): { sha256: string; bytes: number } {
    return { sha256: this.#hash.copy().digest("hex"), bytes: this.#bytes };
  }
}

export { loadSetting, type SettingOptions } from "./load-setting.js";
export { momentsTable, type MomentsTable } from "./score/moments-table.js";
export { DEFAULT_GATE, type GateOptions, summarize } from "./score/gate.js";
export { jsonReport, ndjsonReport } from "./reporters/json.js";
export { textReport, type TextOptions } from "./reporters/text.js";
export { RULES } from "./rules/index.js";
export { POLICY, type Policy, type PolicyKey } from "./config/policy.js";
export type { MomentRule, ConductRule, Rule } from "./rules/rule.js";
export type { Setting } from "./recovery/setting.js";
export type * from "./score/result.js";
export { UserError, UserErrors } from "./user-error.js";
