import { buildSite, type BuiltSite } from "../../src/site/build-site.js";
import { ORIGIN } from "./flights.js";

/** Nodes of the grid are this far apart, both ways. */
export const STEP_DEG = 0.001;

/**
 * A grid round the origin of invented flights, 41 × 41 nodes, with nothing on it.
 * @param height_m of the ground, by degrees east and north of the origin
 */
export function groundOf(
  height_m: (east_deg: number, north_deg: number) => number,
  options: { readonly error_m?: number; readonly obstacles?: boolean } = {},
): BuiltSite {
  const size = 41;
  const half = (size - 1) / 2;
  const heights_m = new Float64Array(size * size);
  for (let row = 0; row < size; row += 1) {
    for (let column = 0; column < size; column += 1) {
      heights_m[row * size + column] = height_m((column - half) * STEP_DEG, (row - half) * STEP_DEG);
    }
  }
  const grid = {
    columns: size,
    rows: size,
    west_deg: ORIGIN.longitude_deg - half * STEP_DEG,
    south_deg: ORIGIN.latitude_deg - half * STEP_DEG,
    stepEast_deg: STEP_DEG,
    stepNorth_deg: STEP_DEG,
    heights_m,
  };
  return buildSite({
    terrain: { kind: "grids", grids: [{ grid, surface: false, error_m: options.error_m ?? 0 }] },
    obstacles: options.obstacles === false ? undefined : { obstacles: [], problems: [], defaults: [] },
  });
}
