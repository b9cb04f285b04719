import { batteryFromCharge } from "../aircraft/battery-from-charge.js";
import { withoutDropouts } from "../aircraft/battery-line.js";
import type { Sourced } from "../config/sourced.js";
import type { Flight } from "../track/flights.js";
import { hasValues } from "../track/has-values.js";
import type { Problem, Track } from "../track/track.js";
import type { Setting } from "./setting.js";

/** The battery reading of a flight, and where it is from. */
export interface BatteryReading {
  /** One value a row of the track, without dropouts; undefined where the flight has none. */
  readonly reading_pct: Float64Array | undefined;
  readonly battery: Sourced<string>;
}

/**
 * Chooses the battery percent: logged, else worked out from the charge used and the declared capacity; never from a voltage.
 * @param problems what is worth knowing is added here
 */
export function chooseBattery(setting: Setting, track: Track, flight: Flight, problems: Problem[]): BatteryReading {
  const { battery_pct } = track.columns;
  if (hasValues(battery_pct, flight)) {
    const battery = { value: "percent", basis: "measured", from: "battery percent in the log" } as const;
    return { reading_pct: steady(track, flight, battery_pct, problems), battery };
  }
  if (!hasValues(track.columns.chargeUsed_mAh, flight)) return unknown("no battery percent in the log");
  const { capacity_mAh } = setting.config.declared.aircraft;
  const note = (severity: Problem["severity"], code: string, message: string): void => {
    problems.push({ severity, code, message, line: undefined });
  };
  const name = `flight ${flight.index}`;
  if (capacity_mAh === undefined) {
    const message = `There is no battery percent in ${name}, but a charge used: declare aircraft.battery.capacity to have it worked out.`;
    note("note", "battery-wants-capacity", message);
    return unknown("charge used in the log, but no capacity declared");
  }
  const told = batteryFromCharge(track, flight, capacity_mAh, (row) => cellAt_V(setting, track, row));
  if (told.battery_pct === undefined) {
    note("note", "battery-not-from-charge", `The battery percent of ${name} cannot be worked out: ${told.from}.`);
    return unknown(told.from);
  }
  const message = `The battery percent of ${name} is worked out from ${told.from}. A pack put in half empty reads the same.`;
  note("note", "battery-from-charge", message);
  if (told.isOverdrawn) {
    const over = `More charge was used in ${name} than the declared ${capacity_mAh} mAh: check aircraft.battery.capacity.`;
    note("warning", "battery-overdrawn", over);
  }
  const battery = { value: "from charge used", basis: "inferred", from: told.from } as const;
  return { reading_pct: steady(track, flight, told.battery_pct, problems), battery };
}

function unknown(from: string): BatteryReading {
  return { reading_pct: undefined, battery: { value: "unknown", basis: "assumed", from } };
}

/** The reading without its dropouts. */
function steady(track: Track, flight: Flight, column: Float64Array, problems: Problem[]): Float64Array {
  const { battery_pct, dropouts } = withoutDropouts(track.columns.time_s, column, flight);
  if (dropouts > 0) {
    const message = `The battery reading drops out ${dropouts} time${dropouts === 1 ? "" : "s"} in flight ${flight.index} and comes back; those rows count as unknown.`;
    problems.push({ severity: "note", code: "battery-dropout", message, line: undefined });
  }
  return battery_pct;
}

/** Voltage of a cell at a row, where it is told without guessing the number of cells; else NaN. */
function cellAt_V({ config }: Setting, { columns }: Track, row: number): number {
  const { cells } = config.declared.aircraft;
  const of = (column: Float64Array | undefined): number => column?.[row] ?? Number.NaN;
  const cell_V = Math.max(of(columns.cellVoltageLowest_V) || 0, of(columns.cellVoltage1_V) || 0);
  if (cell_V > 0) return cell_V;
  const pack_V = of(columns.voltage_V);
  return cells !== undefined && pack_V > 0 ? pack_V / cells : Number.NaN;
}
