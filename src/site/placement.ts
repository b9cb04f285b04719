import { metresPerDegreeEast, metresPerDegreeNorth } from "../num/metres-per-degree.js";
import type { Grid, Nodes } from "./grid.js";

/** Two coordinates; the caller owns them and has them written over, so that no moment allocates. */
export type Pair = Float64Array;

/** Where the columns and rows of a grid lie on the earth. */
export interface Placement {
  /**
   * How sharply a geodesic bends in the grid at most, 1/m: one of length D strays from its chord by at most bend·D²/8.
   * 0 for a grid in degrees, where that is known from the latitude.
   */
  readonly bend_perM: number;
  /** @returns the whole turns, in degrees, that bring a longitude to the side of ±180 where the grid is */
  turn_deg(longitude_deg: number): number;
  /** Writes columns and rows from the first node; not finite where there are none. @param longitude_deg turned */
  toCells(longitude_deg: number, latitude_deg: number, out: Pair): void;
  /** Writes longitude and latitude. */
  toDegrees(u: number, v: number, out: Pair): void;
  /** Writes the size of a cell at a latitude, m. */
  cellSize_m(latitude_deg: number, out: Pair): void;
}

/** A grid with the way from the earth to its nodes. */
export interface PlacedNodes extends Nodes {
  readonly placement: Placement;
}

/** The placement of a grid in longitude and latitude: as many degrees to each column and row. */
export class DegreePlacement implements Placement {
  readonly bend_perM = 0;
  readonly #west_deg: number;
  readonly #south_deg: number;
  readonly #stepEast_deg: number;
  readonly #stepNorth_deg: number;
  readonly #middle_deg: number;

  constructor(grid: Grid) {
    this.#west_deg = grid.west_deg;
    this.#south_deg = grid.south_deg;
    this.#stepEast_deg = grid.stepEast_deg;
    this.#stepNorth_deg = grid.stepNorth_deg;
    this.#middle_deg = grid.west_deg + ((grid.columns - 1) / 2) * grid.stepEast_deg;
  }

  turn_deg(longitude_deg: number): number {
    return 360 * Math.round((this.#middle_deg - longitude_deg) / 360);
  }

  toCells(longitude_deg: number, latitude_deg: number, out: Pair): void {
    out[0] = (longitude_deg - this.#west_deg) / this.#stepEast_deg;
    out[1] = (latitude_deg - this.#south_deg) / this.#stepNorth_deg;
  }

  toDegrees(u: number, v: number, out: Pair): void {
    out[0] = this.#west_deg + u * this.#stepEast_deg;
    out[1] = this.#south_deg + v * this.#stepNorth_deg;
  }

  cellSize_m(latitude_deg: number, out: Pair): void {
    out[0] = metresPerDegreeEast(latitude_deg) * this.#stepEast_deg;
    out[1] = metresPerDegreeNorth(latitude_deg) * this.#stepNorth_deg;
  }
}
