/**
 * The least whole recovery height that clears every way home, by trying one metre after the other; and how high over the
 * ground it gets. Imports nothing but other oracles.
 */
import { highestUnder, type OracleGrid, surface } from "./site-brute-force.js";

/** What a search found. */
export interface OracleHeight {
  /** Whole metres above the ground at the recovery point; undefined where none up to the limit does. */
  readonly height: number | undefined;
  /** How near the highest thing comes to deciding otherwise, m: under a millimetre or so nobody can tell. */
  readonly margin: number;
}

/** Tries 0, 1, 2, … m. */
export function leastWholeHeight(
  grid: OracleGrid,
  point: readonly [longitude: number, latitude: number],
  starts: readonly (readonly [longitude: number, latitude: number])[],
  corridor: number,
  clearance: number,
  limit = 2000,
): OracleHeight {
  const ground = surface(grid, ...point);
  const tops = starts.map((from) => highestUnder(grid, { from, to: point }, corridor, 5e-3));
  for (let height = 0; height <= limit; height += 1) {
    const gaps = tops.map((top) => ground + height - top - clearance);
    if (gaps.every((gap) => gap >= 0)) {
      const worst = Math.min(...gaps);
      return { height, margin: Math.min(worst, 1 - worst) };
    }
  }
  return { height: undefined, margin: 0 };
}

/** Most height over the ground on straight ways at an elevation, from a dense row of samples of each. */
export function mostOverGround(
  grid: OracleGrid,
  point: readonly [longitude: number, latitude: number],
  starts: readonly (readonly [longitude: number, latitude: number])[],
  elevation: number,
  samples = 500,
): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const [longitude, latitude] of starts) {
    for (let i = 0; i <= samples; i += 1) {
      const share = i / samples;
      const x = longitude + (point[0] - longitude) * share;
      const y = latitude + (point[1] - latitude) * share;
      most = Math.max(most, elevation - surface(grid, x, y));
    }
  }
  return most;
}
