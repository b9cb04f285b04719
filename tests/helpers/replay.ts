import type { Replay } from "../../src/recovery/replay.js";
import { replayFlight } from "../../src/recovery/replay-flight.js";
import { findFlights } from "../../src/track/flights.js";
import type { Track } from "../../src/track/track.js";
import { type Given, settingOf } from "./declared.js";
import { type Row, trackOf } from "./flights.js";

/** @returns the replay of the first flight of a track */
export function replayOf(track: Track, given: Given = {}): Replay {
  const setting = settingOf(given);
  const found = findFlights(track, {
    longestGap_s: setting.policy.longest_gap,
    shortestFlight_s: setting.policy.shortest_flight,
  });
  const [flight] = found.flights;
  if (flight === undefined) throw new Error("the rows of this test hold no flight");
  return replayFlight(setting, track, flight, found.motion);
}

/** @returns the replay of the first flight in rows */
export function replayRows(rows: readonly Row[], given: Given = {}): Replay {
  return replayOf(trackOf(rows), given);
}
