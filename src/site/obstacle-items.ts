import { metresPerDegreeEast, metresPerDegreeNorth } from "../num/metres-per-degree.js";
import { at } from "./at.js";
import { type Ground, noSpot } from "./ground.js";
import type { Obstacle } from "./obstacles.js";

/** From where to where an obstacle is solid, elevations in m. */
export interface Band {
  /** -Infinity: from the ground. */
  low_m: number;
  /** -Infinity where nothing is known of it. */
  top_m: number;
  /** Whether all the ground that it stands on is known. */
  isKnown: boolean;
}

/** A point, one segment of a line, or a polygon: what the index holds. */
export interface ObstacleItem {
  /** Number of the obstacle in the site. */
  readonly obstacle: number;
  readonly kind: "point" | "line" | "polygon";
  /** Longitude and latitude by turns; a segment is one ring of two positions. */
  readonly rings: readonly Float64Array[];
  /** How far it reaches beyond what is drawn. */
  readonly radius_m: number;
  /** Longitude of the first position, to find the side of ±180 by. */
  readonly longitude_deg: number;
  readonly stands: Pick<Obstacle, "height_m" | "top_m" | "underside_m">;
  /** Undefined for a line that follows the ground. */
  readonly fixed: Band | undefined;
}

/** @returns every part of every obstacle, points and polygons with their elevations */
export function itemsOf(obstacles: readonly Obstacle[], ground: Ground): ObstacleItem[] {
  return obstacles.flatMap((obstacle, number) =>
    obstacle.shapes.flatMap(({ kind, rings, radius_m }) =>
      (kind === "line" ? segmentsOf(rings) : [rings]).map((parts) => {
        const longitude_deg = parts[0]?.[0] ?? Number.NaN;
        const fixed = fixedBand(obstacle, kind, parts, ground);
        return { obstacle: number, kind, rings: parts, radius_m, longitude_deg, stands: obstacle, fixed };
      }),
    ),
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
  out.isKnown = isWhole || height_m === undefined;
}

/** @returns the box of an item: west, south, east, north; west in [-180, 180) */
export function boxOf({ rings, radius_m }: ObstacleItem): [number, number, number, number] {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const ring of rings) {
    for (let k = 0; k + 1 < ring.length; k += 2) {
      west = Math.min(west, at(ring, k));
      east = Math.max(east, at(ring, k));
      south = Math.min(south, at(ring, k + 1));
      north = Math.max(north, at(ring, k + 1));
    }
  }
  // A box may be too wide by a little, never too narrow.
  const wide_m = radius_m * 1.01 + 0.01;
  const dLat = wide_m / metresPerDegreeNorth(0);
  const farthest_deg = Math.min(89.9999, Math.max(Math.abs(south), Math.abs(north)) + dLat);
  const dLon = wide_m / metresPerDegreeEast(farthest_deg);
  const turn_deg = 360 * Math.floor((west - dLon + 180) / 360);
  return [west - dLon - turn_deg, south - dLat, east + dLon - turn_deg, north + dLat];
}

function segmentsOf(rings: readonly Float64Array[]): Float64Array[][] {
  return rings.flatMap((ring) => {
    const segments: Float64Array[][] = [];
    for (let k = 0; k + 3 < ring.length; k += 2) segments.push([ring.slice(k, k + 4)]);
    return segments;
  });
}

function fixedBand(
  obstacle: Obstacle,
  kind: ObstacleItem["kind"],
  rings: readonly Float64Array[],
  ground: Ground,
): Band | undefined {
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
