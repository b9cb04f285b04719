import { linearRegression } from "simple-statistics";
import { describe, expect, it } from "vitest";
import { nonNegativeLeastSquares } from "../../src/num/non-negative-least-squares.js";
import { exhaustiveNnls, residualOf } from "../oracles/exhaustive-nnls.js";
import { seeded } from "../oracles/random.js";

interface Problem {
  readonly rows: number[][];
  readonly observed: number[];
  readonly weights: number[];
}

/** Problems of four columns as a drain fit has them and worse: sparse, dependent, tiny, noisy. */
function randomProblem(seed: number): Problem {
  const random = seeded(seed);
  const kind = seed % 8;
  const count = kind === 0 ? 1 : 2 + Math.floor(random() * 12);
  const truth = [0, 1, 2, 3].map(() => (random() < 0.3 ? 0 : random() * 10));
  const rows = Array.from({ length: count }, () => [0, 1, 2, 3].map(() => (random() < 0.4 ? 0 : random())));
  for (const row of rows) {
    if (kind === 1) row[2] = 0;
    if (kind === 2) row[3] = row[1] ?? 0;
    if (kind === 3) row[0] = (row[1] ?? 0) + (row[2] ?? 0);
    if (kind === 4) row[3] = 2 * (row[0] ?? 0);
    if (kind === 5) row.fill(0, 1, 4);
  }
  const noise = kind === 6 ? 30 : 1;
  const observed = rows.map(
    (row) => row.reduce((sum, value, i) => sum + value * (truth[i] ?? 0), 0) + noise * (random() - 0.5),
  );
  const weights = rows.map(() => 0.1 + 5 * random());
  return { rows, observed, weights };
}

const SEEDS = Array.from({ length: 640 }, (_, i) => i + 1);

describe("against an exhaustive search over the 16 active sets", () => {
  it.each([0, 1, 2, 3, 4, 5, 6, 7])("kind %d: 80 seeded problems", (kind) => {
    for (const seed of SEEDS.filter((one) => one % 8 === kind)) {
      const { rows, observed, weights } = randomProblem(seed);
      const found = nonNegativeLeastSquares(rows, observed, weights);
      const best = exhaustiveNnls(rows, observed, weights);
      const scale = residualOf(rows, observed, weights, [0, 0, 0, 0]) + 1e-12;
      const residual = residualOf(rows, observed, weights, found.solution);
      expect(Math.abs(residual - best.residual) / scale, `seed ${seed}`).toBeLessThan(1e-9);
      found.solution.forEach((value, i) => {
        expect(value, `seed ${seed}`).toBeGreaterThanOrEqual(0);
        expect(value, `seed ${seed}`).toBeLessThan(1e6);
        if (found.atZero[i] === true) expect(value, `seed ${seed}`).toBe(0);
      });
    }
  });

  it("has the same solution where it is the only one", () => {
    for (const seed of SEEDS.filter((one) => one % 8 === 7)) {
      const { rows, observed, weights } = randomProblem(seed);
      if (rows.length < 7) continue;
      const found = nonNegativeLeastSquares(rows, observed, weights);
      const best = exhaustiveNnls(rows, observed, weights);
      best.solution.forEach((value, i) => expect(found.solution[i], `seed ${seed}`).toBeCloseTo(value, 6));
    }
  });

  it("meets the bound often enough for the search to mean something", () => {
    const held = SEEDS.filter((seed) => {
      const { rows, observed, weights } = randomProblem(seed);
      return nonNegativeLeastSquares(rows, observed, weights).atZero.some(Boolean);
    });
    expect(held.length).toBeGreaterThan(200);
    expect(held.length).toBeLessThan(620);
  });
});

