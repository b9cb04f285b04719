import { at } from "./at.js";
import { type Footprint, footprintsOf } from "./footprint.js";
import { type Ground, noSpot } from "./ground.js";
import type { Obstacle } from "./obstacles.js";

/** From where to where an obstacle is solid, elevations in m. */
export interface Band {
  /** -Infinity: from the ground. */
  low_m: number;
  /** -Infinity where nothing is known of it. */
  top_m: number;
  /** Whether all the ground that it stands on is known, and how high it is. */
  isKnown: boolean;
}

/** One part of an obstacle, as the index holds it. */
export interface ObstacleItem extends Footprint {
  /** Number of the obstacle in the site. */
  readonly obstacle: number;
  readonly stands: Pick<Obstacle, "height_m" | "top_m" | "underside_m">;
  readonly isAssumed: boolean;
  /** Undefined for a line that follows the ground. */
  readonly fixed: Band | undefined;
}

/** @returns every part of every obstacle, points and polygons with their elevations */
export function itemsOf(obstacles: readonly Obstacle[], ground: Ground): ObstacleItem[] {
  return obstacles.flatMap((obstacle, number) =>
    footprintsOf(obstacle.shapes).map((footprint) => {
      // Field by field: what is made by spreading another has a shape of its own.
      const { kind, rings, radius_m, longitude_deg } = footprint;
      const { isAssumed } = obstacle;
      const fixed = fixedBand(obstacle, footprint, ground);
      return { kind, rings, radius_m, longitude_deg, obstacle: number, stands: obstacle, isAssumed, fixed };
    }),
  );
}

/**
 * The band of what stands on ground between two elevations: under its lowest underside there is a way, over its
 * highest top too.
 * @param low_m, high_m of the ground; not finite where nothing of it is known
 */
export function writeBand(
  { height_m, top_m, underside_m }: ObstacleItem["stands"],
  low_m: number,
  high_m: number,
  isWhole: boolean,
  out: Band,
): void {
  const byHeight_m = height_m === undefined || !Number.isFinite(high_m) ? Number.NEGATIVE_INFINITY : high_m + height_m;
  out.top_m = Math.max(byHeight_m, top_m ?? Number.NEGATIVE_INFINITY);
  const isOpen = underside_m !== undefined && isWhole && Number.isFinite(low_m);
  out.low_m = isOpen ? Math.min(low_m + underside_m, out.top_m) : Number.NEGATIVE_INFINITY;
  out.isKnown = height_m === undefined ? top_m !== undefined : isWhole;
}

function fixedBand(obstacle: Obstacle, { kind, rings }: Footprint, ground: Ground): Band | undefined {
  const band: Band = { low_m: 0, top_m: 0, isKnown: true };
  const [first] = rings;
  if (first === undefined || (kind === "line" && !ground.isLevel)) return undefined;
  if (kind === "polygon") {
    const high = noSpot();
    ground.footprint(rings, high, 1);
    const low = noSpot();
    if (obstacle.underside_m !== undefined) ground.footprint(rings, low, -1);
    writeBand(obstacle, -low.z_m, high.z_m, high.isWhole, band);
  } else {
    const z_m = ground.at(at(first, 1), at(first, 0));
    writeBand(obstacle, z_m, z_m, !Number.isNaN(z_m), band);
  }
  return band;
}
