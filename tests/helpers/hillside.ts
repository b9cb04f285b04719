import type { Replay } from "../../src/recovery/replay.js";
import type { Leg, Site } from "../../src/site/site.js";
import { at, ORIGIN, type Row } from "./flights.js";
import { ALL_KNOWN } from "./moments.js";
import { replayRows } from "./replay.js";
import { openPlain } from "./sites.js";

/** A hillside at 400 m by the take-off, 1 m up every 10 m east; what stands on it reaches so far up, by its place. */
export function hillside(tops_m: { readonly centre: number; readonly corridor: number; readonly known: number }): {
  readonly site: Site;
  readonly legs: Leg[];
} {
  const legs: Leg[] = [];
  const east = at(1000, 90).longitude_deg - ORIGIN.longitude_deg;
  const ground = (_: number, longitude_deg: number): number =>
    400 + ((longitude_deg - ORIGIN.longitude_deg) / east) * 100;
  const site: Site = {
    ...openPlain(),
    isFlat: false,
    isSurface: true,
    terrainError_m: 1.5,
    ground,
    standingGround: ground,
    legClearance: (leg, out) => {
      legs.push(structuredClone(leg));
      const top_m = leg.knownOnly === true ? tops_m.known : tops_m.corridor;
      out.centre_m = leg.path_m - (leg.knownOnly === true ? tops_m.known : tops_m.centre);
      out.corridor_m = leg.path_m - top_m;
      out.latitude_deg = 47.25;
      out.longitude_deg = 8.25;
      out.over = 3;
      out.groundSeen_share = 0.75;
    },
  };
  return { site, legs };
}

/** Highest tops under a leg: on its centre line, in its corridor, and without what is only assumed to be high, m. */
export const TOPS_M = { centre: 430, corridor: 434, known: 420 };
/** The recovery point, 50 m east of take-off and 5 m up. */
export const POINT = at(50, 90);

/** Hovers 150 m east, 30 m above take-off, and lands there 2 m low by its own height. */
export function hover(): Row[] {
  const air = Array.from({ length: 30 }, (_, time_s) => ({
    time_s,
    ...(time_s === 0 || time_s === 29 ? ORIGIN : at(150, 90)),
    height_m: time_s === 0 ? 0 : time_s === 29 ? -2 : 30,
    battery_pct: 90,
    airborne: 1,
  }));
  return [...air, { time_s: 30, ...ORIGIN, height_m: -2, battery_pct: 90, airborne: 0 }];
}

/** @returns that hover over a site, with a recovery height of 50 m */
export function replayOn(site: Site, above: "recovery-point" | "take-off" = "recovery-point"): Replay {
  const settings = { recoveryHeight_m: 50, recoveryHeightAbove: above };
  return replayRows(hover(), { ...ALL_KNOWN, site, settings, recoveryPoints: [{ ...POINT, at_s: 0 }] });
}

/**
 * Goes 200 m east in 20 s and hovers there for ten more, over ground that wants a recovery height of 1 m more every 10 m.
 * @param height_m above take-off
 * @param seen share of the way home from so far east that lies on known ground
 */
export function outOver(height_m: number, seen: (east_m: number) => number = () => 1): Replay {
  const flown = Array.from({ length: 30 }, (_, time_s) => ({
    time_s,
    ...at(10 * Math.min(time_s, 20), 90),
    height_m: time_s === 0 ? 0 : height_m,
    battery_pct: 90,
    airborne: 1,
  }));
  const degree_m = 1000 / (at(1000, 90).longitude_deg - ORIGIN.longitude_deg);
  const site: Site = {
    ...openPlain(),
    isSurface: true,
    legClearance: (leg, out) => {
      const east_m = (leg.from.longitude_deg - ORIGIN.longitude_deg) * degree_m;
      Object.assign(out, { corridor_m: leg.path_m - east_m / 10, groundSeen_share: seen(east_m), over: -1 });
    },
  };
  return replayRows(flown, { ...ALL_KNOWN, site });
}
