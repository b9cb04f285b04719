import { clearMet, type Column, type ColumnMet } from "./column.js";
import type { DefaultUse } from "./default-heights.js";
import { type Ground, noSpot, type Spot } from "./ground.js";
import { cutLeg, isTooLong, LegFrame, pieceCount } from "./leg-frame.js";
import { LegSearch } from "./leg-search.js";
import { lowestWithin } from "./lowest-within.js";
import type { ObstacleField } from "./obstacle-field.js";
import type { Obstacle, SiteProblem } from "./obstacles.js";
import type { KeepOutMet } from "./keep-out-met.js";
import type { Box } from "./terrain-window.js";
import type { ZoneField } from "./zone-field.js";
import type { Zone, ZoneKind } from "./zones.js";
import type { Leg, LegClearance, LowestGround, Profile, Site } from "./site.js";

/** What a share of known ground is at most where something unknown touches the corridor: never printed as the whole. */
const NOT_WHOLE_SHARE = 0.999;

/** What a site is made of. */
export interface SiteModelParts extends Pick<
  Site,
  | "hasTerrain"
  | "isFlat"
  | "isSurface"
  | "hasObstacles"
  | "terrainError_m"
  | "obstacleNames"
  | "hasZones"
  | "zoneNames"
  | "zoneTypes"
  | "defaultHeights"
  | "hasAssumedHeights"
  | "hasUnknownHeights"
  | "terrainFiles"
> {
  readonly problems: readonly SiteProblem[];
  readonly obstacles: readonly Obstacle[];
  readonly ground: Ground;
  readonly field: ObstacleField;
  readonly zones: readonly Zone[];
  readonly zoneField: ZoneField;
}

/** A site that answers for its ground and its obstacles. */
export class SiteModel implements Site {
  readonly hasTerrain: boolean;
  readonly isFlat: boolean;
  readonly isSurface: boolean;
  readonly hasObstacles: boolean;
  readonly terrainError_m: number;
  readonly obstacleNames: readonly string[];
  readonly hasZones: boolean;
  readonly zoneNames: readonly string[];
  readonly zoneTypes: readonly ZoneKind[];
  readonly defaultHeights: readonly DefaultUse[];
  readonly hasAssumedHeights: boolean;
  readonly hasUnknownHeights: boolean;
  readonly terrainFiles: readonly string[];
  readonly problems: readonly SiteProblem[];
  readonly obstacles: readonly Obstacle[];
  readonly zones: readonly Zone[];
  readonly #ground: Ground;
  readonly #field: ObstacleField;
  readonly #zones: ZoneField;
  // Reused, so that no moment allocates.
  readonly #frame = new LegFrame();
  readonly #search: LegSearch;
  readonly #lowest: Spot = noSpot();

  constructor(parts: SiteModelParts) {
    this.hasTerrain = parts.hasTerrain;
    this.isFlat = parts.isFlat;
    this.isSurface = parts.isSurface;
    this.hasObstacles = parts.hasObstacles;
    this.terrainError_m = parts.terrainError_m;
    this.obstacleNames = parts.obstacleNames;
    this.hasZones = parts.hasZones;
    this.zoneNames = parts.zoneNames;
    this.zoneTypes = parts.zoneTypes;
    this.defaultHeights = parts.defaultHeights;
    this.hasAssumedHeights = parts.hasAssumedHeights;
    this.hasUnknownHeights = parts.hasUnknownHeights;
    this.terrainFiles = parts.terrainFiles ?? [];
    this.problems = parts.problems;
    this.obstacles = parts.obstacles;
    this.zones = parts.zones;
    this.#ground = parts.ground;
    this.#field = parts.field;
    this.#zones = parts.zoneField;
    this.#search = new LegSearch(parts.hasTerrain ? parts.ground : undefined, parts.field);
  }

  ground(latitude_deg: number, longitude_deg: number): number {
    return this.#ground.at(latitude_deg, longitude_deg);
  }

