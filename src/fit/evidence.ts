import type { DrainStep } from "../aircraft/fit-drain.js";
import { flownSpeed_ms } from "../aircraft/speeds.js";
import type { Config } from "../config/declared.js";
import { chooseInputs } from "../recovery/flight-inputs.js";
import type { Setting } from "../recovery/setting.js";
import type { Flight, Flights } from "../track/flights.js";
import type { Track } from "../track/track.js";

/** What one flight tells of its aircraft. */
export interface FlightEvidence {
  readonly index: number;
  readonly airborne_s: number;
  /** Take-off, seconds since 1970 UTC; undefined for a log without UTC. */
  readonly startUtc_s: number | undefined;
  /** Drops of the battery reading with the time in each regime; empty where there is no reading, or too little of it. */
  readonly steps: readonly DrainStep[];
  /** Speeds that the flight itself tells, m/s; undefined where it does not. */
  readonly speeds_ms: {
    /** Of a recovery that was flown, not of legs that the pilot flew. */
    readonly recovery: number | undefined;
    readonly climb: number | undefined;
    readonly descent: number | undefined;
  };
  /** Whether the log has a battery reading in this flight. */
  readonly hasBattery: boolean;
}

/** What one log tells, or why it tells nothing. */
export interface LogEvidence {
  readonly path: string;
  /** Of the bytes: the same log twice is one log. */
  readonly sha256: string;
  readonly flights: readonly FlightEvidence[];
  /** Why the log could not be read. */
  readonly problem?: { readonly code: string; readonly message: string };
}

/**
 * What a flight tells of its aircraft: drops of the battery, and speeds. Declared rates and speeds are left out of it, since
 * they are what the logs are asked about; declared wind and battery count.
 * @param found the flights of the track, this one among them
 */
export function evidenceOf(setting: Setting, track: Track, flight: Flight, found: Flights): FlightEvidence {
  const inputs = chooseInputs({ ...setting, config: withoutRates(setting.config) }, track, flight, found.motion);
  const { climb, descent } = inputs.speeds;
  const told = ({ value, basis }: { value: number; basis: string }): number | undefined =>
    basis === "inferred" ? value : undefined;
  const start_s = track.columns.time_s[flight.first] ?? 0;
  return {
    index: flight.index,
    airborne_s: (track.columns.time_s[flight.last] ?? 0) - start_s,
    startUtc_s: track.startUtc_s === undefined ? undefined : track.startUtc_s + start_s,
    steps: inputs.steps,
    speeds_ms: {
      recovery: flownSpeed_ms(track, flight, inputs.airSpeed_ms, inputs.regimes, inputs.flown),
      climb: told(climb),
      descent: told(descent),
    },
    hasBattery: inputs.battery_pct !== undefined,
  };
}

function withoutRates(config: Config): Config {
  const aircraft: Config["declared"]["aircraft"] = {
    ...config.declared.aircraft,
    speeds_ms: { recovery: undefined, climb: undefined, descent: undefined, landing: undefined },
    drain_pctPerMin: undefined,
    drainSpread_pct: undefined,
    drainTied: [],
    power_W: undefined,
    endurance_s: undefined,
    body: undefined,
  };
  return { ...config, declared: { ...config.declared, aircraft } };
}
