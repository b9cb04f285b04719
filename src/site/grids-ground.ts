import { at } from "./at.js";
import { ConvexSearch } from "./convex-highest.js";
import { highestInRings } from "./footprint-highest.js";
import { heightAt } from "./grid.js";
import type { Ground, Spot } from "./ground.js";
import { LegFrame, pieceCount } from "./leg-frame.js";
import { type Found, LineSearch, nothingFound } from "./line-highest.js";
import { lowestAround } from "./lowest-around.js";
import type { Pair, Placement } from "./placement.js";
import type { Relief } from "./relief.js";
import { ringInCells } from "./ring-in-cells.js";
import { unseenParts } from "./unseen.js";

/** One grid of a site's terrain. */
export interface GroundGrid {
  readonly relief: Relief;
  readonly placement: Placement;
  /** It includes trees and buildings. */
  readonly isSurface: boolean;
}

interface SearchedGrid extends GroundGrid {
  readonly lines: LineSearch;
  readonly convex: ConvexSearch;
}

/** Ground from grids, the finest first: where one has a void or ends, the next one counts. */
export class GridsGround implements Ground {
  readonly isLevel = false;
  readonly bend_perM: number;
  readonly #grids: readonly SearchedGrid[];
  // Reused, so that no moment allocates.
  readonly #found: Found = nothingFound();
  readonly #corners = new Float64Array(8);
  readonly #ends = new Float64Array(4);
  readonly #start: Pair = this.#ends.subarray(0, 2);
  readonly #end: Pair = this.#ends.subarray(2);
  readonly #frame = new LegFrame();