  standingGround(latitude_deg: number, longitude_deg: number): number {
    return this.#ground.standing(latitude_deg, longitude_deg);
  }

  /** As in `Site`; NaN in both clearances where a coordinate or the path is NaN too. */
  legClearance(leg: Leg, out: LegClearance): void {
    const { from, to, path_m, corridor_m } = leg;
    const frame = this.#frame;
    frame.set(from.latitude_deg, from.longitude_deg, to.latitude_deg, to.longitude_deg);
    out.over = -1;
    out.groundSeen_share = 0;
    out.latitude_deg = from.latitude_deg;
    out.longitude_deg = from.longitude_deg;
    const isFar = isTooLong(frame);
    if (isFar || Number.isNaN(frame.length_m + path_m + corridor_m)) {
      out.centre_m = Number.NaN;
      out.corridor_m = Number.NaN;
      if (isFar) out.groundSeen_share = Number.NaN;
      return;
    }
    this.#search.begin();
    const pieces = pieceCount(frame, this.#ground.bend_perM);
    let isWhole = true;
    let seen_share = 0;
    if (pieces === 1) {
      isWhole = this.#search.piece(frame, corridor_m, path_m, leg.knownOnly);
      seen_share = this.#search.centre.seen_share;
    } else {
      const points = cutLeg(leg, pieces);
      for (const [k, point] of points.entries()) {
        const next = points[k + 1];
        if (next === undefined) break;
        frame.set(point.latitude_deg, point.longitude_deg, next.latitude_deg, next.longitude_deg);
        isWhole = this.#search.piece(frame, corridor_m, path_m, leg.knownOnly) && isWhole;
        seen_share += this.#search.centre.seen_share / pieces;
      }
    }
    this.#search.write(path_m, out);
    if (!this.hasTerrain) return;
    out.groundSeen_share = isWhole && this.#search.met.isWhole ? 1 : Math.min(seen_share, NOT_WHOLE_SHARE);
  }

  climb(column: Column, out: ColumnMet): void {
    clearMet(out);
    const frame = this.#spotFrame(column.latitude_deg, column.longitude_deg);
    if (frame === undefined) {
      out.isWhole = false;
      return;
    }
    this.#field.column(frame, column, out);
    this.#zones.column(frame, column, out);
  }

  keepOut(leg: Leg, out: KeepOutMet): void {
    out.inside_m = 0;
    out.entered_m = 0;
    out.isTouched = false;
    out.zone = -1;
    out.isStillInside = true;
    const { from, to } = leg;
    const frame = this.#frame;
    frame.set(from.latitude_deg, from.longitude_deg, to.latitude_deg, to.longitude_deg);
    const { hasKeepOuts } = this.#zones;
    if (Number.isNaN(frame.length_m) || (hasKeepOuts && isTooLong(frame))) {
      out.inside_m = Number.NaN;
      out.entered_m = Number.NaN;
      return;
    }
    if (!hasKeepOuts) return;
    const pieces = pieceCount(frame);
    const points = pieces === 1 ? [from, to] : cutLeg(leg, pieces);
    for (const [k, start] of points.entries()) {
      const end = points[k + 1];
      if (end === undefined) break;
      frame.set(start.latitude_deg, start.longitude_deg, end.latitude_deg, end.longitude_deg);
      this.#zones.keepOut(frame, leg.corridor_m, out);
    }
  }

  zoneKinds(latitude_deg: number, longitude_deg: number): number {
    const frame = this.#spotFrame(latitude_deg, longitude_deg);
    return frame === undefined ? Number.NaN : this.#zones.kindsAt(frame);
  }

  zoneAt(latitude_deg: number, longitude_deg: number, bits: number): number {
    const frame = this.#spotFrame(latitude_deg, longitude_deg);
    return frame === undefined ? -1 : this.#zones.zoneAt(frame, bits);
  }

  standsWithin(latitude_deg: number, longitude_deg: number, radius_m: number): number {
    const frame = this.#spotFrame(latitude_deg, longitude_deg);
    return frame === undefined ? -1 : this.#field.standsWithin(frame, radius_m);
  }

  #spotFrame(latitude_deg: number, longitude_deg: number): LegFrame | undefined {
    if (Number.isNaN(latitude_deg + longitude_deg)) return undefined;
    this.#frame.set(latitude_deg, longitude_deg, latitude_deg, longitude_deg);
    return this.#frame;
  }

