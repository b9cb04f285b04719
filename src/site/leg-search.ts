import { type Ground, noSpot, type Spot } from "./ground.js";
import type { LegFrame } from "./leg-frame.js";
import type { ObstacleClearance, ObstacleField } from "./obstacle-field.js";
import type { LegClearance } from "./site.js";

/** A search of what is highest under the pieces of a leg; holds what it found, so that no moment allocates. */
export class LegSearch {
  readonly centre: Spot = noSpot();
  readonly met: ObstacleClearance = {
    centre_m: Number.POSITIVE_INFINITY,
    corridor_m: Number.POSITIVE_INFINITY,
    over: -1,
    latitude_deg: Number.NaN,
    longitude_deg: Number.NaN,
    centreTop_m: Number.NEGATIVE_INFINITY,
    isWhole: true,
  };
  readonly #corridor: Spot = noSpot();
  readonly #ground: Ground | undefined;
  readonly #field: ObstacleField;

  /** @param ground undefined where no terrain was declared */
  constructor(ground: Ground | undefined, field: ObstacleField) {
    this.#ground = ground;
    this.#field = field;
  }

  /** Forgets the leg before. */
  begin(): void {
    this.centre.z_m = Number.NEGATIVE_INFINITY;
    this.#corridor.z_m = Number.NEGATIVE_INFINITY;
    const { met } = this;
    met.centre_m = Number.POSITIVE_INFINITY;
    met.corridor_m = Number.POSITIVE_INFINITY;
    met.over = -1;
    met.centreTop_m = Number.NEGATIVE_INFINITY;
    met.isWhole = true;
  }

  /** Searches the piece that a frame is set to. @returns whether all the ground in its corridor is known */
  piece(frame: LegFrame, corridor_m: number, path_m: number, knownOnly?: boolean): boolean {
    const isWhole = this.#ground !== undefined && this.#searchGround(this.#ground, frame, corridor_m);
    this.#field.leg(frame, corridor_m, path_m, this.met, knownOnly);
    return isWhole;
  }

  #searchGround(ground: Ground, frame: LegFrame, corridor_m: number): boolean {
    const east_deg = frame.longitude_deg + frame.eastward_deg;
    const north_deg = frame.latitude_deg + frame.northward_deg;
    const { centre } = this;
    const corridor = this.#corridor;
    ground.along(frame.longitude_deg, frame.latitude_deg, east_deg, north_deg, centre);
    if (centre.z_m > corridor.z_m) {
      corridor.z_m = centre.z_m;
      corridor.longitude_deg = centre.longitude_deg;
      corridor.latitude_deg = centre.latitude_deg;
    }
    if (!(corridor_m > 0)) return centre.isWhole;
    ground.corridor(frame, corridor_m, corridor);
    return centre.isWhole && corridor.isWhole;
  }

  /** Writes what a flight at an elevation clears all that was found by. */
  write(path_m: number, out: LegClearance): void {
    const { met } = this;
    const ground = this.#corridor;
    const overGround_m = path_m - ground.z_m;
    out.centre_m = Math.min(path_m - this.centre.z_m, met.centre_m);
    out.corridor_m = Math.min(overGround_m, met.corridor_m, out.centre_m);
    if (out.corridor_m === Number.POSITIVE_INFINITY) return;
    const isObstacle = met.corridor_m < overGround_m;
    out.over = isObstacle ? met.over : -1;
    out.latitude_deg = isObstacle ? met.latitude_deg : ground.latitude_deg;
    const longitude_deg = isObstacle ? met.longitude_deg : ground.longitude_deg;
    out.longitude_deg = longitude_deg - 360 * Math.floor((longitude_deg + 180) / 360);
  }
}
