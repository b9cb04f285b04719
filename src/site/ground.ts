import type { LegFrame } from "./leg-frame.js";

/** The highest (or lowest) ground found so far, with its place; each search only looks for what beats it. */
export interface Spot {
  /** m; for a search of the lowest: of the ground turned upside down. -Infinity where nothing was found. */
  z_m: number;
  latitude_deg: number;
  longitude_deg: number;
  /** Whether the last search touched nothing unknown. */
  isWhole: boolean;
  /** Share of the last line on known ground, 0–1. */
  seen_share: number;
}

/** @returns nothing found yet */
export function noSpot(): Spot {
  return {
    z_m: Number.NEGATIVE_INFINITY,
    latitude_deg: Number.NaN,
    longitude_deg: Number.NaN,
    isWhole: true,
    seen_share: Number.NaN,
  };
}

/** What the ground can be asked; elevations in m in the site's frame. */
export interface Ground {
  /** Same height everywhere. */
  readonly isLevel: boolean;
  /** How sharply a geodesic bends in its grids at most, 1/m; 0 where all are in degrees. */
  readonly bend_perM: number;
  /** @returns NaN where it is not known */
  at(latitude_deg: number, longitude_deg: number): number;
  /** As `Site.standingGround`. */
  standing(latitude_deg: number, longitude_deg: number): number;
  /**
   * Searches a line that is straight in longitude and latitude.
   * @param sign 1 for the highest, -1 for the lowest
   */
  along(lon1_deg: number, lat1_deg: number, lon2_deg: number, lat2_deg: number, spot: Spot, sign?: 1 | -1): void;
  /** Searches the rectangle that reaches `corridor_m` to all sides of a piece of a leg; leaves `seen_share` alone. */
  corridor(frame: LegFrame, corridor_m: number, spot: Spot): void;
  /**
   * Searches a polygon, holes left out.
   * @param rings longitude and latitude by turns
   */
  footprint(rings: readonly Float64Array[], spot: Spot, sign: 1 | -1): void;
}

/** A plain at 0, known everywhere. */
export const PLAIN: Ground = {
  isLevel: true,
  bend_perM: 0,
  at: (latitude_deg, longitude_deg) => (Number.isNaN(latitude_deg + longitude_deg) ? Number.NaN : 0),
  standing: (latitude_deg, longitude_deg) => PLAIN.at(latitude_deg, longitude_deg),
  along: (lon_deg, lat_deg, _lon2_deg, _lat2_deg, spot) => beatAt(spot, lon_deg, lat_deg),
  corridor: (frame, _corridor_m, spot) => beatAt(spot, frame.longitude_deg, frame.latitude_deg),
  footprint: ([outer], spot) => beatAt(spot, outer?.[0] ?? 0, outer?.[1] ?? 0),
};

function beatAt(spot: Spot, longitude_deg: number, latitude_deg: number): void {
  spot.isWhole = true;
  spot.seen_share = 1;
  if (spot.z_m >= 0) return;
  spot.z_m = 0;
  spot.longitude_deg = longitude_deg;
  spot.latitude_deg = latitude_deg;
}