  constructor(grids: readonly GroundGrid[]) {
    this.#grids = grids.map((grid) => {
      return { ...grid, lines: new LineSearch(grid.relief), convex: new ConvexSearch(grid.relief) };
    });
    this.bend_perM = Math.max(0, ...grids.map(({ placement }) => placement.bend_perM));
  }

  at(latitude_deg: number, longitude_deg: number): number {
    const cell = this.#start;
    for (const { relief, placement } of this.#grids) {
      placement.toCells(longitude_deg + placement.turn_deg(longitude_deg), latitude_deg, cell);
      const z_m = heightAt(relief, at(cell, 0), at(cell, 1));
      if (!Number.isNaN(z_m)) return z_m;
    }
    return Number.NaN;
  }

  standing(latitude_deg: number, longitude_deg: number): number {
    const cell = this.#start;
    for (const { relief, placement, isSurface } of this.#grids) {
      placement.toCells(longitude_deg + placement.turn_deg(longitude_deg), latitude_deg, cell);
      const z_m = heightAt(relief, at(cell, 0), at(cell, 1));
      if (Number.isNaN(z_m)) continue;
      if (!isSurface) return z_m;
      placement.cellSize_m(latitude_deg, this.#end);
      return lowestAround(relief, cell, this.#end, z_m);
    }
    return Number.NaN;
  }

  along(lon1_deg: number, lat1_deg: number, lon2_deg: number, lat2_deg: number, spot: Spot, sign: 1 | -1 = 1): void {
    spot.isWhole = true;
    let pieces = 1;
    if (this.bend_perM > 0) {
      this.#frame.set(lat1_deg, lon1_deg, lat2_deg, lon2_deg);
      pieces = pieceCount(this.#frame, this.bend_perM);
    }
    if (pieces === 1) {
      spot.seen_share = this.#along(0, lon1_deg, lat1_deg, lon2_deg, lat2_deg, spot, sign);
      return;
    }
    const lon = (k: number): number => lon1_deg + ((lon2_deg - lon1_deg) * k) / pieces;
    const lat = (k: number): number => lat1_deg + ((lat2_deg - lat1_deg) * k) / pieces;
    let seen_share = 0;
    for (let k = 0; k < pieces; k += 1) {
      seen_share += this.#along(0, lon(k), lat(k), lon(k + 1), lat(k + 1), spot, sign) / pieces;
    }
    spot.seen_share = spot.isWhole ? 1 : Math.min(seen_share, 1);
  }

  /** @returns share of the line that is known to this grid and the coarser ones */
  #along(
    index: number,
    lon1_deg: number,
    lat1_deg: number,
    lon2_deg: number,
    lat2_deg: number,
    spot: Spot,
    sign: 1 | -1,
  ): number {
    const grid = this.#grids[index];
    if (grid === undefined) {
      spot.isWhole = false;
      return 0;
    }
    const { lines, placement } = grid;
    const found = this.#found;
    const gaps: number[] | undefined = index + 1 < this.#grids.length ? [] : undefined;
    found.gaps = gaps;
    found.z_m = spot.z_m;
    const turn_deg = placement.turn_deg(lon1_deg);
    placement.toCells(lon1_deg + turn_deg, lat1_deg, this.#start);
    placement.toCells(lon2_deg + turn_deg, lat2_deg, this.#end);
    lines.search(this.#ends, 0, 2, found, sign);
    this.#take(placement, found, spot);
    if (found.isWhole) return 1;
    let seen_share = found.seen_share;
    if (gaps === undefined || gaps.length === 0) {
      spot.isWhole = false;
      return seen_share;
    }
    for (let k = 0; k < gaps.length; k += 2) {
      const from = gaps[k] ?? 0;
      const to = gaps[k + 1] ?? 0;
      const lon = (t: number): number => lon1_deg + (lon2_deg - lon1_deg) * t;
      const lat = (t: number): number => lat1_deg + (lat2_deg - lat1_deg) * t;
      seen_share += (to - from) * this.#along(index + 1, lon(from), lat(from), lon(to), lat(to), spot, sign);
    }
    return Math.min(seen_share, 1);
  }

  corridor(frame: LegFrame, corridor_m: number, spot: Spot): void {
    const placement = this.#grids[0]?.placement;
    if (placement === undefined) {
      spot.isWhole = false;
      return;
    }
    const turn_deg = placement.turn_deg(frame.longitude_deg);
    const far_m = frame.length_m + corridor_m;
    this.#corner(placement, frame, turn_deg, 0, -corridor_m, -corridor_m);
    this.#corner(placement, frame, turn_deg, 2, far_m, -corridor_m);
    this.#corner(placement, frame, turn_deg, 4, far_m, corridor_m);
    this.#corner(placement, frame, turn_deg, 6, -corridor_m, corridor_m);
    this.#convex(0, this.#corners, spot);
  }

  #corner(p: Placement, frame: LegFrame, turn_deg: number, k: number, along_m: number, across_m: number): void {
    p.toCells(frame.longitudeAt(along_m, across_m) + turn_deg, frame.latitudeAt(along_m, across_m), this.#start);
    this.#corners[k] = at(this.#start, 0);
    this.#corners[k + 1] = at(this.#start, 1);
  }

  #convex(index: number, corners: Float64Array, spot: Spot): void {
    const grid = this.#grids[index];
    if (grid === undefined) return;
    const { relief, convex, placement } = grid;
    const found = this.#found;
    found.gaps = undefined;
    found.z_m = spot.z_m;
    convex.search(corners, found);
    this.#take(placement, found, spot);
    spot.isWhole = found.isWhole;
    const next = this.#grids[index + 1];
    if (found.isWhole || next === undefined) return;
    let isWhole = true;
    for (const part of unseenParts(relief, corners)) {
      this.#convex(index + 1, moved(part, placement, next.placement), spot);
      isWhole &&= spot.isWhole;
    }
    spot.isWhole = isWhole;
  }

  /** Where the finest grid does not know all of it, the whole of it is looked up in the next one too: the safe side. */
  footprint(rings: readonly Float64Array[], spot: Spot, sign: 1 | -1): void {
    spot.isWhole = false;
    for (const { relief, placement } of this.#grids) {
      const found = nothingFound();
      found.z_m = spot.z_m;
      const inCells = rings.map((ring) => ringInCells(placement, ring));
      highestInRings(relief, inCells, found, sign);
      this.#take(placement, found, spot);
      spot.isWhole = found.isWhole;
      if (found.isWhole) return;
    }
  }

  /** Notes what a search of a grid found, where it beat what was there. */
  #take(placement: Placement, found: Found, spot: Spot): void {
    if (!(found.z_m > spot.z_m)) return;
    spot.z_m = found.z_m;
    placement.toDegrees(found.u, found.v, this.#start);
    spot.longitude_deg = at(this.#start, 0);
    spot.latitude_deg = at(this.#start, 1);
  }
}

/** The same corners in columns and rows of another grid. */
function moved(corners: Float64Array, from: Placement, to: Placement): Float64Array {
  const cells = new Float64Array(corners.length);
  const pair: Pair = new Float64Array(2);
  let turn_deg = Number.NaN;
  for (let k = 0; k < corners.length; k += 2) {
    from.toDegrees(at(corners, k), at(corners, k + 1), pair);
    if (Number.isNaN(turn_deg)) turn_deg = to.turn_deg(at(pair, 0));
    to.toCells(at(pair, 0) + turn_deg, at(pair, 1), pair);
    cells.set(pair, k);
  }
  return cells;
}
