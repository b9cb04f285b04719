import type { Declared, RegimeRates } from "../config/declared.js";
import type { AircraftFit, FitLog, FittedSpeed } from "../fit/aircraft-fit.js";
import { printable } from "./text-style.js";

/** What stands in the file besides what the logs tell. */
export interface AircraftYamlOptions {
  readonly toolVersion: string;
  /** What the settings declare of the aircraft: name, battery and landing speed are carried over. */
  readonly declared?: Declared["aircraft"] | undefined;
}

const REGIME_KEYS = ["hover", "climb", "cruise", "descent"] as const;
/** Residuals shown in the file; the rest is counted. */
const SHOWN_LOGS = 40;

/**
 * @param fit with rates
 * @returns a commented YAML file with the keys of the `aircraft:` section, which homeleg.yaml can point to; what the logs
 *   do not tell stands as a comment
 * @throws Error for a fit without rates: there is nothing to write
 */
export function aircraftYaml(fit: AircraftFit, { toolVersion, declared }: AircraftYamlOptions): string {
  const { drain, spread_pct } = fit;
  if (drain === null || spread_pct === null) throw new Error("a fit without rates is not to be written");
  const tied = REGIME_KEYS.filter((name) => drain[name].is_tied);
  const lines = [
    ...headLines(fit, toolVersion),
    "",
    ...declaredLines(declared),
    "",
    "drain:   # percent of full charge a minute, ± one standard deviation of the fit",
    ...REGIME_KEYS.map((name) => rateLine(name, drain)),
    `  spread: ${spread_pct.toFixed(1)} %   # one standard deviation of another flight from these rates; ${seenText(fit)}`,
    ...(tied.length > 0
      ? [`  tied: [${tied.join(", ")}]   # too little flown to tell: tied to the others by usual ratios, within 30 %`]
      : []),
    "",
    ...speedLines(fit, declared?.speeds_ms.landing),
  ];
  return `${lines.join("\n")}\n`;
}

function headLines(fit: AircraftFit, toolVersion: string): string[] {
  const used = fit.logs.filter(({ flown_pct }) => flown_pct !== null);
  const dates =
    fit.first_utc === null || fit.last_utc === null
      ? "no dates in the logs"
      : `${fit.first_utc.slice(0, 10)} to ${fit.last_utc.slice(0, 10)}`;
  return [
    "# Drain rates and speeds of one aircraft, as homeleg.yaml takes them under `aircraft:`.",
    "# Point to this file with   aircraft: aircraft.yaml   (the path from homeleg.yaml).",
    "#",
    `# Fitted by homeleg ${toolVersion} from ${count(used.length, "log")}, ${count(fit.flights, "flight")}, ` +
      `${(fit.airborne_s / 60).toFixed(1)} minutes in the air (${(fit.fitted_s / 60).toFixed(1)} in whole steps of the battery), ${dates}.`,
    "# The aircraft ages and its load changes: fit anew from time to time.",
    "#",
    "# Each log: battery used over the steps, predicted by these rates, difference.",
    ...used.slice(0, SHOWN_LOGS).map(logLine),
    ...(used.length > SHOWN_LOGS ? [`#   and ${used.length - SHOWN_LOGS} more`] : []),
  ];
}

function logLine({ path, flown_pct, predicted_pct, difference_pct }: FitLog): string {
  const number = (value: number | null, width: number): string => (value ?? Number.NaN).toFixed(1).padStart(width);
  return `#   ${number(flown_pct, 5)} % ${number(predicted_pct, 7)} % ${signed(difference_pct ?? Number.NaN).padStart(8)} %   ${printable(path, false)}`;
}

function rateLine(name: keyof RegimeRates, drain: NonNullable<AircraftFit["drain"]>): string {
  const { pct_per_min, deviation_pct_per_min, time_s, is_tied } = drain[name];
  const told = is_tied ? "tied, see below" : `± ${deviation_pct_per_min.toFixed(2)}`;
  return `  ${name}: ${pct_per_min.toFixed(2)} %/min   # ${told}; ${(time_s / 60).toFixed(1)} min flown`;
}

function seenText({ spread_seen_pct, flights }: AircraftFit): string {
  if (spread_seen_pct === null) return "one flight tells nothing of it, so the usual 10 % counts";
  return `${count(flights, "flight")} differ by ${spread_seen_pct.toFixed(1)} %`;
}

/** Logs do not tell these; what was declared is kept, since this file takes the place of the whole section. */
function declaredLines(declared: Declared["aircraft"] | undefined): string[] {
  const { name, capacity_mAh, nominalVoltage_V, cells, cellFloor_V } = declared ?? {};
  const battery = [
    ...(capacity_mAh === undefined ? [] : [`capacity: ${capacity_mAh} mAh`]),
    ...(nominalVoltage_V === undefined ? [] : [`nominal_voltage: ${nominalVoltage_V} V`]),
    ...(cells === undefined ? [] : [`cells: ${cells}`]),
    ...(cellFloor_V === undefined ? [] : [`cell_floor: ${cellFloor_V} V`]),
  ];
  return [
    name === undefined ? "# name: trainer" : `name: ${JSON.stringify(name)}   # as declared`,
    battery.length === 0
      ? "# battery: { capacity: 5200 mAh, cells: 4, cell_floor: 3.4 V }   # not told by these logs"
      : `battery: { ${battery.join(", ")} }   # as declared`,
  ];
}

function speedLines({ speeds }: AircraftFit, landing_ms: number | undefined): string[] {
  const line = (name: string, speed: FittedSpeed | null, what: string, example: string): string =>
    speed === null
      ? `  # ${name}: ${example}   # not told by these logs`
      : `  ${name}: ${speed.speed_ms.toFixed(1)} m/s   # ${what}, median of ${count(speed.flights, "flight")}, ${range(speed)}`;
  const { recovery, climb, descent } = speeds;
  const isEmpty = recovery === null && climb === null && descent === null && landing_ms === undefined;
  const head = isEmpty ? "# speeds:" : "speeds:";
  return [
    head,
    line("recovery", recovery, "air speed of recoveries flown", "10 m/s"),
    line("climb", climb, "upper quarter of the climb rate", "3 m/s"),
    line("descent", descent, "upper quarter of the rate of descent", "3 m/s"),
    landing_ms === undefined
      ? "  # landing: 0.8 m/s   # the last metres; logs are not asked"
      : `  landing: ${landing_ms} m/s   # as declared`,
  ];
}

function range({ least_ms, most_ms }: FittedSpeed): string {
  return `${least_ms.toFixed(1)} to ${most_ms.toFixed(1)}`;
}

function signed(value: number): string {
  const text = value.toFixed(1);
  return value > 0 && text !== "0.0" ? `+${text}` : text.replace(/^-0\.0$/, "0.0");
}

function count(n: number, what: string): string {
  return `${n} ${what}${n === 1 ? "" : "s"}`;
}
