import { chooseWind, type FlightWind, raisedWind_ms } from "../air/flight-wind.js";
import { judgedBattery_pct, stepsOf } from "../aircraft/battery-line.js";
import { chooseDrain } from "../aircraft/choose-drain.js";
import type { Drain } from "../aircraft/drain.js";
import { airSpeedOf, regimesOf, type RowWind } from "../aircraft/regimes.js";
import type { DrainStep } from "../aircraft/fit-drain.js";
import { type CellVoltage, chooseCellVoltage, type NoCellVoltage } from "../aircraft/cell-voltage.js";
import { type FlownRows, flownRowsOf } from "../aircraft/flown-rows.js";
import { chooseSpeeds, type Speeds } from "../aircraft/speeds.js";
import type { Sourced } from "../config/sourced.js";
import { radians } from "../num/bearing.js";
import type { Flight } from "../track/flights.js";
import type { Motion } from "../track/motion.js";
import { hasValues } from "../track/has-values.js";
import type { Problem, Track } from "../track/track.js";
import { chooseBattery } from "./battery.js";
import { chooseHeights, type Heights } from "./heights.js";
import { chooseOperator, type OperatorWay } from "./operator.js";
import { chooseRecoveryPoint, type RecoveryPoint } from "./point.js";
import type { Setting } from "./setting.js";

/** Project defaults, but the delay: "a few seconds" is common practice, no source. */
const TRIGGER_DELAY_S = 3;
const TURN_TIME_S = 3;
const SLOW_HEIGHT_M = 5;
/** 40–50 m over flat open ground is common practice, no source. */
const ASSUMED_RECOVERY_HEIGHT_M = 50;

/** The voltage that no cell may fall below under load. */
export interface CellFloor extends Sourced<number> {
  /** The favourable end of what was assumed; the value itself where it is declared. */
  readonly least_V: number;
}

/** Everything a replay rests on, chosen once a flight, each with its basis. */
export interface FlightInputs {
  /** Undefined where the log has no battery reading. */
  readonly battery_pct: Float64Array | undefined;
  /** What that is: logged, or worked out. */
  readonly battery: Sourced<string>;
  readonly drain: Drain;
  /** The log's own fit, shown beside other rates. */
  readonly fitted: Drain | undefined;
  /** What that fit rests on; empty without a reading. */
  readonly steps: readonly DrainStep[];
  /** Regime of the flight's rows, index 0 is its first; air speed of all rows of the track. */
  readonly regimes: Uint8Array;
  readonly airSpeed_ms: Float64Array;
  readonly speeds: Speeds;
  readonly cellVoltage: CellVoltage | NoCellVoltage;
  readonly cellFloor: CellFloor;
  /** Where the log says that a recovery was flown; undefined where it says of none. */
  readonly flown: FlownRows | undefined;
  readonly wind: FlightWind;
  readonly heights: Heights;
  readonly point: RecoveryPoint;
  readonly operator: OperatorWay | undefined;
  readonly recoveryHeight: Sourced<number>;
  /** The logged setting at the flight's rows, where there is one: it can change in flight. */
  readonly recoveryHeights_m: Float64Array | undefined;
  readonly recoveryHeightAbove: Sourced<"recovery-point" | "take-off">;
  readonly lostLinkAction: Sourced<"return" | "land" | "hold"> | undefined;
  readonly triggerDelay: Sourced<number>;
  readonly turnTime: Sourced<number>;
  readonly slowHeight: Sourced<number>;
  readonly problems: readonly Problem[];
}

/** Chooses every input of a flight in the order logged, declared, told by the flight itself, assumed. */
export function chooseInputs(setting: Setting, track: Track, flight: Flight, motion: Motion): FlightInputs {
  const { config, policy, site } = setting;
  const problems: Problem[] = [];
  const wind = chooseWind(config, track, flight, motion);
  problems.push(...wind.problems);
  const heights = chooseHeights(track, flight, site);
  const airSpeed_ms = airSpeedOf(track, flight, motion, rowWind(track, flight, wind, heights));
  const regimes = regimesOf(track, flight, motion, airSpeed_ms);
  const { reading_pct: reading, battery } = chooseBattery(setting, track, flight, problems);
  const speeds = chooseSpeeds(config, track, flight, motion, airSpeed_ms, regimes);
  const chosen = chooseDrain(config, track, flight, { reading, regimes, climb_ms: speeds.climb.value });
  problems.push(...chosen.problems);
  if (reading !== undefined) noteRises(reading, flight, problems);
  return {
    battery_pct: reading === undefined ? undefined : judgedBattery_pct(track.columns.time_s, reading, flight),
    battery,
    drain: chosen.drain,
    fitted: chosen.fitted,
    steps: chosen.steps,
    regimes,
    airSpeed_ms,
    speeds,
    ...chooseCells(setting, track, flight, reading),
    flown: flownRowsOf(config, track, flight),
    wind,
    heights,
    point: chooseRecoveryPoint(config, track, flight, policy),
    operator: chooseOperator(config, track, flight, setting.operatorTrack, policy.longest_gap),
    ...chooseRecoveryHeight(setting, track, flight),
    ...chooseSettings(setting),
    problems,
  };
}

