import { type BuiltSite, buildSite, type SiteParts } from "../../src/site/build-site.js";
import type { Grid } from "../../src/site/grid.js";
import { mergeObstacles, type ObstacleSet, parseObstacles } from "../../src/site/obstacles.js";
import { mergeZones, parseZones, type ZoneSet } from "../../src/site/zones.js";
import type { LegClearance } from "../../src/site/site.js";
import { metresPerDegree } from "../oracles/site-brute-force.js";

/** An invented place; metres east and north of it, exact along its parallel and nearly so around it. */
export const PLACE = { latitude_deg: 47, longitude_deg: 8 };
const PER = metresPerDegree(PLACE.latitude_deg);

/** @returns the position some metres east and north of the invented place */
export function spot(east_m: number, north_m: number): { latitude_deg: number; longitude_deg: number } {
  return {
    latitude_deg: PLACE.latitude_deg + north_m / PER.north,
    longitude_deg: PLACE.longitude_deg + east_m / PER.east,
  };
}

/** @returns the same as a GeoJSON position */
export function lonLat(east_m: number, north_m: number): [number, number] {
  const { latitude_deg, longitude_deg } = spot(east_m, north_m);
  return [longitude_deg, latitude_deg];
}

/** @returns a grid from rows written as on a map, the north one first, with its south-western node `at` a spot */
export function gridOf(map: readonly (readonly number[])[], spacing_m: number, at = PLACE): Grid {
  const south = map.toReversed();
  return {
    columns: south[0]?.length ?? 0,
    rows: south.length,
    west_deg: at.longitude_deg,
    south_deg: at.latitude_deg,
    stepEast_deg: spacing_m / PER.east,
    stepNorth_deg: spacing_m / PER.north,
    heights_m: Float64Array.from(south.flat()),
  };
}

export function onGrid(
  grid: Grid,
  more: { surface?: boolean; error_m?: number; obstacles?: ObstacleSet } = {},
): BuiltSite {
  const terrain: SiteParts["terrain"] = {
    kind: "grids",
    grids: [{ grid, surface: more.surface ?? false, error_m: more.error_m ?? 0 }],
  };
  return buildSite({ terrain, obstacles: more.obstacles });
}

export function onPlain(obstacles?: ObstacleSet, zones?: ZoneSet): BuiltSite {
  return buildSite({ terrain: { kind: "flat" }, obstacles, zones });
}

/** @returns obstacles from GeoJSON geometries with their properties */
export function obstaclesOf(...features: readonly [geometry: object, properties: object][]): ObstacleSet {
  return mergeObstacles([parseObstacles(collectionOf(features), "o.geojson")]);
}

/** @returns zones from GeoJSON geometries with their properties */
export function zonesOf(...features: readonly [geometry: object, properties: object][]): ZoneSet {
  return mergeZones([parseZones(collectionOf(features), "z.geojson")]);
}

/** @returns the bytes of a feature collection */
export function collectionOf(features: readonly (readonly [geometry: object, properties: object])[]): Uint8Array {
  const collection = {
    type: "FeatureCollection",
    features: features.map(([geometry, properties]) => ({ type: "Feature", geometry, properties })),
  };
  return new TextEncoder().encode(JSON.stringify(collection));
}

/** A spot, in metres from the invented place. */
export type Metres = readonly [east: number, north: number];

export function point(at: Metres): object {
  return { type: "Point", coordinates: lonLat(...at) };
}

export function lineOf(...at: readonly Metres[]): object {
  return { type: "LineString", coordinates: at.map((metres) => lonLat(...metres)) };
}

/** Rings are closed here. */
export function polygon(...rings: readonly (readonly Metres[])[]): object {
  const closed = rings.map((ring) => [...ring, ...ring.slice(0, 1)].map((metres) => lonLat(...metres)));
  return { type: "Polygon", coordinates: closed };
}

export function square(west: number, south: number, side: number): Metres[] {
  return [
    [west, south],
    [west + side, south],
    [west + side, south + side],
    [west, south + side],
  ];
}

/** @returns the clearance of a leg between two spots in metres */
export function clearance(
  site: BuiltSite,
  from: Metres,
  to: Metres,
  { path_m = 100, corridor_m = 8 }: { path_m?: number; corridor_m?: number } = {},
): LegClearance {
  const out = blank();
  site.legClearance({ from: spot(...from), to: spot(...to), path_m, corridor_m }, out);
  return out;
}

/** @returns an answer that was never written */
export function blank(): LegClearance {
  return { centre_m: 999, corridor_m: 999, latitude_deg: 999, longitude_deg: 999, over: 999, groundSeen_share: 999 };
}
