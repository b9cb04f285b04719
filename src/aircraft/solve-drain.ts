import { type LeastSquares, nonNegativeLeastSquares, residualOf } from "../num/non-negative-least-squares.js";
import type { DrainStep } from "./drain-steps.js";
import { CLIMB, DESCENT, REGIMES } from "./regimes.js";

/** What a regime needs before its rate is believed. */
const ENOUGH_S = 60;
const ENOUGH_DROP_PCT = 3;
const ENOUGH_VERTICAL_S = 30;
const ENOUGH_VERTICAL_STEPS = 2;

/**
 * How much a reading's own error (noise at the moment a new value shows) weighs against the wandering of the drain within a
 * minute: ratios of the variances, min. 0 is a perfect gauge. The likeliest is taken (project choice).
 */
const GAUGE_ERRORS_MIN = [0, 0.1, 0.5, 2.5] as const;

/** Rates from the steps of a reading. */
export interface SolvedRates {
  /** % a minute, in the order of the regimes. */
  readonly middle: readonly number[];
  readonly fitted: readonly boolean[];
  readonly covariance: readonly (readonly number[])[];
  /** Log-likelihood but for a constant; +∞ for steps that are explained to the last digit. */
  readonly likelihood: number;
}

/**
 * Non-negative least squares of drop on time. The errors of the steps are those of a drain that wanders (variance grows
 * with the step's length, so it is weighted by one over it) and of a gauge whose errors at a step's two ends are shared
 * with its neighbours (docs/model.md, Fit).
 * @param next rates of the source that a regime without enough is tied to, % a minute
 * @returns undefined where no regime has enough
 */
export function solveDrain(steps: readonly DrainStep[], next: readonly number[]): SolvedRates | undefined {
  let fitted = REGIMES.map((_, regime) => hasEnough(steps, regime));
  while (fitted.some(Boolean)) {
    const solved = likeliest(steps, fitted, next);
    // A rate of nothing in the air is not a rate: tie that regime to the others instead.
    const believed = fitted.map((isFitted, regime) => isFitted && (solved.middle[regime] ?? 0) > 0);
    if (believed.every((isBelieved, regime) => isBelieved === fitted[regime])) return { ...solved, fitted };
    fitted = believed;
  }
  return undefined;
}

/** @returns how long a step lasted, min */
export function lengthOf_min({ times_min }: DrainStep): number {
  return times_min.reduce((sum, time) => sum + time, 0);
}

/** @returns drop of the step less what the rates make of it, % */
export function residual_pct({ drop_pct, times_min }: DrainStep, rates: readonly number[]): number {
  return residualOf(times_min, drop_pct, rates);
}

function hasEnough(steps: readonly DrainStep[], regime: number): boolean {
  let time_min = 0;
  let drop_pct = 0;
  let worth = 0;
  for (const step of steps) {
    const all = lengthOf_min(step);
    const time = step.times_min[regime] ?? 0;
    time_min += time;
    drop_pct += (step.drop_pct * time) / all;
    worth += time / all;
  }
  if (regime === CLIMB || regime === DESCENT) {
    return time_min * 60 >= ENOUGH_VERTICAL_S && worth >= ENOUGH_VERTICAL_STEPS;
  }
  return time_min * 60 >= ENOUGH_S && drop_pct >= ENOUGH_DROP_PCT;
}

type Solved = Pick<SolvedRates, "middle" | "covariance" | "likelihood">;

function likeliest(steps: readonly DrainStep[], fitted: readonly boolean[], next: readonly number[]): Solved {
  const ties = tiesOf(steps, fitted, next);
  const rows = steps.map((step) => tiedTimes(step, ties));
  let best = fitWith(0, steps, rows);
  for (const error_min of GAUGE_ERRORS_MIN.slice(1)) {
    const other = fitWith(error_min, steps, rows);
    if (other.likelihood > best.likelihood) best = other;
  }
  const { solution, covariance } = best.squares;
  const known = covariance.map((row) => row.map((value) => (Number.isNaN(value) ? 0 : value)));
  return {
    middle: ties.map((tie) => tie.reduce((sum, share, j) => sum + share * (solution[j] ?? 0), 0)),
    covariance: ties.map((a) => ties.map((b) => bilinear(a, known, b))),
    likelihood: best.likelihood,
  };
}

