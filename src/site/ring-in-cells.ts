import { at } from "./at.js";
import { LegFrame, pieceCount } from "./leg-frame.js";
import type { Pair, Placement } from "./placement.js";

/**
 * A ring in columns and rows of a grid, turned as one whole the nearest way round, so that it is not torn. Where an edge
 * would stray from what is straight in the grid, positions are put in.
 * @param ring longitude and latitude by turns, closed
 */
export function ringInCells(placement: Placement, ring: Float64Array): Float64Array {
  const cells: number[] = [];
  const pair: Pair = new Float64Array(2);
  const turn_deg = placement.turn_deg(at(ring, 0));
  const add = (longitude_deg: number, latitude_deg: number): void => {
    placement.toCells(longitude_deg + turn_deg, latitude_deg, pair);
    cells.push(...pair);
  };
  const frame = new LegFrame();
  add(at(ring, 0), at(ring, 1));
  for (let k = 2; k + 1 < ring.length; k += 2) {
    const [lon1, lat1, lon2, lat2] = [at(ring, k - 2), at(ring, k - 1), at(ring, k), at(ring, k + 1)];
    frame.set(lat1, lon1, lat2, lon2);
    const pieces = placement.bend_perM === 0 ? 1 : pieceCount(frame, placement.bend_perM);
    for (let piece = 1; piece <= pieces; piece += 1) {
      const t = piece / pieces;
      add(lon1 + (lon2 - lon1) * t, lat1 + (lat2 - lat1) * t);
    }
  }
  return Float64Array.from(cells);
}