  lowestWithin(box: Box): number {
    return this.hasTerrain ? lowestWithin(this.#ground, box) : Number.NaN;
  }

  /** As in `Site`; nothing is seen where a coordinate is NaN. */
  lowestGround({ from, to }: Pick<Leg, "from" | "to">, out: LowestGround): void {
    const frame = this.#frame;
    frame.set(from.latitude_deg, from.longitude_deg, to.latitude_deg, to.longitude_deg);
    out.latitude_deg = from.latitude_deg;
    out.longitude_deg = from.longitude_deg;
    out.ground_m = Number.POSITIVE_INFINITY;
    out.seen_share = 0;
    if (!this.hasTerrain || Number.isNaN(frame.length_m) || isTooLong(frame)) return;
    const spot = this.#lowest;
    spot.z_m = Number.NEGATIVE_INFINITY;
    const pieces = pieceCount(frame);
    const points = pieces === 1 ? [from, to] : cutLeg({ from, to, path_m: 0, corridor_m: 0 }, pieces);
    let isWhole = true;
    let seen_share = 0;
    for (const [k, point] of points.entries()) {
      const next = points[k + 1];
      if (next === undefined) break;
      frame.set(point.latitude_deg, point.longitude_deg, next.latitude_deg, next.longitude_deg);
      const east_deg = frame.longitude_deg + frame.eastward_deg;
      this.#ground.along(frame.longitude_deg, frame.latitude_deg, east_deg, next.latitude_deg, spot, -1);
      isWhole = spot.isWhole && isWhole;
      seen_share += spot.seen_share / pieces;
    }
    out.seen_share = isWhole ? 1 : Math.min(seen_share, NOT_WHOLE_SHARE);
    if (spot.z_m === Number.NEGATIVE_INFINITY) return;
    // Searched upside down; a plain at 0 has no sign.
    out.ground_m = 0 - spot.z_m;
    out.latitude_deg = spot.latitude_deg;
    out.longitude_deg = spot.longitude_deg - 360 * Math.floor((spot.longitude_deg + 180) / 360);
  }

  profile(leg: Leg, samples: number): Profile {
    const points = cutLeg(leg, samples * 2);
    const blank = (): Float64Array => new Float64Array(samples).fill(Number.NaN);
    const profile: Profile = {
      along_m: blank(),
      latitude_deg: blank(),
      longitude_deg: blank(),
      ground_m: blank(),
      obstacleTop_m: blank(),
      hasUnknownTop: new Uint8Array(samples),
    };
    let along_m = 0;
    for (let k = 0; k < samples; k += 1) {
      const [start, middle, end] = points.slice(2 * k, 2 * k + 3);
      if (start === undefined || middle === undefined || end === undefined) break;
      this.#search.begin();
      this.#frame.set(start.latitude_deg, start.longitude_deg, end.latitude_deg, end.longitude_deg);
      this.#search.piece(this.#frame, 0, 0);
      profile.along_m[k] = along_m + this.#frame.length_m / 2;
      along_m += this.#frame.length_m;
      profile.latitude_deg[k] = middle.latitude_deg;
      profile.longitude_deg[k] = middle.longitude_deg;
      if (Number.isFinite(this.#search.centre.z_m)) profile.ground_m[k] = this.#search.centre.z_m;
      if (!this.#search.met.isWhole) profile.hasUnknownTop[k] = 1;
      if (Number.isFinite(this.#search.met.centreTop_m)) profile.obstacleTop_m[k] = this.#search.met.centreTop_m;
    }
    return profile;
  }
}
