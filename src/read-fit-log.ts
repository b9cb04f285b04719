import { evidenceOf, type FlightEvidence, type LogEvidence } from "./fit/evidence.js";
import { readFlights } from "./read-flights.js";
import { completeReading } from "./config/reading.js";
import type { LoadedSetting } from "./load-setting.js";
import { settleSite } from "./settle-site.js";
import { type LogBytes, StoredBytes } from "./stored-bytes.js";
import { SettingError, UserError } from "./user-error.js";

/**
 * Reads what one log tells of its aircraft, for `fitAircraft`. Only drops and speeds are kept, so that thousands of logs fit
 * into memory.
 * @param bytes of the file as stored (CSV or GPX, gzip too)
 * @param setting from `loadSetting`; its columns, wind and battery count, its rates and speeds do not
 * @param options `path` is only a name
 * @returns never rejects for a bad log: `problem` then has the reason
 */
export async function readFitLog(
  bytes: LogBytes,
  setting: LoadedSetting,
  options: { path: string },
): Promise<LogEvidence> {
  const stored = new StoredBytes(bytes, completeReading(setting.config.declared.reading).log);
  try {
    const { track, found } = await readFlights(stored, setting, options);
    const flights: FlightEvidence[] = [];
    for (const flight of found.flights) {
      flights.push(evidenceOf(await settleSite(setting, track, flight), track, flight, found));
    }
    await stored.drain();
    return { path: options.path, sha256: stored.facts().sha256, flights };
  } catch (error) {
    if (!(error instanceof UserError) || error instanceof SettingError) throw error;
    await stored.drain();
    return unreadFitLog(options.path, error);
  }
}

/** @returns the entry of a log that could not even be opened */
export function unreadFitLog(path: string, { code, message, hint }: UserError): LogEvidence {
  return {
    path,
    sha256: "",
    flights: [],
    problem: { code, message: hint === undefined ? message : `${message} ${hint}` },
  };
}
