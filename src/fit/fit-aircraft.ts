import { REGIMES } from "../aircraft/regimes.js";
import type { RegimeRates } from "../config/declared.js";
import { median } from "../num/quantile.js";
import { roundValue } from "../num/round.js";
import { disagreementOf, standingsOf } from "./agreement.js";
import type { AircraftFit, FitLog, FittedRate, FittedSpeed } from "./aircraft-fit.js";
import { checkLogs } from "./check-logs.js";
import type { FlightEvidence, LogEvidence } from "./evidence.js";
import { type Pool, poolFlights } from "./pool.js";
import { type Ratio, ratiosOf } from "./ratios.js";
import { sayDisagreement } from "./say-disagreement.js";

/** What a fit is asked besides. */
export interface FitOptions {
  /** Predict each log from the others. */
  readonly check?: boolean;
  /** One-sided level of the upper prediction, %; 90 unless given. */
  readonly upper_pct?: number;
}

const UPPER_PCT = 90;

/**
 * Pools what logs of one aircraft tell: drain rates by regime, how much flights differ, speeds.
 *
 * Least squares over the steps of all readings (docs/model.md); method, tests and limits: docs/fit.md. Logs that do not
 * agree are not averaged: `disagreement` then says which, and `drain` is null.
 * @param given from `readFitLog`; a log that tells nothing, or that is a copy of another, is named and left out
 */
export function fitAircraft(given: readonly LogEvidence[], options: FitOptions = {}): AircraftFit {
  const logs = withoutCopies(given);
  const told = logs.filter(({ flights }) => flights.some(({ steps }) => steps.length > 0));
  const flights = told.flatMap((log) => log.flights.filter(({ steps }) => steps.length > 0));
  const pool = poolFlights(flights);
  const ratios = pool === undefined ? [] : ratiosOf(told.map(stepsOfLog), pool.drain, pool.noise_pct2PerMin);
  const found = disagreementOf(ratios);
  const isAgreed = pool !== undefined && found === undefined;
  return {
    logs: logs.map((log) => describeLog(log, ratios[told.indexOf(log)], pool !== undefined)),
    flights: flights.length,
    airborne_s: rounded(flights.reduce((sum, { airborne_s }) => sum + airborne_s, 0)),
    fitted_s: rounded(60 * timesOf(flights).reduce((sum, time) => sum + time, 0)),
    ...datesOf(flights),
    drain: isAgreed ? ratesOf(pool, flights) : null,
    spread_pct: isAgreed ? roundValue(100 * pool.ahead) : null,
    spread_seen_pct: isAgreed && pool.spread.seen !== undefined ? roundValue(100 * pool.spread.seen) : null,
    speeds: speedsOf(logs.flatMap((log) => log.flights)),
    disagreement:
      found === undefined
        ? null
        : {
            kind: found.kind,
            leave_out: found.logs.flatMap((i) => told[i]?.path ?? []),
            message: sayDisagreement(found, told, ratios, standingsOf(ratios)),
          },
    check: options.check === true && isAgreed ? checkLogs(told, options.upper_pct ?? UPPER_PCT) : null,
  };
}

/** A log that was copied into two folders must not count twice. */
function withoutCopies(logs: readonly LogEvidence[]): LogEvidence[] {
  const seen = new Map<string, string>();
  return logs.map((log) => {
    if (log.problem !== undefined) return log;
    const original = seen.get(log.sha256);
    if (original === undefined) {
      seen.set(log.sha256, log.path);
      return log;
    }
    return { ...log, flights: [], problem: { code: "copy", message: `It is the same log as ${original}.` } };
  });
}

function stepsOfLog({ flights }: LogEvidence): FlightEvidence["steps"] {
  return flights.flatMap(({ steps }) => steps);
}

function describeLog(log: LogEvidence, ratio: Ratio | undefined, isPooled: boolean): FitLog {
  const { path, flights, problem } = log;
  const isKnown = ratio !== undefined && !Number.isNaN(ratio.ratio);
  return {
    path,
    flights: flights.length,
    airborne_s: rounded(flights.reduce((sum, { airborne_s }) => sum + airborne_s, 0)),
    flown_pct: isKnown ? roundValue(ratio.flown_pct) : null,
    predicted_pct: isKnown ? roundValue(ratio.predicted_pct) : null,
    difference_pct: isKnown ? roundValue(100 * (ratio.ratio - 1)) : null,
    problem: problem ?? (isKnown || (ratio === undefined && !isPooled && hasSteps(log)) ? null : reasonOf(log)),
  };
}

function hasSteps({ flights }: LogEvidence): boolean {
  return flights.some(({ steps }) => steps.length > 0);
}

function reasonOf({ flights }: LogEvidence): { code: string; message: string } {
  if (flights.length === 0) return { code: "no-flight", message: "No flight was found in it." };
  if (flights.every(({ hasBattery }) => !hasBattery)) {
    return { code: "no-battery", message: "It has no battery reading in flight." };
  }
  return { code: "no-steps", message: "The battery reading does not fall by two whole steps in flight." };
}

function timesOf(flights: readonly FlightEvidence[]): number[] {
  return REGIMES.map((_, r) =>
    flights.reduce((sum, { steps }) => sum + steps.reduce((all, { times_min }) => all + (times_min[r] ?? 0), 0), 0),
  );
}

function datesOf(flights: readonly FlightEvidence[]): Pick<AircraftFit, "first_utc" | "last_utc"> {
  const starts = flights.flatMap(({ startUtc_s }) => (startUtc_s === undefined ? [] : [startUtc_s]));
  const say = (start_s: number): string => new Date(start_s * 1000).toISOString();
  if (starts.length === 0) return { first_utc: null, last_utc: null };
  const first_s = starts.reduce((least, start_s) => Math.min(least, start_s));
  const last_s = starts.reduce((most, start_s) => Math.max(most, start_s));
  return { first_utc: say(first_s), last_utc: say(last_s) };
}

function ratesOf({ drain }: Pool, flights: readonly FlightEvidence[]): Record<keyof RegimeRates, FittedRate> {
  const times = timesOf(flights);
  const rate = (r: number): FittedRate => ({
    pct_per_min: rounded(drain.middle[r] ?? 0),
    deviation_pct_per_min: rounded(Math.sqrt(Math.max(0, drain.covariance[r]?.[r] ?? 0))),
    time_s: rounded(60 * (times[r] ?? 0)),
    is_tied: drain.low[r] !== drain.middle[r],
  });
  const [hover, climb, cruise, descent] = [0, 1, 2, 3].map(rate) as [FittedRate, FittedRate, FittedRate, FittedRate];
  return { hover, climb, cruise, descent };
}

function speedsOf(flights: readonly FlightEvidence[]): AircraftFit["speeds"] {
  const speed = (name: keyof FlightEvidence["speeds_ms"]): FittedSpeed | null => {
    const told = flights.flatMap(({ speeds_ms }) => speeds_ms[name] ?? []);
    if (told.length === 0) return null;
    return {
      speed_ms: rounded(median(told)),
      flights: told.length,
      least_ms: rounded(told.reduce((least, value) => Math.min(least, value))),
      most_ms: rounded(told.reduce((most, value) => Math.max(most, value))),
    };
  };
  return { recovery: speed("recovery"), climb: speed("climb"), descent: speed("descent") };
}

/** Only for what is known to be finite. */
function rounded(value: number): number {
  return roundValue(value) ?? 0;
}
