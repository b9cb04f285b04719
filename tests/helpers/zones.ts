import { mergeObstacles, type ObstacleSet, parseObstacles } from "../../src/site/obstacles.js";
import { mergeZones, parseZones, type ZoneSet } from "../../src/site/zones.js";
import geodesic from "geographiclib-geodesic";

/** A spot on the ground. */
export interface Spot {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
}

/** @returns the bytes of a feature collection */
export function collection(...features: readonly (readonly [geometry: object, properties: object])[]): Uint8Array {
  const all = features.map(([geometry, properties]) => ({ type: "Feature", geometry, properties }));
  return new TextEncoder().encode(JSON.stringify({ type: "FeatureCollection", features: all }));
}

export function zonesFrom(bytes: Uint8Array): ZoneSet {
  return mergeZones([parseZones(bytes, "zones.geojson")]);
}

export function obstaclesFrom(bytes: Uint8Array): ObstacleSet {
  return mergeObstacles([parseObstacles(bytes, "obstacles.geojson")]);
}

export function noObstacles(): ObstacleSet {
  return mergeObstacles([]);
}

/** @returns a square whose sides are `half_m` from a spot */
export function ringAround({ latitude_deg, longitude_deg }: Spot, half_m: number): object {
  const corner = (course_deg: number): [number, number] => {
    const { lat2, lon2 } = geodesic.Geodesic.WGS84.Direct(latitude_deg, longitude_deg, course_deg, half_m * Math.SQRT2);
    return [lon2 ?? Number.NaN, lat2 ?? Number.NaN];
  };
  return { type: "Polygon", coordinates: [[corner(45), corner(135), corner(225), corner(315), corner(45)]] };
}
