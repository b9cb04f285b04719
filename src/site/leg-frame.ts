import { line, pointAlong } from "../num/geodesic.js";
import { metresPerDegreeEast, metresPerDegreeNorth } from "../num/metres-per-degree.js";
import type { Leg } from "./site.js";

/** How far the straight line of a frame may stray from the geodesic, m. */
const STRAY_M = 0.1;
const LEAST_RADIUS_M = 6_335_000;
/** Reached within some hundred metres of a pole alone, and by edges of polygons that go round the earth. */
const MOST_PIECES = 2000;
/** Farther than any of these aircraft flies home; a place that is wrong can be anywhere. */
const LONGEST_FOLLOWED_M = 100_000;
const LEAST_LENGTH_M = 1e-9;
/** Keeps the frame a frame at the very pole. */
const LEAST_PER_DEG_M = 1e-3;
const RAD_PER_DEG = Math.PI / 180;
/** Of a straight line in longitude and latitude, 1/m; 1.0901 is above what rounding makes of 1.09. */
const MOST_BEND_AT_80 = (1.0901 * Math.tan(80 * RAD_PER_DEG)) / LEAST_RADIUS_M;

/**
 * A straight piece of a leg, with metres along and across it (to the right) as coordinates.
 *
 * Metres per degree are those of WGS84 at the piece's middle latitude, and so the piece is straight in longitude and
 * latitude, as the lines of GeoJSON and of a grid are. Filled anew for each piece, so that no moment allocates.
 */
export class LegFrame {
  longitude_deg = 0.5;
  latitude_deg = 0.5;
  length_m = 0.5;
  /** Longitude of the end is that of the start and this; never the long way round. */
  eastward_deg = 0.5;
  northward_deg = 0.5;
  /** The unit vector of the way. */
  east = 0.5;
  north = 0.5;
  perEast_m = 0.5;
  perNorth_m = 0.5;

  /** Sets the frame to the piece between two points; one that has no length looks north. */
  set(latitude1_deg: number, longitude1_deg: number, latitude2_deg: number, longitude2_deg: number): void {
    const middle_deg = (latitude1_deg + latitude2_deg) / 2;
    this.perEast_m = Math.max(LEAST_PER_DEG_M, metresPerDegreeEast(middle_deg));
    this.perNorth_m = metresPerDegreeNorth(middle_deg);
    const apart_deg = longitude2_deg - longitude1_deg;
    this.#lay(longitude1_deg, latitude1_deg, apart_deg - 360 * Math.round(apart_deg / 360), latitude2_deg);
  }

  /** Sets the frame to a piece in the plane of another frame, on its side of ±180. */
  setLike(
    { perEast_m, perNorth_m }: LegFrame,
    longitude1_deg: number,
    latitude1_deg: number,
    longitude2_deg: number,
    latitude2_deg: number,
  ): void {
    this.perEast_m = perEast_m;
    this.perNorth_m = perNorth_m;
    this.#lay(longitude1_deg, latitude1_deg, longitude2_deg - longitude1_deg, latitude2_deg);
  }

  #lay(longitude_deg: number, latitude_deg: number, eastward_deg: number, latitude2_deg: number): void {
    this.longitude_deg = longitude_deg;
    this.latitude_deg = latitude_deg;
    this.eastward_deg = eastward_deg;
    this.northward_deg = latitude2_deg - latitude_deg;
    const x_m = this.eastward_deg * this.perEast_m;
    const y_m = this.northward_deg * this.perNorth_m;
    this.length_m = Math.sqrt(x_m * x_m + y_m * y_m);
    const isLong = this.length_m > LEAST_LENGTH_M;
    this.east = isLong ? x_m / this.length_m : 0;
    this.north = isLong ? y_m / this.length_m : 1;
  }

  /** @param longitude_deg on the side of ±180 where the frame is */
  along_m(longitude_deg: number, latitude_deg: number): number {
    const x_m = (longitude_deg - this.longitude_deg) * this.perEast_m;
    return x_m * this.east + (latitude_deg - this.latitude_deg) * this.perNorth_m * this.north;
  }

  /** @param longitude_deg on the side of ±180 where the frame is */
  across_m(longitude_deg: number, latitude_deg: number): number {
    const x_m = (longitude_deg - this.longitude_deg) * this.perEast_m;
    return x_m * this.north - (latitude_deg - this.latitude_deg) * this.perNorth_m * this.east;
  }

  longitudeAt(along_m: number, across_m: number): number {
    return this.longitude_deg + (along_m * this.east + across_m * this.north) / this.perEast_m;
  }

  latitudeAt(along_m: number, across_m: number): number {
    return this.latitude_deg + (along_m * this.north - across_m * this.east) / this.perNorth_m;
  }
}

/**
 * Into how many pieces a leg is cut so that each is straight in longitude and latitude, and in a grid, within 0.1 m of
 * the geodesic.
 *
 * On a sphere a line of length D, straight in longitude and latitude, strays from the geodesic by at most
 * D²·tan φ·sin c·(1 + cos² c)/(8R), c the course; the factor of the course is at most 1.09. None strays farther than it is
 * long, which is what counts at a pole.
 * @param bend_perM how sharply a geodesic bends in the grid; 0 in one in degrees
 * @returns 1 for all but long legs
 */
export function pieceCount(frame: LegFrame, bend_perM = 0): number {
  if (isShort(frame, bend_perM)) return 1;
  const far_deg = Math.max(Math.abs(frame.latitude_deg), Math.abs(frame.latitude_deg + frame.northward_deg));
  const bend = (1.09 * Math.tan(far_deg * RAD_PER_DEG)) / LEAST_RADIUS_M + bend_perM;
  const stray_m = (bend * frame.length_m ** 2) / 8;
  if (stray_m <= STRAY_M) return 1;
  const count = Math.min(Math.sqrt(stray_m / STRAY_M), frame.length_m / STRAY_M);
  return Math.max(1, Math.min(MOST_PIECES, Math.ceil(count)));
}

/** Whether a leg is one piece anywhere below 80°, as nearly all are: told without a tangent. */
function isShort({ latitude_deg, northward_deg, length_m }: LegFrame, bend_perM: number): boolean {
  const isLow = Math.abs(latitude_deg) <= 80 && Math.abs(latitude_deg + northward_deg) <= 80;
  return isLow && (MOST_BEND_AT_80 + bend_perM) * length_m * length_m <= 8 * STRAY_M;
}

/**
 * Whether a leg is longer than any way home, and not followed over the ground: it would be cut into thousands of pieces,
 * for every moment again, and what is wrong is a place.
 */
export function isTooLong(frame: LegFrame): boolean {
  return frame.length_m > LONGEST_FOLLOWED_M;
}

/**
 * Points that cut the geodesic of a leg into equal parts.
 * @returns `count` + 1 points, both ends among them
 */
export function cutLeg({ from, to }: Leg, count: number): { latitude_deg: number; longitude_deg: number }[] {
  const { distance_m, course_deg } = line(from.latitude_deg, from.longitude_deg, to.latitude_deg, to.longitude_deg);
  const points = [{ ...from }];
  for (let k = 1; k < count; k += 1) {
    points.push(pointAlong(from.latitude_deg, from.longitude_deg, course_deg, (distance_m * k) / count));
  }
  points.push({ ...to });
  return points;
}
