import { at } from "./at.js";

/** Heights on evenly spaced nodes. The surface between them is bilinear; a cell with a void at any corner is unknown. */
export interface Nodes {
  /** From west to east, at least 2. */
  readonly columns: number;
  /** From south to north, at least 2. */
  readonly rows: number;
  /** Row by row from the south, each from the west: node (column, row) is at `row * columns + column`; NaN is a void. */
  readonly heights_m: Float64Array;
}

/** A regular grid of heights in longitude and latitude. */
export interface Grid extends Nodes {
  /** Position of the first node, which is the south-western one. */
  readonly west_deg: number;
  readonly south_deg: number;
  readonly stepEast_deg: number;
  readonly stepNorth_deg: number;
}

/** Positions this near to a grid line, in cells, are on it: a thousandth of a millimetre on the coarsest grid. */
export const ON_LINE = 1e-9;

/**
 * The bilinear surface at a spot. On a grid line only the nodes of that line count, at a node only itself.
 * @param u columns from the first node
 * @param v rows from the first node
 * @returns m; NaN off the grid or in a cell with a void
 */
export function heightAt(grid: Nodes, u: number, v: number): number {
  const { columns, rows, heights_m } = grid;
  if (!(u >= -ON_LINE && v >= -ON_LINE && u <= columns - 1 + ON_LINE && v <= rows - 1 + ON_LINE)) return Number.NaN;
  const column = snap(u);
  const row = snap(v);
  const i = Math.min(Math.floor(column), columns - 2);
  const j = Math.min(Math.floor(row), rows - 2);
  const k = j * columns + i;
  const south = between(at(heights_m, k), at(heights_m, k + 1), column - i);
  const north = between(at(heights_m, k + columns), at(heights_m, k + columns + 1), column - i);
  return between(south, north, row - j);
}

/** @returns the nearest whole number where it is as good as reached, else the value */
export function snap(value: number): number {
  const whole = Math.round(value);
  return Math.abs(value - whole) <= ON_LINE ? whole : value;
}

/** At either end the other value is not asked, as it may be NaN. */
function between(a: number, b: number, share: number): number {
  if (share === 0) return a;
  return share === 1 ? b : a + (b - a) * share;
}