/**
 * `ties[r][j]` is how much of the j-th fitted rate goes into the rate of regime r: itself, or the next source's rate ×
 * (fitted ÷ next over the fitted regimes' time).
 */
function tiesOf(steps: readonly DrainStep[], fitted: readonly boolean[], next: readonly number[]): number[][] {
  const chosen = fitted.flatMap((isFitted, regime) => (isFitted ? [regime] : []));
  const totals = chosen.map((regime) => steps.reduce((sum, { times_min }) => sum + (times_min[regime] ?? 0), 0));
  const known = chosen.reduce((sum, regime, j) => sum + (next[regime] ?? 0) * (totals[j] ?? 0), 0);
  return REGIMES.map((_, regime) =>
    chosen.map((own, j) => {
      if (fitted[regime] === true) return own === regime ? 1 : 0;
      return ((next[regime] ?? 0) * (totals[j] ?? 0)) / known;
    }),
  );
}

/** @returns what a step adds to each fitted rate's column, min */
function tiedTimes({ times_min }: DrainStep, ties: readonly (readonly number[])[]): number[] {
  const tied = (ties[0] ?? []).map(() => 0);
  for (let regime = 0; regime < ties.length; regime += 1) {
    const tie = ties[regime] ?? [];
    for (let j = 0; j < tied.length; j += 1) {
      tied[j] = (tied[j] ?? 0) + (times_min[regime] ?? 0) * (tie[j] ?? 0);
    }
  }
  return tied;
}

/** @param tied of `tiedTimes`, one row a step; not changed */
function fitWith(
  error_min: number,
  steps: readonly DrainStep[],
  tied: readonly (readonly number[])[],
): { squares: LeastSquares; likelihood: number } {
  const rows = tied.map((row) => [...row]);
  const drops = steps.map(({ drop_pct }) => drop_pct);
  const { variances, logDeterminant } = whiten(steps, rows, drops, error_min);
  const squares = nonNegativeLeastSquares(
    rows,
    drops,
    variances.map((variance) => 1 / variance),
  );
  let left = 0;
  for (let k = 0; k < rows.length; k += 1) {
    const off = residualOf(rows[k] ?? [], drops[k] ?? 0, squares.solution);
    left += (off * off) / (variances[k] ?? 1);
  }
  return {
    squares,
    likelihood: left === 0 ? Number.POSITIVE_INFINITY : -(steps.length * Math.log(left) + logDeterminant) / 2,
  };
}

/**
 * Makes the errors of the steps independent, in place: V = diag(T) + error·(2 on the diagonal, −1 beside it where steps
 * share a reading) is tridiagonal, V = L·D·Lᵀ, and rows and drops become those of L⁻¹. A step that shares no reading
 * keeps its T.
 * @returns D, and the logarithm of V's determinant
 */
function whiten(
  steps: readonly DrainStep[],
  rows: number[][],
  drops: number[],
  error_min: number,
): { variances: number[]; logDeterminant: number } {
  const variances: number[] = [];
  let logDeterminant = 0;
  steps.forEach((step, k) => {
    const isNext = step.isNext === true && k > 0;
    const isShared = isNext || steps[k + 1]?.isNext === true;
    const below = isNext ? -error_min / (variances[k - 1] ?? 1) : 0;
    const variance = lengthOf_min(step) + (isShared ? 2 * error_min : 0) + below * (isNext ? error_min : 0);
    const row = rows[k] ?? [];
    const before = rows[k - 1] ?? [];
    if (isNext) {
      for (let j = 0; j < row.length; j += 1) row[j] = (row[j] ?? 0) - below * (before[j] ?? 0);
      drops[k] = (drops[k] ?? 0) - below * (drops[k - 1] ?? 0);
    }
    variances.push(variance);
    logDeterminant += Math.log(variance);
  });
  return { variances, logDeterminant };
}

function bilinear(a: readonly number[], matrix: readonly (readonly number[])[], b: readonly number[]): number {
  return a.reduce((sum, x, i) => sum + x * b.reduce((inner, y, j) => inner + (matrix[i]?.[j] ?? 0) * y, 0), 0);
}
