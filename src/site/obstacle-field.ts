import { at } from "./at.js";
import Flatbush from "flatbush";
import { type Ground, noSpot, type Spot } from "./ground.js";
import type { LegFrame } from "./leg-frame.js";
import { type Band, boxOf, itemsOf, type ObstacleItem, writeBand } from "./obstacle-items.js";
import type { Obstacle } from "./obstacles.js";
import { type Clip, clipToRoundedBox } from "./rounded-box.js";

/** Footprints that miss by less are touched: what rounding can hide, on the safe side. */
const TOUCH_M = 1e-6;
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
  /** False once an obstacle was met whose ground is not known. */
  isWhole: boolean;
}

/** Obstacles on their ground, to be asked what is in the way. */
export class ObstacleField {
  readonly #items: readonly ObstacleItem[];
  readonly #index: Flatbush | undefined;
  readonly #ground: Ground;
  // Reused, so that a leg allocates no more than the index does.
  readonly #clip: Clip = { start: 0.5, end: 0.5 };
  readonly #spot: Spot = noSpot();
  readonly #band: Band = { low_m: 0.5, top_m: 0.5, isKnown: true };
  #along_m = 0.5;
  #across_m = 0.5;

  /** Elevations of points and polygons are found here, once. */
  constructor(obstacles: readonly Obstacle[], ground: Ground) {
    this.#ground = ground;
    this.#items = itemsOf(obstacles, ground);
    if (this.#items.length === 0) return;
    this.#index = new Flatbush(this.#items.length);
    for (const item of this.#items) this.#index.add(...boxOf(item));
    this.#index.finish();
  }

  /** Lowers `out` by whatever stands in the way of a piece of a leg at the elevation `path_m`. */
  leg(frame: LegFrame, corridor_m: number, path_m: number, out: ObstacleClearance): void {
    const index = this.#index;
    if (index === undefined) return;
    const half_m = frame.length_m / 2;
    const lon = frame.longitudeAt(half_m, 0);
    const lat = frame.latitudeAt(half_m, 0);
    const reach_m = half_m + corridor_m;
    const dLon = (Math.abs(frame.east) * reach_m + Math.abs(frame.north) * corridor_m) / frame.perEast_m;
    const dLat = (Math.abs(frame.north) * reach_m + Math.abs(frame.east) * corridor_m) / frame.perNorth_m;
    for (let turn_deg = -360; turn_deg <= 360; turn_deg += 360) {
      const west = lon - dLon + turn_deg;
      const east = lon + dLon + turn_deg;
      if (east < index.minX || west > index.maxX || lat + dLat < index.minY || lat - dLat > index.maxY) continue;
      for (const found of index.search(west, lat - dLat, east, lat + dLat)) {
        const item = this.#items[found];
        if (item !== undefined) this.#meet(item, frame, corridor_m, path_m, out);
      }
    }
  }

  #meet(item: ObstacleItem, frame: LegFrame, corridor_m: number, path_m: number, out: ObstacleClearance): void {
    const turn_deg = 360 * Math.round((frame.longitude_deg - item.longitude_deg) / 360);
    if (!this.#reaches(item, frame, turn_deg, corridor_m)) return;
    const band = this.#rise(item);
    if (!band.isKnown) out.isWhole = false;
    const corridorGap_m = gap(path_m, band);
    if (corridorGap_m < out.corridor_m) {
      out.corridor_m = corridorGap_m;
      out.over = item.obstacle;
      const isFixed = item.fixed !== undefined;
      out.longitude_deg = isFixed ? frame.longitudeAt(this.#along_m, this.#across_m) : this.#spot.longitude_deg;
      out.latitude_deg = isFixed ? frame.latitudeAt(this.#along_m, this.#across_m) : this.#spot.latitude_deg;
    }
    if (!this.#reaches(item, frame, turn_deg, 0)) return;
    const onCentre = this.#rise(item);
    out.centreTop_m = Math.max(out.centreTop_m, onCentre.top_m);
    out.centre_m = Math.min(out.centre_m, gap(path_m, onCentre));
  }

  /**
   * Whether a footprint meets the leg's rectangle (`pad_m` to all sides of the piece; 0: its centre line). Notes where,
   * and for a segment which part of it.
   */
  #reaches({ kind, rings, radius_m }: ObstacleItem, frame: LegFrame, turn_deg: number, pad_m: number): boolean {
    const { length_m } = frame;
    const middle_m = length_m / 2;
    let isInside = false;
    for (const ring of rings) {
      let along1 = frame.along_m(at(ring, 0) + turn_deg, at(ring, 1));
      let across1 = frame.across_m(at(ring, 0) + turn_deg, at(ring, 1));
      // A point is a segment without length.
      for (let k = Math.min(2, ring.length - 2); k < ring.length; k += 2) {
        const along2 = frame.along_m(at(ring, k) + turn_deg, at(ring, k + 1));
        const across2 = frame.across_m(at(ring, k) + turn_deg, at(ring, k + 1));
        if (clipToRoundedBox(along1, across1, along2, across2, length_m, pad_m, radius_m + TOUCH_M, this.#clip)) {
          this.#along_m = along1 + (along2 - along1) * this.#clip.start;
          this.#across_m = across1 + (across2 - across1) * this.#clip.start;
          return true;
        }
        if (across1 > 0 !== across2 > 0) {
          const crossing_m = along1 - (across1 / (across2 - across1)) * (along2 - along1);
          if (crossing_m > middle_m) isInside = !isInside;
        }
        along1 = along2;
        across1 = across2;
      }
    }
    // No edge meets the rectangle: it is all inside, or all outside.
    this.#along_m = middle_m;
    this.#across_m = 0;
    return kind === "polygon" && isInside;
  }

  /** Writes where the part that was reached is solid. */
  #rise(item: ObstacleItem): Band {
    if (item.fixed !== undefined) return item.fixed;
    const [ring = NO_RING] = item.rings;
    const lon1 = at(ring, 0);
    const lat1 = at(ring, 1);
    const dLon = at(ring, 2) - lon1;
    const dLat = at(ring, 3) - lat1;
    const { start, end } = this.#clip;
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
