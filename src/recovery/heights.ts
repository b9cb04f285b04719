import type { Basis } from "../config/declared.js";
import { distance_m } from "../num/geodesic.js";
import type { Site } from "../site/site.js";
import type { Flight } from "../track/flights.js";
import { hasValues } from "../track/has-values.js";
import type { Track } from "../track/track.js";

/** A landing this near to take-off shows how far the height has drifted. */
const DRIFT_WITHIN_M = 10;

/** Heights of a flight at its rows, and the ground they meet on. */
export interface Heights {
  readonly basis: Basis;
  readonly from: string;
  /** Above the take-off spot, m; NaN where not known. */
  readonly overTakeoff_m: Float64Array;
  /** Elevation of the take-off spot in the site's frame; 0 where the site does not tell. */
  readonly takeoffGround_m: number;
  /** The site's ground is known at take-off, so that elevations can be compared with the terrain. */
  readonly isTied: boolean;
  /** What the height reads back at take-off after landing there, m; 0 where that cannot be seen. */
  readonly drift_m: number;
}

/** @returns heights above take-off: logged, else from the altitude at take-off, else from the height over the terrain */
export function chooseHeights(track: Track, flight: Flight, site: Site): Heights {
  // A recording that begins in the air still has a ground where it is flat everywhere.
  const unseen_m = site.isFlat ? 0 : Number.NaN;
  const ground_m =
    flight.takeoff === undefined
      ? unseen_m
      : site.standingGround(flight.takeoff.latitude_deg, flight.takeoff.longitude_deg);
  const isTied = site.hasTerrain && !Number.isNaN(ground_m);
  const takeoffGround_m = isTied ? ground_m : 0;
  const { basis, from, overTakeoff_m } = overTakeoff(track, flight, site, isTied ? ground_m : Number.NaN);
  const drift_m = driftOf(track, flight, site, overTakeoff_m, isTied);
  return { basis, from, overTakeoff_m, takeoffGround_m, isTied, drift_m };
}

function overTakeoff(
  track: Track,
  flight: Flight,
  site: Site,
  ground_m: number,
): { basis: Basis; from: string; overTakeoff_m: Float64Array } {
  const { height_m, altitude_m, altitudeEllipsoidal_m, heightAboveGround_m } = track.columns;
  const rows = (column: Float64Array): Float64Array => column.slice(flight.first, flight.last + 1);
  if (hasValues(height_m, flight)) {
    return { basis: "measured", from: "height above take-off in the log", overTakeoff_m: rows(height_m) };
  }
  const altitude = altitude_m ?? altitudeEllipsoidal_m;
  const atTakeoff_m = flight.takeoffAltitude_m;
  if (altitude !== undefined && atTakeoff_m !== undefined) {
    const overTakeoff_m = rows(altitude).map((value) => value - atTakeoff_m);
    return { basis: "measured", from: "altitude in the log less that at take-off", overTakeoff_m };
  }
  const overTakeoff_m = new Float64Array(flight.last - flight.first + 1).fill(Number.NaN);
  if (heightAboveGround_m === undefined || Number.isNaN(ground_m)) {
    return { basis: "assumed", from: "not known", overTakeoff_m };
  }
  for (let k = 0; k < overTakeoff_m.length; k += 1) {
    const i = flight.first + k;
    const under_m = site.ground(
      track.columns.latitude_deg[i] ?? Number.NaN,
      track.columns.longitude_deg[i] ?? Number.NaN,
    );
    overTakeoff_m[k] = (heightAboveGround_m[i] ?? Number.NaN) + under_m - ground_m;
  }
  return { basis: "measured", from: "height above ground in the log, over the terrain", overTakeoff_m };
}

function driftOf(track: Track, flight: Flight, site: Site, overTakeoff_m: Float64Array, isTied: boolean): number {
  const { takeoff } = flight;
  const latitude = track.columns.latitude_deg[flight.last] ?? Number.NaN;
  const longitude = track.columns.longitude_deg[flight.last] ?? Number.NaN;
  if (takeoff === undefined || flight.endsInAir) return 0;
  if (!(distance_m(takeoff.latitude_deg, takeoff.longitude_deg, latitude, longitude) <= DRIFT_WITHIN_M)) return 0;
  const rise_m = isTied
    ? site.standingGround(latitude, longitude) - site.standingGround(takeoff.latitude_deg, takeoff.longitude_deg)
    : 0;
  const drift_m = (overTakeoff_m[overTakeoff_m.length - 1] ?? Number.NaN) - (Number.isNaN(rise_m) ? 0 : rise_m);
  return Number.isNaN(drift_m) ? 0 : drift_m;
}
