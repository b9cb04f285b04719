import { UserError } from "../user-error.js";
import type { Grid } from "./grid.js";
import { PLAIN } from "./ground.js";
import { type GroundGrid, GridsGround } from "./grids-ground.js";
import { ObstacleField } from "./obstacle-field.js";
import type { Obstacle, ObstacleSet, SiteProblem } from "./obstacles.js";
import { DegreePlacement, type PlacedNodes } from "./placement.js";
import { buildRelief } from "./relief.js";
import type { Site } from "./site.js";
import { SiteModel } from "./site-model.js";
import { ZoneField } from "./zone-field.js";
import type { Zone, ZoneSet } from "./zones.js";

/** One grid of a terrain. */
export interface SiteGrid {
  /** Undefined where it does not reach the ground that is asked for. */
  readonly grid: Grid | PlacedNodes | undefined;
  /** It includes trees and buildings. */
  readonly surface: boolean;
  readonly error_m: number;
}

/** What was declared of the terrain: a plain, or grids, the finest first. */
export type SiteTerrain = { readonly kind: "flat" } | { readonly kind: "grids"; readonly grids: readonly SiteGrid[] };

/** What was declared of a site; undefined is not known. */
export interface SiteParts {
  readonly terrain: SiteTerrain | undefined;
  readonly obstacles: ObstacleSet | undefined;
  readonly zones?: ZoneSet | undefined;
  /** As in `Site`. */
  readonly terrainFiles?: readonly string[];
}

/** A site with what only a picture or a report asks. */
export interface BuiltSite extends Site {
  /** Features that were left out or half understood. */
  readonly problems: readonly SiteProblem[];
  /** What stands on the ground, as it was declared; numbered as in `obstacleNames`. */
  readonly obstacles: readonly Obstacle[];
  /** The zones, as they were declared; numbered as in `zoneNames`. */
  readonly zones: readonly Zone[];
}

/**
 * Puts terrain and obstacles together.
 *
 * A grid counts where the finer ones before it have a void or end. The site is a surface where all its grids are, and
 * its error is the largest of theirs.
 * @throws UserError where an obstacle gives its top above sea level alone and no terrain grid is there to give the same
 *   sea level to the ground
 */
export function buildSite({ terrain, obstacles, zones, terrainFiles = [] }: SiteParts): BuiltSite {
  const grids = terrain?.kind === "grids" ? terrain.grids : [];
  const set = obstacles ?? { obstacles: [], problems: [], defaults: [] };
  const isSurface = grids.length > 0 && grids.every(({ surface }) => surface);
  // A surface has what stands there in its own heights.
  const counted = isSurface ? set.obstacles.filter((obstacle) => !isUnknownHigh(obstacle)) : set.obstacles;
  const standing = grids.length > 0 ? counted : counted.map(overPlain);
  const ground = grids.length > 0 ? new GridsGround(grids.flatMap(groundGrid)) : PLAIN;
  return new SiteModel({
    hasTerrain: terrain !== undefined,
    isFlat: terrain?.kind === "flat",
    isSurface,
    hasObstacles: obstacles !== undefined,
    terrainError_m: Math.max(0, ...grids.map(({ error_m }) => error_m)),
    obstacleNames: standing.map(({ name }) => name),
    hasZones: zones !== undefined,
    zoneNames: zones?.zones.map(({ name }) => name) ?? [],
    zoneTypes: zones?.zones.map(({ kind }) => kind) ?? [],
    defaultHeights: set.defaults,
    hasAssumedHeights: standing.some(({ isAssumed }) => isAssumed),
    hasUnknownHeights: standing.some(isUnknownHigh),
    terrainFiles,
    problems: [...set.problems, ...(zones?.problems ?? [])],
    obstacles: standing,
    ground,
    field: new ObstacleField(standing, ground),
    zones: zones?.zones ?? [],
    zoneField: new ZoneField(zones?.zones ?? []),
  });
}

function groundGrid({ grid, surface }: SiteGrid): GroundGrid[] {
  if (grid === undefined) return [];
  const placement = "placement" in grid ? grid.placement : new DegreePlacement(grid);
  return [{ relief: buildRelief(grid), placement, isSurface: surface }];
}

/** @returns whether nobody knows how high an obstacle is */
function isUnknownHigh({ height_m, top_m }: Obstacle): boolean {
  return height_m === undefined && top_m === undefined;
}

/** Without a sea level only the height above ground counts. */
function overPlain(obstacle: Obstacle): Obstacle {
  if (obstacle.top_m === undefined) return obstacle;
  if (obstacle.height_m !== undefined) return { ...obstacle, top_m: undefined };
  const message = `Feature ${obstacle.feature} (${obstacle.name}) gives its top above sea level, and no terrain says how high the ground is.`;
  throw new UserError("obstacle-top-without-terrain", message, {
    where: { file: obstacle.file },
    hint: "Give its height above ground, or a terrain file with heights above sea level.",
  });
}
