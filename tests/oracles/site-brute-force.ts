/**
 * The highest ground under a leg, found without any cell logic: boxes are cut in half until no box can hold anything
 * higher than what was seen by more than a tolerance. Its own earth, its own surface; imports nothing.
 */

/** Heights in rows from the south, on nodes a fixed number of degrees apart. */
export interface OracleGrid {
  readonly columns: number;
  readonly rows: number;
  readonly west: number;
  readonly south: number;
  readonly stepEast: number;
  readonly stepNorth: number;
  readonly heights: ArrayLike<number>;
}

export interface OracleLeg {
  readonly from: readonly [longitude: number, latitude: number];
  readonly to: readonly [longitude: number, latitude: number];
}

/** Metres per degree of longitude and latitude on WGS84, from the radii of curvature. */
export function metresPerDegree(latitude: number): { east: number; north: number } {
  const f = 1 / 298.257223563;
  const e2 = f * (2 - f);
  const phi = (latitude / 180) * Math.PI;
  const w = Math.sqrt(1 - e2 * Math.sin(phi) ** 2);
  const n = 6378137 / w;
  const m = (6378137 * (1 - e2)) / w ** 3;
  return { east: (n * Math.cos(phi) * Math.PI) / 180, north: (m * Math.PI) / 180 };
}

/** The bilinear surface as a weighted mean of four corners; NaN off the grid or with a void corner. */
export function surface(grid: OracleGrid, longitude: number, latitude: number): number {
  const u = onto((longitude - grid.west) / grid.stepEast, grid.columns - 1);
  const v = onto((latitude - grid.south) / grid.stepNorth, grid.rows - 1);
  if (u < 0 || v < 0 || u > grid.columns - 1 || v > grid.rows - 1) return Number.NaN;
  const i = Math.min(grid.columns - 2, Math.trunc(u));
  const j = Math.min(grid.rows - 2, Math.trunc(v));
  const at = (column: number, row: number): number => grid.heights[row * grid.columns + column] ?? Number.NaN;
  const x = u - i;
  const y = v - j;
  return (
    at(i, j) * (1 - x) * (1 - y) + at(i + 1, j) * x * (1 - y) + at(i, j + 1) * (1 - x) * y + at(i + 1, j + 1) * x * y
  );
}

/** The spot of a leg's frame: `along` from the start, `across` to the right, m. */
export function spotOf(leg: OracleLeg): {
  length: number;
  at: (along: number, across: number) => [longitude: number, latitude: number];
} {
  const per = metresPerDegree((leg.from[1] + leg.to[1]) / 2);
  const x = (leg.to[0] - leg.from[0]) * per.east;
  const y = (leg.to[1] - leg.from[1]) * per.north;
  const length = Math.hypot(x, y);
  const [ex, ey] = length > 1e-9 ? [x / length, y / length] : [0, 1];
  return {
    length,
    at: (along, across) => [
      leg.from[0] + (along * ex + across * ey) / per.east,
      leg.from[1] + (along * ey - across * ex) / per.north,
    ],
  };
}

/**
 * Highest value in the rectangle that reaches `reach` to all sides of the leg (0: on the leg), within `tolerance`.
 * For grids without voids, with the rectangle inside the grid.
 */
export function highestUnder(grid: OracleGrid, leg: OracleLeg, reach: number, tolerance = 4e-4): number {
  const { length, at } = spotOf(leg);
  let best = Number.NEGATIVE_INFINITY;
  // A box: middle along, middle across, half sizes.
  const open: [number, number, number, number][] = [[length / 2, 0, length / 2 + reach, reach]];
  for (let box = open.pop(); box !== undefined; box = open.pop()) {
    const [along, across, halfAlong, halfAcross] = box;
    const [longitude, latitude] = at(along, across);
    const value = surface(grid, longitude, latitude);
    if (Number.isNaN(value)) throw new Error("the rectangle is not inside the grid");
    best = Math.max(best, value);
    const radius = Math.hypot(halfAlong, halfAcross);
    const { highest, slope } = around(grid, longitude, latitude, radius);
    if (Math.min(highest, value + slope * radius) <= best + tolerance) continue;
    if (halfAlong >= halfAcross) {
      for (const side of [-0.5, 0.5]) open.push([along + side * halfAlong, across, halfAlong / 2, halfAcross]);
    } else {
      for (const side of [-0.5, 0.5]) open.push([along, across + side * halfAcross, halfAlong, halfAcross / 2]);
    }
  }
  return best;
}

/** Highest of a lattice of samples in the rectangle, voids left out; -Infinity where none is known. */
export function highestOfSamples(grid: OracleGrid, leg: OracleLeg, reach: number, count: number): number {
  const { length, at } = spotOf(leg);
  let best = Number.NEGATIVE_INFINITY;
  for (let a = 0; a <= count; a += 1) {
    for (let b = 0; b <= (reach > 0 ? count : 0); b += 1) {
      const along = -reach + ((length + 2 * reach) * a) / count;
      const value = surface(grid, ...at(along, reach > 0 ? -reach + (2 * reach * b) / count : 0));
      if (value > best) best = value;
    }
  }
  return best;
}

/** A coordinate that rounding put just outside is at the edge. */
function onto(value: number, last: number): number {
  if (value < 0 && value > -1e-9) return 0;
  return value > last && value < last + 1e-9 ? last : value;
}

/** Within a radius nothing is higher than the nodes around, or steeper than their pairs both ways together. */
function around(
  grid: OracleGrid,
  longitude: number,
  latitude: number,
  radius: number,
): { highest: number; slope: number } {
  const per = metresPerDegree(latitude);
  const size = { east: grid.stepEast * per.east, north: grid.stepNorth * per.north };
  const u = (longitude - grid.west) / grid.stepEast;
  const v = (latitude - grid.south) / grid.stepNorth;
  const wide = 1.01 * radius + 1e-6;
  const iLast = Math.min(grid.columns - 1, Math.ceil(u + wide / size.east));
  const jLast = Math.min(grid.rows - 1, Math.ceil(v + wide / size.north));
  const iFirst = Math.max(0, Math.floor(u - wide / size.east));
  const jFirst = Math.max(0, Math.floor(v - wide / size.north));
  let [highest, east, north] = [Number.NEGATIVE_INFINITY, 0, 0];
  for (let j = jFirst; j <= jLast; j += 1) {
    for (let i = iFirst; i <= iLast; i += 1) {
      const z = grid.heights[j * grid.columns + i] ?? 0;
      highest = Math.max(highest, z);
      if (i < iLast) east = Math.max(east, Math.abs((grid.heights[j * grid.columns + i + 1] ?? 0) - z));
      if (j < jLast) north = Math.max(north, Math.abs((grid.heights[(j + 1) * grid.columns + i] ?? 0) - z));
    }
  }
  return { highest, slope: 1.01 * Math.hypot(east / size.east, north / size.north) };
}
