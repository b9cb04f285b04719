import { createHash } from "node:crypto";
import { inspectColumns } from "./inspect/inspect-columns.js";
import { inspectDialect } from "./inspect/inspect-dialect.js";
import { inspectFlight, inspectSampling } from "./inspect/inspect-flights.js";
import type { InspectedFlight, LogInspection } from "./inspect/inspection.js";
import { roundValue } from "./num/round.js";
import { completeReading } from "./config/reading.js";
import type { LoadedSetting } from "./load-setting.js";
import { readFlights, type ReadFlights, replayFlights } from "./read-flights.js";
import { auditFlight } from "./score/flight-result.js";
import { resultProblems, unreadableResult } from "./score/log-result.js";
import { type LogBytes, StoredBytes } from "./stored-bytes.js";
import type { Problem } from "./track/track.js";
import { SettingError, UserError } from "./user-error.js";

/**
 * Tells how a log is understood: its dialect, what each column was taken for, its flights, and which rules cannot be
 * asked of them for want of what.
 * @param bytes of the file as stored (CSV or GPX, gzip too)
 * @param setting from `loadSetting`; its `columns:` count, and what it declares is not missing
 * @param options `path` is only a name, for messages and the result
 * @returns never rejects for a bad log: `parser` is then null, and `problems` has the reason
 * @throws SettingError where the terrain that the settings name cannot be read under this log's flights
 */
export async function inspectLog(
  bytes: LogBytes,
  setting: LoadedSetting,
  options: { path: string },
): Promise<LogInspection> {
  const stored = new StoredBytes(bytes, completeReading(setting.config.declared.reading).log);
  try {
    const read = await readFlights(stored, setting, options);
    return { ...options, ...stored.facts(), ...(await describe(read, setting)) };
  } catch (error) {
    if (!(error instanceof UserError) || error instanceof SettingError) throw error;
    await stored.drain();
    return unreadable({ ...options, ...stored.facts() }, error);
  }
}

/**
 * @param error why the log could not even be opened
 * @returns its entry among inspections: no bytes were read, so size and hash are those of nothing
 */
export function uninspectedLog(path: string, error: UserError): LogInspection {
  return unreadable({ path, sha256: createHash("sha256").digest("hex"), bytes: 0 }, error);
}

type Stored = Pick<LogInspection, "path" | "sha256" | "bytes">;

async function describe(read: ReadFlights, setting: LoadedSetting): Promise<Omit<LogInspection, keyof Stored>> {
  const { parsed, track, problems } = read;
  const { startUtc_s, columns, length } = track;
  const flights: InspectedFlight[] = [];
  const noted: Problem[] = [];
  for await (const replay of replayFlights(setting, read)) {
    flights.push(inspectFlight(auditFlight(replay)));
    noted.push(...replay.inputs.problems);
  }
  return {
    parser: parsed.parser,
    dialect: inspectDialect(parsed),
    rows: parsed.rows,
    rows_rejected: parsed.rowsRejected,
    start_utc: startUtc_s === undefined ? null : new Date(startUtc_s * 1000).toISOString(),
    duration_s: roundValue(columns.time_s[length - 1] ?? 0),
    sampling: inspectSampling(track, setting.policy.longest_gap),
    columns: inspectColumns(parsed),
    flights,
    problems: resultProblems([...problems, ...noted]),
  };
}

function unreadable(stored: Stored, error: UserError): LogInspection {
  const { problems } = unreadableResult({ ...stored, error });
  return {
    ...stored,
    parser: null,
    dialect: null,
    rows: 0,
    rows_rejected: 0,
    start_utc: null,
    duration_s: null,
    sampling: null,
    columns: [],
    flights: [],
    problems,
  };
}