describe("by hand", () => {
  it("gives the exact solution of a square problem", () => {
    const { solution, atZero } = nonNegativeLeastSquares(
      [
        [2, 0],
        [1, 1],
      ],
      [6, 5],
      [1, 1],
    );
    expect(solution[0]).toBeCloseTo(3, 12);
    expect(solution[1]).toBeCloseTo(2, 12);
    expect(atZero).toEqual([false, false]);
  });

  it("weights rows", () => {
    expect(nonNegativeLeastSquares([[1], [1]], [1, 4], [2, 1]).solution[0]).toBeCloseTo(2, 12);
    expect(nonNegativeLeastSquares([[1], [1]], [1, 4], [1, 2]).solution[0]).toBeCloseTo(3, 12);
  });

  it("holds at 0 what would be negative", () => {
    const { solution, atZero, covariance } = nonNegativeLeastSquares([[1], [2]], [-1, -3], [1, 1]);
    expect(solution).toEqual([0]);
    expect(atZero).toEqual([true]);
    expect(covariance).toEqual([[0]]);
  });

  it("gives a column of zeros 0", () => {
    const { solution } = nonNegativeLeastSquares(
      [
        [1, 0],
        [2, 0],
      ],
      [3, 6],
      [1, 1],
    );
    expect(solution[0]).toBeCloseTo(3, 12);
    expect(solution[1]).toBe(0);
  });

  it("gives 0 to a column that is next to nothing beside the others, and none to one that is small alone", () => {
    const beside = nonNegativeLeastSquares(
      [
        [1, 1e-7],
        [1, 0],
        [1, 1e-7],
      ],
      [2, 1, 2],
      [1, 1, 1],
    );
    expect(beside.atZero).toEqual([false, true]);
    expect(beside.solution[0]).toBeCloseTo(5 / 3, 12);
    const small = nonNegativeLeastSquares(
      [
        [1e-7, 0],
        [0, 2e-7],
      ],
      [3, 8],
      [1, 1],
    );
    expect(small.solution[0]).toBeCloseTo(3e7, 0);
    expect(small.solution[1]).toBeCloseTo(4e7, 0);
    const large = nonNegativeLeastSquares([[1e9], [3e9]], [1, 3], [1, 1]);
    expect(large.solution[0]).toBeCloseTo(1e-9, 18);
  });

  it("answers equal columns with a sum that is right", () => {
    const { solution } = nonNegativeLeastSquares(
      [
        [1, 1],
        [2, 2],
      ],
      [3, 6],
      [1, 1],
    );
    expect((solution[0] ?? 0) + (solution[1] ?? 0)).toBeCloseTo(3, 12);
  });

  it("answers one row for four columns", () => {
    const { solution, covariance } = nonNegativeLeastSquares([[1, 2, 3, 4]], [8], [1]);
    const told = [1, 2, 3, 4].reduce((sum, value, i) => sum + value * (solution[i] ?? 0), 0);
    expect(told).toBeCloseTo(8, 9);
    const free = solution.findIndex((value) => value > 0);
    expect(covariance[free]?.[free]).toBeNaN();
  });

  it("has no columns for no rows", () => {
    expect(nonNegativeLeastSquares([], [], [])).toEqual({ solution: [], atZero: [], covariance: [] });
  });
});

describe("covariance", () => {
  const x = [1, 2, 3, 4, 5.5];
  const y = [2.1, 3.9, 6.2, 7.7, 11.4];

  it("of one column is s² / Σwx²", () => {
    const w = [1, 2, 0.5, 1, 3];
    const rate =
      x.reduce((sum, v, k) => sum + (w[k] ?? 0) * v * (y[k] ?? 0), 0) /
      x.reduce((sum, v, k) => sum + (w[k] ?? 0) * v * v, 0);
    const squares = x.reduce((sum, v, k) => sum + (w[k] ?? 0) * ((y[k] ?? 0) - rate * v) ** 2, 0);
    const expected = squares / (x.length - 1) / x.reduce((sum, v, k) => sum + (w[k] ?? 0) * v * v, 0);
    const { solution, covariance } = nonNegativeLeastSquares(
      x.map((v) => [v]),
      y,
      w,
    );
    expect(solution[0]).toBeCloseTo(rate, 12);
    expect(covariance[0]?.[0]).toBeCloseTo(expected, 12);
  });

  it("agrees with the line of simple-statistics and its textbook slope variance", () => {
    const { m, b } = linearRegression(x.map((v, k) => [v, y[k] ?? 0]));
    expect(b).toBeLessThan(0.5);
    const { solution, covariance } = nonNegativeLeastSquares(
      x.map((v) => [v, b < 0 ? -1 : 1]),
      y,
      x.map(() => 1),
    );
    const mean = x.reduce((sum, v) => sum + v, 0) / x.length;
    const spread = x.reduce((sum, v) => sum + (v - mean) ** 2, 0);
    const squares = x.reduce((sum, v, k) => sum + ((y[k] ?? 0) - m * v - b) ** 2, 0);
    expect(solution[0]).toBeCloseTo(m, 10);
    expect(covariance[0]?.[0]).toBeCloseTo(squares / (x.length - 2) / spread, 10);
  });

  it("is NaN where the fit is exact, be it for rounding, and 0 beside it where a column is held at 0", () => {
    const { solution, atZero, covariance } = nonNegativeLeastSquares(
      [
        [0.1, 0.7, -1],
        [0.3, 0.2, -1],
      ],
      [0.3, 0.1],
      [0.7, 0.9],
    );
    const off = [0.3, 0.1].map(
      (value, k) => value - 0.1 * (k === 0 ? 1 : 3) * (solution[0] ?? 0) - (k === 0 ? 0.7 : 0.2) * (solution[1] ?? 0),
    );
    expect(Math.max(...off.map(Math.abs))).toBeLessThan(1e-12);
    expect(atZero).toEqual([false, false, true]);
    const N = Number.NaN;
    expect(covariance).toEqual([
      [N, N, 0],
      [N, N, 0],
      [0, 0, 0],
    ]);
  });

  it("is 0 in rows and columns held at 0, and does not change when weights are scaled", () => {
    const rows = [
      [1, 1],
      [2, -1],
      [3, 2],
      [1, 4],
    ];
    const observed = [3, 6.1, 8.9, 2];
    const one = nonNegativeLeastSquares(rows, observed, [1, 2, 3, 4]);
    const ten = nonNegativeLeastSquares(rows, observed, [10, 20, 30, 40]);
    expect(one.atZero).toEqual([false, true]);
    expect(one.covariance[1]).toEqual([0, 0]);
    expect(one.covariance[0]?.[1]).toBe(0);
    expect(one.covariance[0]?.[0]).toBeGreaterThan(0);
    expect(ten.covariance[0]?.[0]).toBeCloseTo(one.covariance[0]?.[0] ?? Number.NaN, 12);
  });
});
