import { completeReading } from "./config/reading.js";
import { readLog, type ReadLogResult } from "./parsers/read-log.js";
import type { LoadedSetting } from "./load-setting.js";
import { replayFlight } from "./recovery/replay-flight.js";
import type { Replay } from "./recovery/replay.js";
import { settleSite } from "./settle-site.js";
import { cleanPositions } from "./track/clean-positions.js";
import { fillSparse } from "./track/fill-sparse.js";
import { findFlights, type Flights } from "./track/flights.js";
import type { Problem, Track } from "./track/track.js";

/** A log read and cut into flights: what comes before any question is asked of it. */
export interface ReadFlights {
  readonly parsed: ReadLogResult;
  /** Without what is no position, and with slow channels filled. */
  readonly track: Track;
  readonly found: Flights;
  /** Of the log and of the settings, so far. */
  readonly problems: readonly Problem[];
}

/**
 * The first half of the pipeline: bytes → track → flights.
 * @throws UserError for a log that cannot be read
 */
export async function readFlights(
  bytes: AsyncIterable<Uint8Array>,
  setting: LoadedSetting,
  { path }: { readonly path: string },
): Promise<ReadFlights> {
  const parsed = await readLog(bytes, {
    path,
    columns: setting.config.declared.columns,
    reading: completeReading(setting.config.declared.reading),
  });
  const cleaned = cleanPositions(parsed.track, setting.policy["fix.jump"]);
  const track = fillSparse(cleaned.track, setting.policy.longest_gap);
  const found = findFlights(track, {
    longestGap_s: setting.policy.longest_gap,
    shortestFlight_s: setting.policy.shortest_flight,
  });
  const problems = [...parsed.problems, ...setting.problems, ...cleaned.problems, ...found.problems];
  return { parsed, track, found, problems };
}

/**
 * The middle of the pipeline: flights → rehearsals of all their moments, each flight over the ground that it needs. One at a
 * time, since the moments of a flight take more memory than its log.
 * @throws SettingError where the terrain of a flight cannot be read
 */
export async function* replayFlights(
  setting: LoadedSetting,
  { track, found }: Pick<ReadFlights, "track" | "found">,
  around_m: number = 0,
): AsyncGenerator<Replay, void> {
  for (const flight of found.flights) {
    yield replayFlight(await settleSite(setting, track, flight, around_m), track, flight, found.motion);
  }
}
