import { at } from "./at.js";
import { type Column, type ColumnMet, meet } from "./column.js";
import { FootprintReach, turnTo } from "./footprint.js";
import { FootprintIndex, NearFootprints } from "./footprint-index.js";
import { type Ground, noSpot, type Spot } from "./ground.js";
import type { LegFrame } from "./leg-frame.js";
import { type Band, itemsOf, type ObstacleItem, writeBand } from "./obstacle-items.js";
import type { Obstacle } from "./obstacles.js";

const NO_RING = new Float64Array(0);

/** What the obstacles leave of a leg; the caller owns it. */
export interface ObstacleClearance {
  /** Least clearance so far, m; +Infinity at first. */
  centre_m: number;
  corridor_m: number;
  /** Number and place of the obstacle with the corridor's least clearance; -1 at first. */
  over: number;
  latitude_deg: number;
  longitude_deg: number;
  /** Highest top on the centre line, m; -Infinity at first. */
  centreTop_m: number;
  /** False once an obstacle was met whose ground or height is not known. */
  isWhole: boolean;
}

/** Obstacles on their ground, to be asked what is in the way. */
export class ObstacleField {
  readonly #ground: Ground;
  // Legs, climbs and spots are asked for by turns: each holds its own surroundings.
  readonly #nearLeg: NearFootprints<ObstacleItem>;
  readonly #nearClimb: NearFootprints<ObstacleItem>;
  readonly #nearSpot: NearFootprints<ObstacleItem>;
  // Reused, so that a leg allocates nothing.
  readonly #reach = new FootprintReach();
  readonly #spot: Spot = noSpot();
  readonly #band: Band = { low_m: 0.5, top_m: 0.5, isKnown: true };

  /** Elevations of points and polygons are found here, once. */
  constructor(obstacles: readonly Obstacle[], ground: Ground) {
    this.#ground = ground;
    const index = new FootprintIndex(itemsOf(obstacles, ground));
    this.#nearLeg = new NearFootprints(index);
    this.#nearClimb = new NearFootprints(index);
    this.#nearSpot = new NearFootprints(index);
  }

  /**
   * Lowers `out` by whatever stands in the way of a piece of a leg at the elevation `path_m`.
   * @param knownOnly what only a project default makes high is left out
   */
  leg(frame: LegFrame, corridor_m: number, path_m: number, out: ObstacleClearance, knownOnly = false): void {
    const near = this.#nearLeg;
    near.search(frame, corridor_m);
    for (let n = 0; n < near.count; n += 1) {
      const item = near.found[n];
      if (item !== undefined && !(knownOnly && item.isAssumed)) this.#meet(item, frame, corridor_m, path_m, out);
    }
  }

  /** Lowers `out` by whatever a climb would meet; the frame is at the aircraft and has no length. */
  column(frame: LegFrame, { from_m, to_m, radius_m }: Column, out: ColumnMet): void {
    const near = this.#nearClimb;
    near.search(frame, radius_m);
    for (let n = 0; n < near.count; n += 1) {
      const item = near.found[n];
      if (item === undefined) continue;
      const turn_deg = turnTo(frame, item);
      if (!this.#reach.reaches(item, frame, turn_deg, 0, radius_m)) continue;
      const band = this.#rise(item);
      if (!band.isKnown || Number.isNaN(from_m + to_m)) out.isWhole = false;
      this.#climb(item, band, from_m, to_m, false, out);
      if (this.#reach.reaches(item, frame, turn_deg, 0)) this.#climb(item, this.#rise(item), from_m, to_m, true, out);
    }
  }

  /**
   * @param frame at a spot, without length
   * @returns the number of the first obstacle whose footprint is within `radius_m` of the spot; -1 for none
   */
  standsWithin(frame: LegFrame, radius_m: number): number {
    const near = this.#nearSpot;
    near.search(frame, radius_m);
    for (let n = 0; n < near.count; n += 1) {
      const item = near.found[n];
      if (item !== undefined && this.#reach.reaches(item, frame, turnTo(frame, item), 0, radius_m)) {
        return item.obstacle;
      }
    }
    return -1;
  }

  /** A solid beside the aircraft is met at once; one that the aircraft is in is no climb at all. */
  #climb(item: ObstacleItem, band: Band, from_m: number, to_m: number, isInColumn: boolean, out: ColumnMet): void {
    const up_m = Math.max(0, band.low_m - from_m);
    if (!(band.top_m > from_m && from_m + up_m < to_m)) return;
    if (isInColumn && band.low_m < from_m) {
      out.inside = item.obstacle;
      if (!item.isAssumed) out.insideKnown = item.obstacle;
    } else meet(out, item.obstacle, up_m, isInColumn, item.isAssumed);
  }

  #meet(item: ObstacleItem, frame: LegFrame, corridor_m: number, path_m: number, out: ObstacleClearance): void {
    const turn_deg = turnTo(frame, item);
    const reach = this.#reach;
    if (!reach.reaches(item, frame, turn_deg, corridor_m)) return;
    const band = this.#rise(item);
    if (!band.isKnown) out.isWhole = false;
    const corridorGap_m = gap(path_m, band);
    if (corridorGap_m < out.corridor_m) {
      out.corridor_m = corridorGap_m;
      out.over = item.obstacle;
      const isFixed = item.fixed !== undefined;
      out.longitude_deg = isFixed ? frame.longitudeAt(reach.along_m, reach.across_m) : this.#spot.longitude_deg;
      out.latitude_deg = isFixed ? frame.latitudeAt(reach.along_m, reach.across_m) : this.#spot.latitude_deg;
    }
    if (!reach.reaches(item, frame, turn_deg, 0)) return;
    const onCentre = this.#rise(item);
    out.centreTop_m = Math.max(out.centreTop_m, onCentre.top_m);
    out.centre_m = Math.min(out.centre_m, gap(path_m, onCentre));
  }

  /** Writes where the part that was reached is solid. */
  #rise(item: ObstacleItem): Band {
    if (item.fixed !== undefined) return item.fixed;
    const [ring = NO_RING] = item.rings;
    const lon1 = at(ring, 0);
    const lat1 = at(ring, 1);
    const dLon = at(ring, 2) - lon1;
    const dLat = at(ring, 3) - lat1;
    const { start, end } = this.#reach.clip;
    const low_m = item.stands.underside_m === undefined ? 0 : -this.#search(lon1, lat1, dLon, dLat, start, end, -1);
    const high_m = this.#search(lon1, lat1, dLon, dLat, start, end, 1);
    writeBand(item.stands, low_m, high_m, this.#spot.isWhole, this.#band);
    return this.#band;
  }

  #search(lon: number, lat: number, dLon: number, dLat: number, start: number, end: number, sign: 1 | -1): number {
    const spot = this.#spot;
    spot.z_m = Number.NEGATIVE_INFINITY;
    spot.longitude_deg = lon + dLon * start;
    spot.latitude_deg = lat + dLat * start;
    this.#ground.along(lon + dLon * start, lat + dLat * start, lon + dLon * end, lat + dLat * end, spot, sign);
    return spot.z_m;
  }
}

/** Over the top, or under the underside; in between it counts from the top, below 0. */
function gap(path_m: number, { low_m, top_m }: Band): number {
  return path_m >= low_m ? path_m - top_m : low_m - path_m;
}