/**
 * 3.3 V is hobby training material ("keep every cell above 3.3 V"), a weak source; 2.5 V is the least under load of the
 * guide of the British Electric Flight Association.
 */
const ASSUMED_FLOOR_V = 3.3;
const ASSUMED_LEAST_V = 2.5;

function chooseCells(
  { config }: Setting,
  track: Track,
  flight: Flight,
  charge_pct: Float64Array | undefined,
): Pick<FlightInputs, "cellVoltage" | "cellFloor"> {
  const { cells, cellFloor_V } = config.declared.aircraft;
  const place = (key: string): string => config.places.get(`aircraft.battery.${key}`) ?? "declared";
  const declared = cells === undefined ? undefined : { value: cells, from: place("cells") };
  return {
    cellVoltage: chooseCellVoltage(track, flight, declared, charge_pct),
    cellFloor:
      cellFloor_V === undefined
        ? { value: ASSUMED_FLOOR_V, basis: "assumed", from: "hobby training material", least_V: ASSUMED_LEAST_V }
        : { value: cellFloor_V, basis: "declared", from: place("cell_floor"), least_V: cellFloor_V },
  };
}

function noteRises(reading: Float64Array, flight: Flight, problems: Problem[]): void {
  const { rises } = stepsOf(reading, flight.first, flight.last);
  if (rises === 0) return;
  const message = `The battery reading rises ${rises} time${rises === 1 ? "" : "s"} in flight ${flight.index}; the lowest before counts.`;
  problems.push({ severity: "note", code: "battery-rises", message, line: undefined });
}

/** Wind towards north and east where the aircraft is at each row, for air speed; undefined where it was only assumed. */
function rowWind(track: Track, flight: Flight, wind: FlightWind, heights: Heights): RowWind | undefined {
  if (wind.basis === "assumed") return undefined;
  const north_ms = new Float64Array(track.length).fill(Number.NaN);
  const east_ms = new Float64Array(track.length).fill(Number.NaN);
  for (let k = 0; k < wind.speed_ms.length; k += 1) {
    const angle = radians(wind.from_deg[k] ?? Number.NaN);
    const told_ms = wind.speed_ms[k] ?? Number.NaN;
    const height_m = heights.overTakeoff_m[k] ?? Number.NaN;
    // A logged wind is that at the aircraft; a declared one is raised to it, where its height is known.
    const isThere = Number.isNaN(wind.reference_m) || Number.isNaN(height_m);
    const speed_ms = isThere ? told_ms : raisedWind_ms(wind, told_ms, wind.reference_m, height_m);
    north_ms[flight.first + k] = -speed_ms * Math.cos(angle);
    east_ms[flight.first + k] = -speed_ms * Math.sin(angle);
  }
  return { north_ms, east_ms };
}

function chooseRecoveryHeight(
  { config }: Setting,
  track: Track,
  flight: Flight,
): Pick<FlightInputs, "recoveryHeight" | "recoveryHeights_m" | "recoveryHeightAbove"> {
  const { settings } = config.declared;
  const place = (key: string): string => config.places.get(`settings.${key}`) ?? "declared";
  const recoveryHeightAbove: FlightInputs["recoveryHeightAbove"] =
    settings.recoveryHeightAbove === undefined
      ? { value: "recovery-point", basis: "assumed", from: "project default" }
      : { value: settings.recoveryHeightAbove, basis: "declared", from: place("recovery_height_above") };
  const column = track.columns.recoveryHeight_m;
  if (hasValues(column, flight)) {
    const logged = column.slice(flight.first, flight.last + 1);
    const value = logged.find((height) => !Number.isNaN(height)) ?? Number.NaN;
    const recoveryHeight = { value, basis: "measured", from: "column of the log" } as const;
    return { recoveryHeight, recoveryHeights_m: logged, recoveryHeightAbove };
  }
  const recoveryHeight: FlightInputs["recoveryHeight"] =
    settings.recoveryHeight_m === undefined
      ? { value: ASSUMED_RECOVERY_HEIGHT_M, basis: "assumed", from: "common practice, for the battery alone" }
      : { value: settings.recoveryHeight_m, basis: "declared", from: place("recovery_height") };
  return { recoveryHeight, recoveryHeights_m: undefined, recoveryHeightAbove };
}

function chooseSettings({
  config,
}: Setting): Pick<FlightInputs, "lostLinkAction" | "triggerDelay" | "turnTime" | "slowHeight"> {
  const { settings } = config.declared;
  const place = (key: string): string => config.places.get(`settings.${key}`) ?? "declared";
  const number = (value: number | undefined, key: string, otherwise: number, why: string): Sourced<number> =>
    value === undefined
      ? { value: otherwise, basis: "assumed", from: why }
      : { value, basis: "declared", from: place(key) };
  return {
    lostLinkAction:
      settings.lostLinkAction === undefined
        ? undefined
        : { value: settings.lostLinkAction, basis: "declared", from: place("lost_link_action") },
    triggerDelay: number(settings.triggerDelay_s, "trigger_delay", TRIGGER_DELAY_S, "common practice, a few seconds"),
    turnTime: number(settings.turnTime_s, "turn_time", TURN_TIME_S, "project default"),
    slowHeight: number(settings.slowHeight_m, "slow_height", SLOW_HEIGHT_M, "project default"),
  };
}
