/** What a weighted non-negative least squares problem has for an answer. */
export interface LeastSquares {
  /** One a column, ≥ 0. */
  readonly solution: readonly number[];
  /** Columns that the constraint holds at 0. */
  readonly atZero: readonly boolean[];
  /**
   * Covariance of the solution (0 for columns at 0), row-major square; NaN where the fit leaves no degrees of freedom.
   * Worked out when it is asked for: of many fits that are compared, it is wanted of one.
   */
  readonly covariance: readonly (readonly number[])[];
}

/**
 * Least squares with coefficients that cannot be negative, rows weighted.
 *
 * The covariance is s²·(XᵀWX)⁻¹ over the free columns, s² the weighted residual sum over its degrees of freedom.
 * Source: C. L. Lawson and R. J. Hanson, Solving Least Squares Problems, chapter 23, algorithm NNLS (1974).
 * @param rows design matrix, one row an observation, all rows of one length
 * @param observed one value a row
 * @param weights one weight a row, > 0
 * @returns the solution; a column of zeros gets 0
 */
export function nonNegativeLeastSquares(
  rows: readonly (readonly number[])[],
  observed: readonly number[],
  weights: readonly number[],
): LeastSquares {
  const columns = rows[0]?.length ?? 0;
  const { normal, right } = normalEquations(rows, observed, weights, columns);
  const scale = Math.max(...normal.map((row, i) => row[i] ?? 0), Number.MIN_VALUE);
  const tolerance = 1e-11 * Math.max(...right.map(Math.abs), Number.MIN_VALUE);
  const solution = Array.from({ length: columns }, () => 0);
  const free = Array.from({ length: columns }, () => false);
  for (let round = 0; round < 10 * columns + 10; round += 1) {
    const entering = steepest(normal, right, solution, free, tolerance, scale);
    if (entering < 0) break;
    free[entering] = true;
    settle(normal, right, solution, free);
  }
  const atZero = free.map((isFree) => !isFree);
  return {
    solution,
    atZero,
    get covariance() {
      return covariance(rows, observed, weights, normal, solution, free);
    },
  };
}

/** @returns what an observation is more than the solution makes of its row */
export function residualOf(row: readonly number[], observed: number, solution: readonly number[]): number {
  let total = 0;
  for (let j = 0; j < row.length; j += 1) total += (row[j] ?? 0) * (solution[j] ?? 0);
  return observed - total;
}

function normalEquations(
  rows: readonly (readonly number[])[],
  observed: readonly number[],
  weights: readonly number[],
  columns: number,
): { normal: number[][]; right: number[] } {
  const normal = Array.from({ length: columns }, () => Array.from({ length: columns }, () => 0));
  const right = Array.from({ length: columns }, () => 0);
  for (let k = 0; k < rows.length; k += 1) {
    const row = rows[k] ?? [];
    const weight = weights[k] ?? 0;
    for (let i = 0; i < columns; i += 1) {
      const weighted = weight * (row[i] ?? 0);
      right[i] = (right[i] ?? 0) + weighted * (observed[k] ?? 0);
      const line = normal[i] ?? [];
      for (let j = 0; j < columns; j += 1) line[j] = (line[j] ?? 0) + weighted * (row[j] ?? 0);
    }
  }
  return { normal, right };
}

/** The column that would lower the residual most if it left 0, or -1. */
function steepest(
  normal: readonly (readonly number[])[],
  right: readonly number[],
  solution: readonly number[],
  free: readonly boolean[],
  tolerance: number,
  scale: number,
): number {
  let best = -1;
  let bestSlope = tolerance;
  normal.forEach((row, i) => {
    if (free[i] === true || (row[i] ?? 0) <= 1e-13 * scale) return;
    const slope = (right[i] ?? 0) - row.reduce((sum, value, j) => sum + value * (solution[j] ?? 0), 0);
    if (slope > bestSlope) {
      best = i;
      bestSlope = slope;
    }
  });
  return best;
}

