import { type MomentTime, parseMomentTime } from "./moment-time.js";
import { readFlights, type ReadFlights } from "./read-flights.js";
import { replayFlight } from "./recovery/replay-flight.js";
import { completeReading } from "./config/reading.js";
import type { LoadedSetting } from "./load-setting.js";
import { settleSite } from "./settle-site.js";
import { auditFlight } from "./score/flight-result.js";
import { rehearsalResult, type RehearsalResult } from "./score/rehearsal-result.js";
import { clock } from "./rules/say.js";
import { type LogBytes, StoredBytes } from "./stored-bytes.js";
import type { Flight } from "./track/flights.js";
import { UserError } from "./user-error.js";

/** What to rehearse. */
export interface RehearseOptions {
  /** A name, for messages and the result. */
  readonly path: string;
  /** `412`, `6:52`, `0:06:52` from the log's first sample, or ISO UTC; the last sample at or before it counts. */
  readonly at: string;
  /** The flight that the time must be in, from 1. */
  readonly flight?: number | undefined;
}

/**
 * Computes one recovery, phase by phase: the one that the audit judges at that moment.
 * @param bytes of the file as stored (CSV or GPX, gzip too)
 * @param setting from `loadSetting`
 * @throws UserError for a log that cannot be read, a time that is none, or one outside the flights or in a gap of the record
 */
export async function rehearse(
  bytes: LogBytes,
  setting: LoadedSetting,
  { path, at, flight: wanted }: RehearseOptions,
): Promise<RehearsalResult> {
  const time = parseMomentTime(at);
  const stored = new StoredBytes(bytes, completeReading(setting.config.declared.reading).log);
  const read = await readFlights(stored, setting, { path });
  await stored.drain();
  const at_s = elapsed_s(time, read, path);
  const { flight, row } = findMoment(read, at_s, wanted, path);
  const settled = await settleSite(setting, read.track, flight);
  const audit = auditFlight(replayFlight(settled, read.track, flight, read.found.motion));
  return rehearsalResult(path, audit, row - flight.first);
}

function elapsed_s(time: MomentTime, { track }: ReadFlights, path: string): number {
  if (time.kind === "elapsed") return time.at_s;
  if (track.startUtc_s !== undefined) return time.utc_s - track.startUtc_s;
  throw new UserError("log-without-utc", `${path} counts from some start and never says from when.`, {
    hint: "Give the time from the log's first sample, such as 6:52.",
  });
}

/** The last row at or before a time, in the flight that holds it. */
function findMoment(
  read: ReadFlights,
  at_s: number,
  wanted: number | undefined,
  path: string,
): { flight: Flight; row: number } {
  const { time_s } = read.track.columns;
  const among = read.found.flights.filter(({ index }) => wanted === undefined || index === wanted);
  const timeOf = (row: number): number => time_s[row] ?? Number.NaN;
  const flight = among.find(({ first, last }) => timeOf(first) <= at_s && at_s <= timeOf(last));
  const hint = flightsText(read);
  if (flight === undefined) {
    const within = wanted === undefined ? "in no flight" : `not in flight ${wanted}`;
    throw new UserError("time-outside", `${timeText(at_s)} is ${within} of ${path}.`, { hint });
  }
  let row = flight.first;
  while (row < flight.last && timeOf(row + 1) <= at_s) row += 1;
  const segment = flight.segments.find(({ from, to }) => from <= row && row < to);
  const isLastOfIts = segment !== undefined && row === segment.to - 1 && row < flight.last;
  // A moment stands for the time to the next sample, or for one median step where none follows.
  if (segment === undefined || (isLastOfIts && at_s > timeOf(row) + flight.step_s)) {
    const gap = `${timeText(timeOf(row))} to ${timeText(timeOf(row + 1))}`;
    throw new UserError("time-in-gap", `${timeText(at_s)} is in a gap of the record of ${path} (${gap}).`, { hint });
  }
  return { flight, row };
}

function flightsText({ found, track }: ReadFlights): string {
  const { time_s } = track.columns;
  if (found.flights.length === 0) return "No flight was found in it.";
  const spans = found.flights.map(
    ({ index, first, last }) => `${index} from ${timeText(time_s[first] ?? 0)} to ${timeText(time_s[last] ?? 0)}`,
  );
  return `Flight ${spans.join(", flight ")}.`;
}

function timeText(at_s: number): string {
  return `${at_s < 0 ? "before the log" : clock(at_s)} (${Number(at_s.toFixed(3))} s)`;
}
