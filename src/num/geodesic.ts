import geodesic from "geographiclib-geodesic";
import { degrees, wrapBearing_deg } from "./bearing.js";
import { type NearLine, nearLine } from "./near-line.js";

const WGS84 = geodesic.Geodesic.WGS84;
const DISTANCE = geodesic.Geodesic.DISTANCE;
const DISTANCE_AZIMUTH = geodesic.Geodesic.DISTANCE | geodesic.Geodesic.AZIMUTH;

/** The shortest line between two points of the WGS84 ellipsoid. */
export interface Line {
  readonly distance_m: number;
  /** True course at the first point, [0, 360); 0 where the points are the same. */
  readonly course_deg: number;
}

/** @returns the geodesic on WGS84; NaN in both where a coordinate is NaN */
export function line(lat1_deg: number, lon1_deg: number, lat2_deg: number, lon2_deg: number): Line {
  const near = nearLine(lat1_deg, lon1_deg, lat2_deg, lon2_deg);
  if (near !== undefined) return lineOfNear(near);
  const { s12, azi1 } = WGS84.Inverse(lat1_deg, lon1_deg, lat2_deg, lon2_deg, DISTANCE_AZIMUTH);
  const distance_m = s12 ?? Number.NaN;
  if (distance_m === 0) return { distance_m, course_deg: 0 };
  return { distance_m, course_deg: wrapBearing_deg(azi1 ?? Number.NaN) };
}

function lineOfNear({ north_m, east_m, turn_rad }: NearLine): Line {
  const distance_m = Math.sqrt(north_m * north_m + east_m * east_m);
  if (distance_m === 0) return { distance_m, course_deg: 0 };
  return { distance_m, course_deg: wrapBearing_deg(degrees(Math.atan2(east_m, north_m) - turn_rad)) };
}

/** @returns length of the geodesic on WGS84, m; NaN where a coordinate is NaN */
export function distance_m(lat1_deg: number, lon1_deg: number, lat2_deg: number, lon2_deg: number): number {
  const near = nearLine(lat1_deg, lon1_deg, lat2_deg, lon2_deg);
  if (near !== undefined) return Math.sqrt(near.north_m * near.north_m + near.east_m * near.east_m);
  return WGS84.Inverse(lat1_deg, lon1_deg, lat2_deg, lon2_deg, DISTANCE).s12 ?? Number.NaN;
}

/** @returns the point at a distance along a true course from a point, WGS84 */
export function pointAlong(
  latitude_deg: number,
  longitude_deg: number,
  course_deg: number,
  along_m: number,
): { latitude_deg: number; longitude_deg: number } {
  const { lat2, lon2 } = WGS84.Direct(latitude_deg, longitude_deg, course_deg, along_m);
  return { latitude_deg: lat2 ?? Number.NaN, longitude_deg: lon2 ?? Number.NaN };
}