/** Solves over the free columns, letting go of those that would turn negative. Writes `solution` and `free`. */
function settle(
  normal: readonly (readonly number[])[],
  right: readonly number[],
  solution: number[],
  free: boolean[],
): void {
  for (;;) {
    const wanted = solveFree(normal, right, free);
    let step = 1;
    for (let i = 0; i < solution.length; i += 1) {
      const now = solution[i] ?? 0;
      const then = wanted[i] ?? 0;
      if (free[i] === true && then <= 0) step = Math.min(step, now > then ? now / (now - then) : 0);
    }
    let released = false;
    for (let i = 0; i < solution.length; i += 1) {
      if (free[i] !== true) continue;
      const moved = (solution[i] ?? 0) + step * ((wanted[i] ?? 0) - (solution[i] ?? 0));
      if (step < 1 && (wanted[i] ?? 0) <= 0 && moved <= 1e-14 * (1 + Math.abs(wanted[i] ?? 0))) {
        free[i] = false;
        solution[i] = 0;
        released = true;
      } else {
        solution[i] = Math.max(0, moved);
      }
    }
    if (!released) return;
  }
}

/** @returns the unconstrained solution over the free columns, 0 elsewhere */
function solveFree(
  normal: readonly (readonly number[])[],
  right: readonly number[],
  free: readonly boolean[],
): number[] {
  const chosen = free.flatMap((isFree, i) => (isFree ? [i] : []));
  const inverse = invert(chosen.map((i) => chosen.map((j) => normal[i]?.[j] ?? 0)));
  const solution = free.map(() => 0);
  chosen.forEach((i, a) => {
    solution[i] = chosen.reduce((sum, j, b) => sum + (inverse[a]?.[b] ?? 0) * (right[j] ?? 0), 0);
  });
  return solution;
}

function covariance(
  rows: readonly (readonly number[])[],
  observed: readonly number[],
  weights: readonly number[],
  normal: readonly (readonly number[])[],
  solution: readonly number[],
  free: readonly boolean[],
): number[][] {
  const chosen = free.flatMap((isFree, i) => (isFree ? [i] : []));
  const spare = rows.length - chosen.length;
  const residual = rows.reduce((sum, row, k) => {
    const off = residualOf(row, observed[k] ?? 0, solution);
    return sum + (weights[k] ?? 0) * off * off;
  }, 0);
  const variance = spare > 0 ? residual / spare : Number.NaN;
  const inverse = invert(chosen.map((i) => chosen.map((j) => normal[i]?.[j] ?? 0)));
  return solution.map((_, i) =>
    solution.map((__, j) => {
      const a = chosen.indexOf(i);
      const b = chosen.indexOf(j);
      return a < 0 || b < 0 ? 0 : variance * (inverse[a]?.[b] ?? 0);
    }),
  );
}

/**
 * Gauss–Jordan, fit for the handful of columns here. Of normal equations every pivot is positive or, with all that is left
 * of its row, nothing: no rows need to be exchanged. A singular matrix gives zeros in its null rows.
 */
function invert(matrix: readonly (readonly number[])[]): number[][] {
  const size = matrix.length;
  const work = matrix.map((row, i) => [...row, ...row.map((_, j) => (i === j ? 1 : 0))]);
  work.forEach((pivotRow, column) => {
    const head = pivotRow[column] ?? 0;
    if (head === 0) return;
    for (let j = 0; j < pivotRow.length; j += 1) pivotRow[j] = (pivotRow[j] ?? 0) / head;
    work.forEach((row, i) => {
      if (i === column) return;
      const factor = row[column] ?? 0;
      for (let j = 0; j < row.length; j += 1) row[j] = (row[j] ?? 0) - factor * (pivotRow[j] ?? 0);
    });
  });
  return work.map((row) => row.slice(size));
}
