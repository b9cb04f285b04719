import { distance_m } from "../num/geodesic.js";
import { metresPerDegreeEast, metresPerDegreeNorth } from "../num/metres-per-degree.js";
import type { LowestGround } from "../site/site.js";
import { heightFrom_m } from "./needed-height.js";
import type { Replay } from "./replay.js";

/** What rounding can make of an equal height. */
const EQUAL_M = 1e-6;

/** How high the recoveries of a flight fly over the ground. */
export interface OverGround {
  /** The moment whose recovery gets the highest over the ground; -1 where none is known. */
  readonly worst: number;
  /** At the worst moment: most over the ground, and where; `ground_m` in the site's frame. */
  readonly most_m: number;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly ground_m: number;
  /** Time whose recoveries exceed the limit, with its first and last moment (-1 for none). */
  readonly exceeds_s: number;
  readonly first: number;
  readonly last: number;
  /** Time away from home for which it is not known, and not known to exceed either. */
  readonly unknown_s: number;
  /** The greatest recovery height, by the spot it counts from, that keeps every way home within the limit. */
  readonly allowed_m: number;
}

/** @returns nothing seen yet */
export function noGround(): LowestGround {
  return { ground_m: Number.NaN, latitude_deg: Number.NaN, longitude_deg: Number.NaN, seen_share: 0 };
}

/** By how much a geodesic may stray from a box round its ends, beside the box's diagonal squared. */
const STRAY_M = 0.5;
const STRAY_PER_M = 0.3 / 6.3e6;
/** Nearer to a pole it may stray more. */
const MOST_LATITUDE_DEG = 65;
/** To search all of a larger box is no shortcut. */
const MOST_DIAGONAL_M = 20_000;

/**
 * Whether all recoveries surely stay within a limit: the highest leg of all over the lowest ground that any could cross.
 * It spares most flights the search under every leg.
 * @returns false where that is not so, or anything is not known
 */
export function staysWithin(replay: Replay, limit_m: number): boolean {
  const { moments, length, inputs, pointGround_m, setting } = replay;
  const { point, heights } = inputs;
  let most_m = Number.NEGATIVE_INFINITY;
  let [west, south, east, north] = [
    Number.POSITIVE_INFINITY,
    Number.POSITIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
  ];
  for (let k = 0; k < length; k += 1) {
    const top_m = moments.top_m[k] ?? Number.NaN;
    const ground_m = pointGround_m[k] ?? Number.NaN;
    const start_m = (moments.height_m[k] ?? Number.NaN) + heights.takeoffGround_m - ground_m;
    if (moments.atHand[k] === 1 && !(top_m > start_m)) continue;
    // Math.max and Math.min hand NaN on.
    most_m = Math.max(most_m, top_m + ground_m);
    const latitude = moments.latitude_deg[k] ?? Number.NaN;
    const longitude = moments.longitude_deg[k] ?? Number.NaN;
    const pointLatitude = point.latitude_deg[k] ?? Number.NaN;
    const pointLongitude = point.longitude_deg[k] ?? Number.NaN;
    west = Math.min(west, longitude, pointLongitude);
    east = Math.max(east, longitude, pointLongitude);
    south = Math.min(south, latitude, pointLatitude);
    north = Math.max(north, latitude, pointLatitude);
  }
  if (!(east - west < 180 && south > -MOST_LATITUDE_DEG && north < MOST_LATITUDE_DEG)) return false;
  const diagonal_m = distance_m(south, west, north, east);
  if (diagonal_m > MOST_DIAGONAL_M) return false;
  const stray_m = STRAY_M + STRAY_PER_M * diagonal_m ** 2;
  const strayEast_deg = stray_m / metresPerDegreeEast(MOST_LATITUDE_DEG);
  const strayNorth_deg = stray_m / metresPerDegreeNorth(0);
  const lowest_m = setting.site.lowestWithin({
    west_deg: west - strayEast_deg,
    south_deg: south - strayNorth_deg,
    east_deg: east + strayEast_deg,
    north_deg: north + strayNorth_deg,
  });
  return most_m - lowest_m <= limit_m;
}

/**
 * The height of every recovery over the ground straight under it: over the climb's own spot and all along the leg home,
 * which is level while the ground may fall away. A landing on the spot climbs nowhere and is left out.
 * @param limit_m over the ground; equality is good
 */
export function findOverGround(replay: Replay, limit_m: number): OverGround {
  const { moments, length, inputs, pointGround_m, setting } = replay;
  const at = (column: Float64Array, k: number): number => column[k] ?? Number.NaN;
  const out = noGround();
  const found = {
    worst: -1,
    most_m: Number.NEGATIVE_INFINITY,
    latitude_deg: Number.NaN,
    longitude_deg: Number.NaN,
    ground_m: Number.NaN,
    exceeds_s: 0,
    first: -1,
    last: -1,
    unknown_s: 0,
    allowed_m: Number.POSITIVE_INFINITY,
  };
  for (let k = 0; k < length; k += 1) {
    const top_m = at(moments.top_m, k);
    const start_m = at(moments.height_m, k) + inputs.heights.takeoffGround_m - at(pointGround_m, k);
    if (moments.atHand[k] === 1 && !(top_m > start_m)) continue;
    setting.site.lowestGround(
      {
        from: { latitude_deg: at(moments.latitude_deg, k), longitude_deg: at(moments.longitude_deg, k) },
        to: { latitude_deg: at(inputs.point.latitude_deg, k), longitude_deg: at(inputs.point.longitude_deg, k) },
      },
      out,
    );
    const over_m = top_m + at(pointGround_m, k) - out.ground_m;
    if (out.ground_m !== Number.POSITIVE_INFINITY) {
      found.allowed_m = Math.min(found.allowed_m, limit_m + out.ground_m - heightFrom_m(replay, k));
    }
    if (over_m > limit_m + EQUAL_M) {
      found.exceeds_s += at(moments.weight_s, k);
      if (found.first < 0) found.first = k;
      found.last = k;
    } else if (Number.isNaN(over_m) || out.seen_share < 1) found.unknown_s += at(moments.weight_s, k);
    if (over_m > found.most_m) {
      const { latitude_deg, longitude_deg, ground_m } = out;
      Object.assign(found, { worst: k, most_m: over_m, latitude_deg, longitude_deg, ground_m });
    }
  }
  return found;
}
