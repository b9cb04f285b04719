/**
 * Non-negative least squares by trying every set of columns that may be free: 2^n of them, 16 for four columns.
 *
 * For each set the unconstrained problem is solved by modified Gram–Schmidt on the weighted columns (no normal
 * equations); sets with a negative coefficient are thrown out, and of the rest the least residual wins. Nothing here is
 * clever, which is the point.
 */
export interface Exhaustive {
  readonly residual: number;
  readonly solution: readonly number[];
}

/** @returns the least weighted residual sum of squares over all feasible sets of columns, and a solution that has it */
export function exhaustiveNnls(
  rows: readonly (readonly number[])[],
  observed: readonly number[],
  weights: readonly number[],
): Exhaustive {
  const count = rows[0]?.length ?? 0;
  let best: Exhaustive | undefined;
  for (let set = 0; set < 2 ** count; set += 1) {
    const chosen = Array.from({ length: count }, (_, i) => i).filter((i) => ((set >> i) & 1) === 1);
    const part = solveBySteps(rows, observed, weights, chosen);
    if (part === undefined || part.some((value) => value < 0)) continue;
    const solution = Array.from({ length: count }, (_, i) => part[chosen.indexOf(i)] ?? 0);
    const residual = residualOf(rows, observed, weights, solution);
    if (best === undefined || residual < best.residual) best = { residual, solution };
  }
  if (best === undefined) throw new Error("the empty set is always feasible");
  return best;
}

/** @returns Σ weight × (observed − row · solution)² */
export function residualOf(
  rows: readonly (readonly number[])[],
  observed: readonly number[],
  weights: readonly number[],
  solution: readonly number[],
): number {
  return rows.reduce((sum, row, k) => {
    const off = (observed[k] ?? 0) - row.reduce((total, value, i) => total + value * (solution[i] ?? 0), 0);
    return sum + (weights[k] ?? 0) * off * off;
  }, 0);
}

/** @returns coefficients of the chosen columns; undefined where they depend on each other (a smaller set does as well) */
function solveBySteps(
  rows: readonly (readonly number[])[],
  observed: readonly number[],
  weights: readonly number[],
  chosen: readonly number[],
): number[] | undefined {
  const roots = weights.map(Math.sqrt);
  const right = observed.map((value, k) => value * (roots[k] ?? 0));
  const columns = chosen.map((i) => rows.map((row, k) => (row[i] ?? 0) * (roots[k] ?? 0)));
  const unit: number[][] = [];
  const upper: number[][] = [];
  for (const column of columns) {
    const left = column.slice();
    const factors: number[] = [];
    for (const direction of unit) {
      const along = dot(direction, left);
      factors.push(along);
      direction.forEach((value, k) => (left[k] = (left[k] ?? 0) - along * value));
    }
    const length = Math.sqrt(dot(left, left));
    if (length <= 1e-9 * Math.sqrt(dot(column, column))) return undefined;
    factors.push(length);
    unit.push(left.map((value) => value / length));
    upper.push(factors);
  }
  const solution = chosen.map(() => 0);
  for (let j = chosen.length - 1; j >= 0; j -= 1) {
    let value = dot(unit[j] ?? [], right);
    for (let later = j + 1; later < chosen.length; later += 1) {
      value -= (upper[later]?.[j] ?? 0) * (solution[later] ?? 0);
    }
    solution[j] = value / (upper[j]?.[j] ?? Number.NaN);
  }
  return solution;
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, k) => sum + value * (b[k] ?? 0), 0);
}
