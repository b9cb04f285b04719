import type { LoadedSetting } from "./load-setting.js";
import { distance_m } from "./num/geodesic.js";
import type { Setting } from "./recovery/setting.js";
import type { Box } from "./site/terrain-window.js";
import type { Flight } from "./track/flights.js";
import type { Track } from "./track/track.js";
import { SettingError, UserError } from "./user-error.js";

/** A recovery point farther off is a mistake of the log or the settings; the ground to it stays unknown. */
const FAR_M = 50_000;

/**
 * Reads the ground that a flight needs: its own way, the recovery points, the operator, and what a corridor adds.
 * @param around_m how far round all that the ground is wanted too
 * @returns the setting with that ground, from which everything is computed without reading anything more
 * @throws SettingError where a terrain file cannot be read there
 */
export async function settleSite(
  setting: LoadedSetting,
  track: Track,
  flight: Flight,
  around_m: number = 0,
): Promise<Setting> {
  try {
    const reach_m = setting.policy.corridor + around_m;
    const site = await setting.site.siteFor(boxOf(setting, track, flight), reach_m);
    const { config, policy, operatorTrack, problems, units } = setting;
    return { config, policy, site, operatorTrack, problems, units };
  } catch (error) {
    if (error instanceof UserError) throw new SettingError(error);
    throw error;
  }
}

function boxOf({ config }: LoadedSetting, track: Track, { first, last, takeoff }: Flight): Box {
  const { columns } = track;
  const way = new BoxBuilder();
  for (let i = first; i <= last; i += 1) way.add(columns.latitude_deg[i], columns.longitude_deg[i]);
  way.add(takeoff?.latitude_deg, takeoff?.longitude_deg);
  const { recoveryPoints = [], operator } = config.declared;
  for (const point of recoveryPoints) way.addNear(point.latitude_deg, point.longitude_deg);
  if (operator?.kind === "position") way.addNear(operator.latitude_deg, operator.longitude_deg);
  for (let i = first; i <= last; i += 1) {
    way.addNear(columns.recoveryLatitude_deg?.[i], columns.recoveryLongitude_deg?.[i]);
    way.addNear(columns.operatorLatitude_deg?.[i], columns.operatorLongitude_deg?.[i]);
  }
  return way.box();
}

/** The box round positions, which may lie on both sides of ±180. */
class BoxBuilder {
  #latitude_deg = Number.NaN;
  #longitude_deg = Number.NaN;
  #west_deg = 0;
  #east_deg = 0;
  #south_deg = 0;
  #north_deg = 0;

  add(latitude_deg = Number.NaN, longitude_deg = Number.NaN): void {
    if (Number.isNaN(latitude_deg + longitude_deg)) return;
    if (Number.isNaN(this.#latitude_deg)) {
      this.#latitude_deg = this.#south_deg = this.#north_deg = latitude_deg;
      this.#longitude_deg = this.#west_deg = this.#east_deg = longitude_deg;
      return;
    }
    const turned_deg = longitude_deg - 360 * Math.round((longitude_deg - this.#longitude_deg) / 360);
    this.#west_deg = Math.min(this.#west_deg, turned_deg);
    this.#east_deg = Math.max(this.#east_deg, turned_deg);
    this.#south_deg = Math.min(this.#south_deg, latitude_deg);
    this.#north_deg = Math.max(this.#north_deg, latitude_deg);
  }

  addNear(latitude_deg = Number.NaN, longitude_deg = Number.NaN): void {
    // Most logs hold no such place: what is not known needs no geodesic.
    if (Number.isNaN(latitude_deg + longitude_deg) || this.#has(latitude_deg, longitude_deg)) return;
    if (distance_m(this.#latitude_deg, this.#longitude_deg, latitude_deg, longitude_deg) <= FAR_M) {
      this.add(latitude_deg, longitude_deg);
    }
  }

  #has(latitude_deg: number, longitude_deg: number): boolean {
    const turned_deg = longitude_deg - 360 * Math.round((longitude_deg - this.#longitude_deg) / 360);
    return (
      latitude_deg >= this.#south_deg &&
      latitude_deg <= this.#north_deg &&
      turned_deg >= this.#west_deg &&
      turned_deg <= this.#east_deg
    );
  }

  /** @returns west in [-180, 180) */
  box(): Box {
    const turn_deg = 360 * Math.floor((this.#west_deg + 180) / 360);
    return {
      west_deg: this.#west_deg - turn_deg,
      south_deg: this.#south_deg,
      east_deg: this.#east_deg - turn_deg,
      north_deg: this.#north_deg,
    };
  }
}
