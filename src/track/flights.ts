import type { Position } from "../config/declared.js";
import { airborneRuns, type Run } from "./airborne.js";
import { motionOf, type Motion } from "./motion.js";
import { medianStep_s, segmentsOf, type Segment } from "./segments.js";
import type { Problem, Track } from "./track.js";

/** One flight: the rows of a track from take-off to landing. */
export interface Flight {
  /** 1-based, in the order of the log. */
  readonly index: number;
  /** First and last row, both airborne. */
  readonly first: number;
  readonly last: number;
  /** The rows between gaps: parts of [first, last]. */
  readonly segments: readonly Segment[];
  /** Weight of a moment at a gap or at the end, s. */
  readonly step_s: number;
  /** Where it took off; undefined when the recording begins in the air. */
  readonly takeoff: Position | undefined;
  /** Altitude there by the log's own altitude channel; undefined when not logged or not seen. */
  readonly takeoffAltitude_m: number | undefined;
  readonly beginsInAir: boolean;
  readonly endsInAir: boolean;
  /** `measured` by the log's own flag, else `inferred`. */
  readonly basis: "measured" | "inferred";
}

/** The flights of a track and how it moved. */
export interface Flights {
  readonly flights: readonly Flight[];
  readonly motion: Motion;
  readonly problems: readonly Problem[];
}

/** Limits that decide what is a flight. */
export interface FlightLimits {
  readonly longestGap_s: number;
  readonly shortestFlight_s: number;
}

/** @returns the flights of a track in order; none is a note, not an error */
export function findFlights(track: Track, limits: FlightLimits): Flights {
  const step_s = medianStep_s(track);
  const segments = segmentsOf(track, limits.longestGap_s, step_s);
  const motion = motionOf(track, segments);
  const { runs, basis } = airborneRuns(track, segments, motion);
  const { time_s } = track.columns;
  const lasts = (run: Run): number => (time_s[run.last] ?? 0) - (time_s[run.first] ?? 0);
  const kept = runs.filter((run) => lasts(run) >= limits.shortestFlight_s);
  const flights = kept.map((run, i) => toFlight(track, segments, run, { index: i + 1, step_s, basis }));
  return { flights, motion, problems: notes(runs.length - kept.length, kept.length, limits) };
}

function toFlight(
  track: Track,
  segments: readonly Segment[],
  run: Run,
  { index, step_s, basis }: { index: number; step_s: number; basis: Flight["basis"] },
): Flight {
  const altitude_m = track.columns.altitude_m ?? track.columns.altitudeEllipsoidal_m;
  const takeoff = run.beginsInAir ? undefined : firstPosition(track, run);
  const takeoffAltitude_m = altitude_m?.[run.first];
  return {
    index,
    step_s,
    basis,
    first: run.first,
    last: run.last,
    segments: segments
      .map(({ from, to }) => ({ from: Math.max(from, run.first), to: Math.min(to, run.last + 1) }))
      .filter(({ from, to }) => from < to),
    takeoff,
    takeoffAltitude_m:
      run.beginsInAir || takeoffAltitude_m === undefined || Number.isNaN(takeoffAltitude_m)
        ? undefined
        : takeoffAltitude_m,
    beginsInAir: run.beginsInAir,
    endsInAir: run.endsInAir,
  };
}

/** The first known position within two seconds of take-off: a receiver may skip a row, but then it has flown off. */
function firstPosition(track: Track, run: Run): Position | undefined {
  const { time_s, latitude_deg, longitude_deg } = track.columns;
  const until_s = (time_s[run.first] ?? 0) + 2;
  for (let i = run.first; i <= run.last && (time_s[i] ?? 0) <= until_s; i += 1) {
    const latitude = latitude_deg[i] ?? Number.NaN;
    const longitude = longitude_deg[i] ?? Number.NaN;
    if (!Number.isNaN(latitude) && !Number.isNaN(longitude))
      return { latitude_deg: latitude, longitude_deg: longitude };
  }
  return undefined;
}

function notes(hops: number, flights: number, limits: FlightLimits): Problem[] {
  const problems: Problem[] = [];
  if (flights === 0) {
    const message = "No flight was found: nothing in this log moves as an aircraft in the air does.";
    problems.push({ severity: "note", code: "no-flight", message, line: undefined });
  }
  if (hops > 0) {
    const message = `${hops} hop${hops === 1 ? "" : "s"} under ${limits.shortestFlight_s} s not taken as a flight.`;
    problems.push({ severity: "note", code: "hop", message, line: undefined });
  }
  return problems;
}
