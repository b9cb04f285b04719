import geodesic from "geographiclib-geodesic";
import { degrees, wrapBearing_deg } from "./bearing.js";
import { type NearLine, noNearLine, writeNearLine } from "./near-line.js";

const WGS84 = geodesic.Geodesic.WGS84;
const DISTANCE = geodesic.Geodesic.DISTANCE;
const DISTANCE_AZIMUTH = geodesic.Geodesic.DISTANCE | geodesic.Geodesic.AZIMUTH;

/** The shortest line between two points of the WGS84 ellipsoid. */
export interface Line {
  readonly distance_m: number;
  /** True course at the first point, [0, 360); 0 where the points are the same. */
  readonly course_deg: number;
}

/** A line that is written over, with room to work it out in. */
export type WrittenLine = { -readonly [Key in keyof Line]: Line[Key] } & { readonly near: NearLine };

/** @returns a line to be written over */
export function noLine(): WrittenLine {
  return { distance_m: Number.NaN, course_deg: Number.NaN, near: noNearLine() };
}

/** @returns the geodesic on WGS84; NaN in both where a coordinate is NaN */
export function line(lat1_deg: number, lon1_deg: number, lat2_deg: number, lon2_deg: number): Line {
  const out = noLine();
  writeLine(lat1_deg, lon1_deg, lat2_deg, lon2_deg, out);
  const { distance_m, course_deg } = out;
  return { distance_m, course_deg };
}

/** `line` for many lines: writes it into `out`. */
export function writeLine(
  lat1_deg: number,
  lon1_deg: number,
  lat2_deg: number,
  lon2_deg: number,
  out: WrittenLine,
): void {
  let azimuth_deg;
  if (writeNearLine(lat1_deg, lon1_deg, lat2_deg, lon2_deg, out.near)) {
    const { north_m, east_m, turn_rad } = out.near;
    out.distance_m = lengthOf_m(out.near);
    azimuth_deg = degrees(Math.atan2(east_m, north_m) - turn_rad);
  } else {
    const { s12, azi1 } = WGS84.Inverse(lat1_deg, lon1_deg, lat2_deg, lon2_deg, DISTANCE_AZIMUTH);
    out.distance_m = s12 ?? Number.NaN;
    azimuth_deg = azi1 ?? Number.NaN;
  }
  out.course_deg = out.distance_m === 0 ? 0 : wrapBearing_deg(azimuth_deg);
}

/** @returns length of the geodesic on WGS84, m; NaN where a coordinate is NaN */
export function distance_m(lat1_deg: number, lon1_deg: number, lat2_deg: number, lon2_deg: number): number {
  const near = noNearLine();
  if (writeNearLine(lat1_deg, lon1_deg, lat2_deg, lon2_deg, near)) return lengthOf_m(near);
  return WGS84.Inverse(lat1_deg, lon1_deg, lat2_deg, lon2_deg, DISTANCE).s12 ?? Number.NaN;
}

function lengthOf_m({ north_m, east_m }: NearLine): number {
  return Math.sqrt(north_m * north_m + east_m * east_m);
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
