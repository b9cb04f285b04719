import { describe, expect, it } from "vitest";
import { nonNegativeLeastSquares } from "../../src/num/non-negative-least-squares.js";

// Source: NIST Statistical Reference Datasets, Linear Regression, Norris (36 points), as quoted in many test suites.
const Y = [
  0.1, 338.8, 118.1, 888, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9, 10.8,
  557.7, 228.3, 998, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
];
const X = [
  0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777, 558.2, 0.4, 0.6, 775.5, 666.9, 338, 447.5, 11.6, 556,
  228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999, 779, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
];
const CERTIFIED = {
  intercept: -0.262323073774029,
  interceptDeviation: 0.232818234301152,
  slope: 1.00211681802045,
  slopeDeviation: 0.429796848199937e-3,
  residualSquares: 26.6173985294224,
  meanSquare: 0.782864662630069,
};
const ones = Y.map(() => 1);

describe("NIST StRD Norris through the non-negative fit", () => {
  // The certified intercept is negative, so its column is −1: both coefficients are then positive and the bound is idle.
  const { solution, covariance, atZero } = nonNegativeLeastSquares(
    X.map((x) => [x, -1]),
    Y,
    ones,
  );
  const slope = solution[0] ?? Number.NaN;
  const intercept = -(solution[1] ?? Number.NaN);

  it("has the certified slope and intercept", () => {
    expect(Math.abs(slope / CERTIFIED.slope - 1)).toBeLessThan(1e-12);
    expect(Math.abs(intercept / CERTIFIED.intercept - 1)).toBeLessThan(1e-9);
    expect(atZero).toEqual([false, false]);
  });

  it("has the certified standard deviations and residual sum", () => {
    const slopeDeviation = Math.sqrt(covariance[0]?.[0] ?? Number.NaN);
    const interceptDeviation = Math.sqrt(covariance[1]?.[1] ?? Number.NaN);
    expect(Math.abs(slopeDeviation / CERTIFIED.slopeDeviation - 1)).toBeLessThan(1e-9);
    expect(Math.abs(interceptDeviation / CERTIFIED.interceptDeviation - 1)).toBeLessThan(1e-9);
    const squares = X.reduce((sum, x, k) => sum + ((Y[k] ?? 0) - intercept - slope * x) ** 2, 0);
    expect(Math.abs(squares / CERTIFIED.residualSquares - 1)).toBeLessThan(1e-9);
    expect(Math.abs(squares / 34 / CERTIFIED.meanSquare - 1)).toBeLessThan(1e-9);
  });

  it("holds the intercept at 0 where it may not be negative, and fits the slope through the origin", () => {
    const held = nonNegativeLeastSquares(
      X.map((x) => [x, 1]),
      Y,
      ones,
    );
    const throughOrigin = X.reduce((sum, x, k) => sum + x * (Y[k] ?? 0), 0) / X.reduce((sum, x) => sum + x * x, 0);
    expect(held.atZero).toEqual([false, true]);
    expect(held.solution[1]).toBe(0);
    expect(held.solution[0]).toBeCloseTo(throughOrigin, 12);
    expect(held.covariance[1]).toEqual([0, 0]);
  });
});
