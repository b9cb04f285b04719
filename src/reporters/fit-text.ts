import type { AircraftFit, FitCheck, FitLog } from "../fit/aircraft-fit.js";
import { printable, type Style, styleFor, type TextOptions, wrap } from "./text-style.js";

const REGIME_KEYS = ["hover", "climb", "cruise", "descent"] as const;
const CAUTION = "Fitted from records of the past: an aircraft ages, and its load and the weather change.";

/** @returns a fit as text: rates, speeds, how each log agrees, what told nothing, and the check where it was asked for */
export function fitReport(fit: AircraftFit, options: TextOptions): string {
  const style = styleFor(options);
  const lines = [
    ...headLines(fit, style),
    ...(fit.disagreement === null ? [] : refusalLines(fit.disagreement.message, style)),
    ...rateLines(fit, style),
    ...logLines(fit, style),
    ...(fit.check === null ? [] : checkLines(fit.check, style)),
    ...asideLines(fit, style),
    "",
    ...wrap(CAUTION, options.width, "", "").map(style.faint),
  ];
  return `${lines.join("\n")}\n`;
}

function headLines(fit: AircraftFit, style: Style): string[] {
  const used = fit.logs.filter(isUsed).length;
  const dates =
    fit.first_utc === null || fit.last_utc === null
      ? ""
      : `, ${fit.first_utc.slice(0, 10)} to ${fit.last_utc.slice(0, 10)}`;
  const what = `${used} of ${fit.logs.length} logs, ${fit.flights} flights, ${minutes(fit.airborne_s)} min in the air${dates}`;
  const isTold = fit.drain !== null || fit.disagreement !== null;
  return isTold
    ? [style.strong(`Fitted from ${what}`)]
    : [
        style.strong("No drain rate could be fitted"),
        ...wrap(
          "A regime needs 60 s and 3 % of battery in whole steps of the reading; climb and descent need 30 s and 2 steps.",
          style.options.width,
          "",
          "",
        ),
      ];
}

function isUsed({ flown_pct }: FitLog): boolean {
  return flown_pct !== null;
}

function refusalLines(message: string, style: Style): string[] {
  const { width, ascii } = style.options;
  return [
    "",
    style.verdict("fail", "These logs do not agree, and were not averaged."),
    ...wrap(printable(message, ascii), width, "  ", "  "),
  ];
}

function rateLines(fit: AircraftFit, style: Style): string[] {
  if (fit.drain === null || fit.spread_pct === null) return [];
  const { drain } = fit;
  const plus = style.options.ascii ? "+-" : "±";
  const rows = REGIME_KEYS.map((name) => {
    const { pct_per_min, deviation_pct_per_min, time_s, is_tied } = drain[name];
    const how = is_tied ? "tied to the others, within 30 %" : `${plus} ${deviation_pct_per_min.toFixed(2)}`;
    return `  ${name.padEnd(9)}${pct_per_min.toFixed(2).padStart(6)} %/min  ${how}, ${minutes(time_s)} min flown`;
  });
  const seen =
    fit.spread_seen_pct === null
      ? "not seen in one flight"
      : `${fit.spread_seen_pct.toFixed(1)} % seen between flights`;
  const speeds = (["recovery", "climb", "descent"] as const).flatMap((name) => {
    const speed = fit.speeds[name];
    if (speed === null) return [];
    return [`  ${name.padEnd(9)}${speed.speed_ms.toFixed(1).padStart(6)} m/s    median of ${speed.flights} flights`];
  });
  return [
    "",
    style.strong("Drain, % of full charge a minute"),
    ...rows,
    `  ${"spread".padEnd(9)}${fit.spread_pct.toFixed(1).padStart(6)} %      for another flight; ${seen}`,
    ...(speeds.length > 0 ? ["", style.strong("Speeds"), ...speeds] : []),
  ];
}

function logLines(fit: AircraftFit, style: Style): string[] {
  const used = fit.logs.filter(isUsed);
  if (used.length === 0) return [];
  const rows = used.map(
    ({ path, flown_pct, predicted_pct, difference_pct }) =>
      `  ${tenth(flown_pct)} ${tenth(predicted_pct)} ${tenth(difference_pct)}  ${printable(path, style.options.ascii)}`,
  );
  return ["", style.strong("Each log, %: flown, predicted, difference"), ...rows];
}

function checkLines(check: FitCheck, style: Style): string[] {
  const rows = check.logs.map(
    ({ path, flown_pct, predicted_pct, upper_pct, difference_pct, is_within_upper }) =>
      `  ${tenth(flown_pct)} ${tenth(predicted_pct)} ${tenth(upper_pct)} ${tenth(difference_pct)}  ` +
      `${is_within_upper ? "within" : "OVER  "}  ${printable(path, style.options.ascii)}`,
  );
  const spread = check.deviation_pct === null ? "" : `, one standard deviation ${check.deviation_pct.toFixed(1)} %`;
  const total =
    `Others predict a log with a bias of ${check.bias_pct.toFixed(1)} %${spread}. ${check.within_upper} of ` +
    `${check.logs.length} used no more than the upper prediction, which promises ${check.level_pct} %.`;
  return [
    "",
    style.strong("Each log predicted from the others, %: flown, predicted, upper, difference"),
    ...rows,
    ...wrap(total, style.options.width, "  ", "  "),
  ];
}

function asideLines(fit: AircraftFit, style: Style): string[] {
  const rows = fit.logs.flatMap(({ path, problem }) =>
    problem === null
      ? []
      : wrap(
          `${printable(path, style.options.ascii)}: ${printable(problem.message, style.options.ascii)}`,
          style.options.width,
          "  ",
          "    ",
        ),
  );
  return rows.length === 0 ? [] : ["", style.strong("Told nothing"), ...rows];
}

function tenth(value: number | null): string {
  return (value ?? Number.NaN)
    .toFixed(1)
    .replace(/^-0\.0$/, "0.0")
    .padStart(7);
}

function minutes(time_s: number): string {
  return (time_s / 60).toFixed(1);
}
