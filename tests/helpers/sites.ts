import { clearMet } from "../../src/site/column.js";
import type { Leg, LegClearance, Profile, Site } from "../../src/site/site.js";

/** A site of which nothing was declared. */
export function nothingKnown(): Site {
  return {
    hasTerrain: false,
    isFlat: false,
    isSurface: false,
    hasObstacles: false,
    terrainError_m: 0,
    obstacleNames: [],
    hasZones: false,
    zoneNames: [],
    zoneTypes: [],
    defaultHeights: [],
    hasAssumedHeights: false,
    hasUnknownHeights: false,
    ground: () => Number.NaN,
    standingGround: () => Number.NaN,
    legClearance: () => undefined,
    climb: (_, out) => clearMet(out),
    keepOut: (_, out) => Object.assign(out, { inside_m: 0, entered_m: 0, isTouched: false, zone: -1 }),
    zoneKinds: () => 0,
    zoneAt: () => -1,
    standsWithin: () => -1,
    // Nothing is told of it as a whole, so that every leg is asked.
    lowestWithin: () => Number.NaN,
    lowestGround: ({ from }, out) => {
      Object.assign(out, { ...from, ground_m: Number.POSITIVE_INFINITY, seen_share: 0 });
    },
    profile: (_, samples) => profileOf(samples, Number.NaN),
  };
}

/** A plain without anything on it, by definition and not by the code under test. */
export function openPlain(): Site {
  return {
    ...nothingKnown(),
    hasTerrain: true,
    isFlat: true,
    hasObstacles: true,
    hasZones: true,
    ground: () => 0,
    standingGround: () => 0,
    legClearance: (leg, out) => write(out, leg, leg.path_m),
    lowestGround: ({ from }, out) => {
      Object.assign(out, { ...from, ground_m: 0, seen_share: 1 });
    },
    profile: (_, samples) => profileOf(samples, 0),
  };
}

/**
 * A plain with one wall along a meridian: a leg meets it when its ends are on both sides.
 * @param corridorReach_deg the corridor meets it already this far before
 */
export function plainWithWall(longitude_deg: number, height_m: number, corridorReach_deg = 0): Site {
  return {
    ...openPlain(),
    obstacleNames: ["wall"],
    legClearance: (leg, out) => {
      const west = Math.min(leg.from.longitude_deg, leg.to.longitude_deg);
      const east = Math.max(leg.from.longitude_deg, leg.to.longitude_deg);
      const centre = west <= longitude_deg && longitude_deg <= east;
      const corridor = west - corridorReach_deg <= longitude_deg && longitude_deg <= east + corridorReach_deg;
      write(out, leg, leg.path_m - (corridor ? height_m : 0));
      out.centre_m = leg.path_m - (centre ? height_m : 0);
      out.over = corridor ? 0 : -1;
    },
  };
}

function write(out: LegClearance, leg: Leg, clearance_m: number): void {
  out.centre_m = clearance_m;
  out.corridor_m = clearance_m;
  out.latitude_deg = leg.from.latitude_deg;
  out.longitude_deg = leg.from.longitude_deg;
  out.over = -1;
  out.groundSeen_share = 1;
}

function profileOf(samples: number, ground_m: number): Profile {
  const filled = (value: number): Float64Array => new Float64Array(samples).fill(value);
  return {
    along_m: Float64Array.from({ length: samples }, (_, i) => i),
    latitude_deg: filled(0),
    longitude_deg: filled(0),
    ground_m: filled(ground_m),
    obstacleTop_m: filled(Number.NaN),
    hasUnknownTop: new Uint8Array(samples),
  };
}
