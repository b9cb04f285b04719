import { at } from "./at.js";
import { metresPerDegreeEast, metresPerDegreeNorth } from "../num/metres-per-degree.js";
import { ConvexSearch } from "./convex-highest.js";
import { highestInRings } from "./footprint-highest.js";
import { columnAt, heightAt, rowAt } from "./grid.js";
import type { Ground, Spot } from "./ground.js";
import type { LegFrame } from "./leg-frame.js";
import { type Found, highestOnLine, nothingFound } from "./line-highest.js";
import type { Relief } from "./relief.js";
import { unseenParts } from "./unseen.js";

/** On a surface a person stands on the lowest within it, since a tree there must not lift the path. */
const STANDING_WITHIN_M = 15;

/** One grid of a site's terrain. */
export interface GroundGrid {
  readonly relief: Relief;
  /** It includes trees and buildings. */
  readonly isSurface: boolean;
}

/** Ground from grids, the finest first: where one has a void or ends, the next one counts. */
export class GridsGround implements Ground {
  readonly isLevel = false;
  readonly #grids: readonly GroundGrid[];
  // Reused, so that no moment allocates.
  readonly #found: Found = nothingFound();
  readonly #corners = new Float64Array(8);
  readonly #search = new ConvexSearch();

  constructor(grids: readonly GroundGrid[]) {
    this.#grids = grids;
  }

  at(latitude_deg: number, longitude_deg: number): number {
    for (const { relief } of this.#grids) {
      const z_m = heightAt(relief, columnAt(relief, longitude_deg), rowAt(relief, latitude_deg));
      if (!Number.isNaN(z_m)) return z_m;
    }
    return Number.NaN;
  }

  standing(latitude_deg: number, longitude_deg: number): number {
    for (const { relief, isSurface } of this.#grids) {
      const z_m = heightAt(relief, columnAt(relief, longitude_deg), rowAt(relief, latitude_deg));
      if (!Number.isNaN(z_m)) return isSurface ? lowestAround(relief, latitude_deg, longitude_deg, z_m) : z_m;
    }
    return Number.NaN;
  }

  along(lon1_deg: number, lat1_deg: number, lon2_deg: number, lat2_deg: number, spot: Spot, sign: 1 | -1 = 1): void {
    spot.isWhole = true;
    spot.seen_share = this.#along(0, lon1_deg, lat1_deg, lon2_deg, lat2_deg, spot, sign);
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
    const relief = this.#grids[index]?.relief;
    if (relief === undefined) {
      spot.isWhole = false;
      return 0;
    }
    const found = this.#found;
    const gaps: number[] | undefined = index + 1 < this.#grids.length ? [] : undefined;
    found.gaps = gaps;
    found.z_m = spot.z_m;
    const u = columnAt(relief, lon1_deg);
    const v = rowAt(relief, lat1_deg);
    const du = (lon2_deg - lon1_deg) / relief.stepEast_deg;
    const dv = (lat2_deg - lat1_deg) / relief.stepNorth_deg;
    highestOnLine(relief, u, v, u + du, v + dv, found, sign);
    take(relief, found, spot);
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
    const relief = this.#grids[0]?.relief;
    if (relief === undefined) return;
    const u = columnAt(relief, frame.longitude_deg);
    const v = rowAt(relief, frame.latitude_deg);
    const perEast = 1 / (frame.perEast_m * relief.stepEast_deg);
    const perNorth = 1 / (frame.perNorth_m * relief.stepNorth_deg);
    const alongU = corridor_m * frame.east * perEast;
    const alongV = corridor_m * frame.north * perNorth;
    const acrossU = corridor_m * frame.north * perEast;
    const acrossV = -corridor_m * frame.east * perNorth;
    const u2 = u + frame.eastward_deg / relief.stepEast_deg;
    const v2 = v + frame.northward_deg / relief.stepNorth_deg;
    const corners = this.#corners;
    corners[0] = u - alongU - acrossU;
    corners[1] = v - alongV - acrossV;
    corners[2] = u2 + alongU - acrossU;
    corners[3] = v2 + alongV - acrossV;
    corners[4] = u2 + alongU + acrossU;
    corners[5] = v2 + alongV + acrossV;
    corners[6] = u - alongU + acrossU;
    corners[7] = v - alongV + acrossV;
    this.#convex(0, corners, spot);
  }

  #convex(index: number, corners: Float64Array, spot: Spot): void {
    const relief = this.#grids[index]?.relief;
    if (relief === undefined) return;
    const found = this.#found;
    found.gaps = undefined;
    found.z_m = spot.z_m;
    this.#search.search(relief, corners, found);
    take(relief, found, spot);
    spot.isWhole = found.isWhole;
    const next = this.#grids[index + 1]?.relief;
    if (found.isWhole || next === undefined) return;
    let isWhole = true;
    for (const part of unseenParts(relief, corners)) {
      this.#convex(index + 1, moved(part, relief, next), spot);
      isWhole &&= spot.isWhole;
    }
    spot.isWhole = isWhole;
  }

  /** Where the finest grid does not know all of it, the whole of it is looked up in the next one too: the safe side. */
  footprint(rings: readonly Float64Array[], spot: Spot, sign: 1 | -1): void {
    for (const { relief } of this.#grids) {
      const found = nothingFound();
      found.z_m = spot.z_m;
      highestInRings(relief, rings, found, sign);
      take(relief, found, spot);
      spot.isWhole = found.isWhole;
      if (found.isWhole) return;
    }
  }
}

/** Notes what a search of a grid found, where it beat what was there. */
function take(relief: Relief, found: Found, spot: Spot): void {
  if (!(found.z_m > spot.z_m)) return;
  spot.z_m = found.z_m;
  spot.longitude_deg = relief.west_deg + found.u * relief.stepEast_deg;
  spot.latitude_deg = relief.south_deg + found.v * relief.stepNorth_deg;
}

/** The same corners in columns and rows of another grid. */
function moved(corners: Float64Array, from: Relief, to: Relief): Float64Array {
  return corners.map((value, k) =>
    k % 2 === 0
      ? columnAt(to, from.west_deg + value * from.stepEast_deg)
      : rowAt(to, from.south_deg + value * from.stepNorth_deg),
  );
}

/**
 * The lowest of the spot itself and the nodes within 15 m: no bilinear patch is lower than its nodes, and what lies
 * between those within reach and those beyond is left out, so that the true lowest is at most this.
 */
function lowestAround(relief: Relief, latitude_deg: number, longitude_deg: number, atSpot_m: number): number {
  const perU_m = metresPerDegreeEast(latitude_deg) * relief.stepEast_deg;
  const perV_m = metresPerDegreeNorth(latitude_deg) * relief.stepNorth_deg;
  const u = columnAt(relief, longitude_deg);
  const v = rowAt(relief, latitude_deg);
  const reachV = STANDING_WITHIN_M / perV_m;
  let lowest_m = atSpot_m;
  for (let j = Math.max(0, Math.ceil(v - reachV)); j <= Math.min(relief.rows - 1, Math.floor(v + reachV)); j += 1) {
    const reachU = Math.sqrt(Math.max(0, STANDING_WITHIN_M ** 2 - ((j - v) * perV_m) ** 2)) / perU_m;
    const last = Math.min(relief.columns - 1, Math.floor(u + reachU));
    for (let i = Math.max(0, Math.ceil(u - reachU)); i <= last; i += 1) {
      const z_m = at(relief.heights_m, j * relief.columns + i);
      if (z_m < lowest_m) lowest_m = z_m;
    }
  }
  return lowest_m;
}
