import { line, pointAlong } from "../num/geodesic.js";
import { at } from "./at.js";
import { type Lattice, latticeX, latticeY } from "./lattice.js";
import type { Pair, Placement } from "./placement.js";
import { type Bounds, fitPolynomial, type PlanePolynomial } from "./plane-polynomial.js";
import type { Projection } from "./projection.js";

/** How far the polynomial may be from the projection: a tenth of what the answers are exact to. */
const WITHIN_M = 1e-4;
/** Curvature is measured on lines of this length, where the projection's rounding no longer shows. */
const BEND_OVER_M = 2000;
/** Measured at a few places and courses; between them it can be a little more. */
const BEND_SAFETY = 1.5;
/** So small a bend cannot be told from rounding, and is under 0.1 m on 280 km. */
const LEAST_BEND_PER_M = 1e-11;

/**
 * The placement of nodes that are evenly spaced in a projected system.
 *
 * A projection is dear, so that within the ground that a flight needs it is replaced by a polynomial which is within
 * 0.1 mm of it at every point tried; beyond, and where no polynomial is good enough, the projection itself answers.
 */
export class ProjectedPlacement implements Placement {
  readonly bend_perM: number;
  readonly #projection: Projection;
  readonly #nodes: Lattice;
  readonly #middle_deg: number;
  readonly #toCells: PlanePolynomial | undefined;
  readonly #toDegrees: PlanePolynomial | undefined;
  readonly #cellSize_m: Pair = new Float64Array(2);

  /**
   * @param nodes of the part of the grid that is in use
   * @param box longitude and latitude of the ground that is asked for; east may be over 180
   */
  constructor(projection: Projection, nodes: Lattice, box: Bounds) {
    this.#projection = projection;
    this.#nodes = nodes;
    this.#middle_deg = (box.x0 + box.x1) / 2;
    this.#measureCell(box);
    const smaller_m = Math.min(at(this.#cellSize_m, 0), at(this.#cellSize_m, 1));
    const exact = (lon: number, lat: number, out: Pair): void => this.#exactCells(lon, lat, out);
    this.#toCells = fitPolynomial(exact, box, WITHIN_M / smaller_m);
    const cells: Bounds = { x0: -2, y0: -2, x1: nodes.columns + 1, y1: nodes.rows + 1 };
    const back = (u: number, v: number, out: Pair): void => this.#exactDegrees(u, v, out);
    this.#toDegrees = fitPolynomial(back, cells, WITHIN_M / 112_000);
    this.bend_perM = Math.max(LEAST_BEND_PER_M, this.#bend_perM(box));
  }

  turn_deg(longitude_deg: number): number {
    return 360 * Math.round((this.#middle_deg - longitude_deg) / 360);
  }

  toCells(longitude_deg: number, latitude_deg: number, out: Pair): void {
    if (this.#toCells?.write(longitude_deg, latitude_deg, out) !== true) {
      this.#exactCells(longitude_deg, latitude_deg, out);
    }
  }

  toDegrees(u: number, v: number, out: Pair): void {
    if (this.#toDegrees?.write(u, v, out) !== true) this.#exactDegrees(u, v, out);
  }

  cellSize_m(_latitude_deg: number, out: Pair): void {
    out.set(this.#cellSize_m);
  }

  #exactCells(longitude_deg: number, latitude_deg: number, out: Pair): void {
    const [x, y] = this.#projection.forward(longitude_deg, latitude_deg);
    out[0] = (x - this.#nodes.west) / this.#nodes.stepEast;
    out[1] = (y - this.#nodes.south) / this.#nodes.stepNorth;
  }

  #exactDegrees(u: number, v: number, out: Pair): void {
    const [longitude_deg, latitude_deg] = this.#projection.inverse(latticeX(this.#nodes, u), latticeY(this.#nodes, v));
    out[0] = longitude_deg + this.turn_deg(longitude_deg);
    out[1] = latitude_deg;
  }

  /** At the middle: over the ground of one flight the scale of a projection hardly changes. */
  #measureCell(box: Bounds): void {
    const here: Pair = new Float64Array(2);
    const there: Pair = new Float64Array(2);
    this.#exactCells(this.#middle_deg, (box.y0 + box.y1) / 2, here);
    for (const axis of [0, 1]) {
      const [u, v] = [at(here, 0), at(here, 1)];
      this.#exactDegrees(u, v, there);
      const [lon, lat] = there;
      this.#exactDegrees(u + (axis === 0 ? 1 : 0), v + axis, there);
      const cell = line(lat ?? Number.NaN, lon ?? Number.NaN, at(there, 1), at(there, 0));
      this.#cellSize_m[axis] = cell.distance_m;
    }
  }

  /** Curvature of geodesics in the grid: how far their middle is from the straight line between their ends. */
  #bend_perM(box: Bounds): number {
    let bend_perM = 0;
    const ends: Pair[] = [new Float64Array(2), new Float64Array(2), new Float64Array(2)];
    for (let k = 0; k < 9; k += 1) {
      const lon = box.x0 + ((box.x1 - box.x0) * (k % 3)) / 2;
      const lat = box.y0 + ((box.y1 - box.y0) * Math.floor(k / 3)) / 2;
      for (let course_deg = 0; course_deg < 180; course_deg += 22.5) {
        for (const [i, end] of ends.entries()) {
          const there = pointAlong(lat, lon, course_deg, ((i - 1) * BEND_OVER_M) / 2);
          this.#exactCells(there.longitude_deg + this.turn_deg(there.longitude_deg), there.latitude_deg, end);
        }
        const off = (axis: 0 | 1): number => {
          const [a = Number.NaN, b = Number.NaN, c = Number.NaN] = ends.map((end) => at(end, axis));
          return (b - (a + c) / 2) * at(this.#cellSize_m, axis);
        };
        const stray_m = Math.hypot(off(0), off(1));
        if (stray_m > 0) bend_perM = Math.max(bend_perM, (8 * stray_m) / BEND_OVER_M ** 2);
      }
    }
    return bend_perM * BEND_SAFETY;
  }
}
