import { roundValue } from "../num/round.js";
import { standardNormalQuantile } from "../num/standard-normal.js";
import type { CheckedLog, FitCheck } from "./aircraft-fit.js";
import type { LogEvidence } from "./evidence.js";
import { poolFlights } from "./pool.js";
import { ratiosOf } from "./ratios.js";

/**
 * Leaves out one log at a time and predicts its drop from the others: how well logs predict a flight that the fit has not
 * seen. The upper prediction is the middle one × (1 + z·√(spread² + error²)), with what the others know of the spread and
 * the error of the reading itself.
 * @param logs that tell of the drain
 * @param level_pct one-sided level of the upper prediction
 * @returns null where no log can be predicted from the others
 */
export function checkLogs(logs: readonly LogEvidence[], level_pct: number): FitCheck | null {
  const z = standardNormalQuantile(level_pct / 100);
  const checked = logs.flatMap((log, i) => {
    const others = logs
      .filter((_, j) => j !== i)
      .flatMap(({ flights }) => flights.filter(({ steps }) => steps.length > 0));
    const pool = poolFlights(others);
    if (pool === undefined) return [];
    const steps = log.flights.flatMap((flight) => flight.steps);
    const [ratio] = ratiosOf([steps], pool.drain, pool.noise_pct2PerMin);
    if (ratio === undefined || Number.isNaN(ratio.ratio)) return [];
    const upper_pct = ratio.predicted_pct * (1 + z * Math.hypot(pool.ahead, ratio.error));
    return [toChecked(log.path, ratio.flown_pct, ratio.predicted_pct, upper_pct)];
  });
  if (checked.length === 0) return null;
  const differences = checked.map(({ difference_pct }) => difference_pct);
  const bias_pct = differences.reduce((sum, value) => sum + value, 0) / differences.length;
  const squares = differences.reduce((sum, value) => sum + (value - bias_pct) ** 2, 0);
  return {
    logs: checked,
    bias_pct: roundValue(bias_pct) ?? 0,
    deviation_pct: differences.length < 2 ? null : roundValue(Math.sqrt(squares / (differences.length - 1))),
    within_upper: checked.filter(({ is_within_upper }) => is_within_upper).length,
    level_pct,
  };
}

function toChecked(path: string, flown_pct: number, predicted_pct: number, upper_pct: number): CheckedLog {
  return {
    path,
    flown_pct: roundValue(flown_pct) ?? 0,
    predicted_pct: roundValue(predicted_pct) ?? 0,
    upper_pct: roundValue(upper_pct) ?? 0,
    difference_pct: roundValue(100 * (flown_pct / predicted_pct - 1)) ?? 0,
    is_within_upper: flown_pct <= upper_pct,
  };
}
