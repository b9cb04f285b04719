import type { ZoneKind } from "./zones.js";
import type { Column, ColumnMet } from "./column.js";
import type { DefaultUse } from "./default-heights.js";
import type { KeepOutMet } from "./keep-out-met.js";
import type { Box } from "./terrain-window.js";

/** What the leg query answers; the caller owns it and it is written over at each call, so that no moment allocates. */
export interface LegClearance {
  /** Least clearance on the centre line over what is known, m; +Infinity where nothing at all is known of it. */
  centre_m: number;
  /** Least clearance in the corridor over what is known, m; never above `centre_m`. */
  corridor_m: number;
  /** Where the corridor's least clearance is. */
  latitude_deg: number;
  longitude_deg: number;
  /** What is highest there: -1 the ground, else the number of an obstacle. NaN-free. */
  over: number;
  /**
   * Share of the corridor's centre line on known ground, 0–1; 1 only when no void or edge, nor anything of unknown height,
   * touches the corridor. NaN, as both clearances, where the leg is over 100 km long and was not followed.
   */
  groundSeen_share: number;
}

/** The lowest ground under a line; the caller owns it and it is written over at each call. */
export interface LowestGround {
  /** m in the site's frame; +Infinity where nothing of it is known. */
  ground_m: number;
  latitude_deg: number;
  longitude_deg: number;
  /** Share of the line on known ground, 0–1; 1 only where nothing unknown touches it. */
  seen_share: number;
}

/** One straight leg of a recovery at a constant elevation. */
export interface Leg {
  from: { latitude_deg: number; longitude_deg: number };
  to: { latitude_deg: number; longitude_deg: number };
  /** Elevation of the path, in the site's frame: above the datum of the terrain, or above the plain for `flat`. */
  path_m: number;
  /** Half-width of the corridor, and how far it reaches beyond both ends. */
  corridor_m: number;
  /** What nothing, or only a project default, makes high is left out. */
  knownOnly?: boolean;
}

/** The ground and what stands on it along the centre line of a leg, in equal stretches, each with its highest. */
export interface Profile {
  /** From the start to the middle of each stretch. */
  readonly along_m: Float64Array;
  readonly latitude_deg: Float64Array;
  readonly longitude_deg: Float64Array;
  /** Highest ground on the stretch; NaN where nothing of it is known. */
  readonly ground_m: Float64Array;
  /** Highest known top of an obstacle on the stretch; NaN where there is none. */
  readonly obstacleTop_m: Float64Array;
  /** 1 where something stands on the stretch whose top is not known. */
  readonly hasUnknownTop: Uint8Array;
}

/**
 * The ground and what stands on it, as far as declared.
 *
 * Elevations are in the frame of the terrain (`flat`: 0 everywhere; undeclared terrain with obstacles: 0 as well, but
 * then `hasTerrain` is false and only a `fail` can be decided). Only differences of elevation are used.
 */
export interface Site {
  readonly hasTerrain: boolean;
  /** The terrain was declared `flat`: 0 everywhere, wherever the aircraft took off. */
  readonly isFlat: boolean;
  /** The terrain is a surface that includes trees and buildings. */
  readonly isSurface: boolean;
  /** Obstacles were declared, if only as an empty list. */
  readonly hasObstacles: boolean;
  /** Declared error of the terrain, m. */
  readonly terrainError_m: number;
  readonly obstacleNames: readonly string[];
  /** Zones were declared, if only as an empty list. */
  readonly hasZones: boolean;
  readonly zoneNames: readonly string[];
  /** What each zone is, in the order of their names. */
  readonly zoneTypes: readonly ZoneKind[];
  /** Heights that were taken by default, and how often. */
  readonly defaultHeights: readonly DefaultUse[];
  /** Some obstacle's height is a project default, or not known. */
  readonly hasAssumedHeights: boolean;
  /** Some obstacle's height is not known. */
  readonly hasUnknownHeights: boolean;
  /** The files of the terrain, each with its format, system and resolution. */
  readonly terrainFiles?: readonly string[];
  /** @returns elevation of the ground, m; NaN off the grid or on a void */
  ground(latitude_deg: number, longitude_deg: number): number;
  /**
   * The ground a person stands on: on a surface the lowest value within 15 m (a tree there must not lift the path),
   * else `ground`.
   */
  standingGround(latitude_deg: number, longitude_deg: number): number;
  /** Writes the leg's clearance into `out`. Exact for the bilinear surface; NaN for a leg of over 100 km. */
  legClearance(leg: Leg, out: LegClearance): void;
  /** Writes what a climb straight up would meet of obstacles and covers into `out`. */
  climb(column: Column, out: ColumnMet): void;
  /**
   * Writes what the centre line and the corridor of a leg have to do with keep-out zones into `out`; NaN for a leg of over
   * 100 km, unless there are none.
   */
  keepOut(leg: Leg, out: KeepOutMet): void;
  /** @returns the sum of `ZONE_BITS` of the zones at a spot, edges included; NaN where a coordinate is */
  zoneKinds(latitude_deg: number, longitude_deg: number): number;
  /** @returns the number of the first zone of some kinds (a sum of `ZONE_BITS`) at a spot; -1 for none */
  zoneAt(latitude_deg: number, longitude_deg: number, bits: number): number;
  /** @returns the number of the first obstacle whose footprint is within `radius_m` of a spot; -1 for none */
  standsWithin(latitude_deg: number, longitude_deg: number, radius_m: number): number;
  /** @returns the lowest ground in a box, m; NaN where not all of it is known. Not for every moment. */
  lowestWithin(box: Box): number;
  /** Writes the lowest ground under the centre line of a leg into `out`. Exact for the bilinear surface; none for over 100 km. */
  lowestGround(leg: Pick<Leg, "from" | "to">, out: LowestGround): void;
  /**
   * The ground and what stands on it along a leg's centre line, for a picture.
   * @param samples equal stretches of the leg, at least 1
   */
  profile(leg: Leg, samples: number): Profile;
}
