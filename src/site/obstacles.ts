import { type Feature, readGeoJson, type Shape } from "./geojson.js";
import { lengthOf } from "./length.js";

/** Project default: half-width of what is drawn as a point, such as a mast. */
export const POINT_RADIUS_M = 1;
/** Project default: half-width of what is drawn as a line, such as a wire or a fence. */
export const LINE_RADIUS_M = 0.5;

/** Something that stands on the ground, solid from there, or from its underside, to its top. */
export interface Obstacle {
  readonly name: string;
  /** File and 1-based feature number, for messages. */
  readonly file: string;
  readonly feature: number;
  /** Above the ground; at least one of height and top is there, and the higher of both counts. */
  readonly height_m: number | undefined;
  /** Elevation above the datum of the terrain. */
  readonly top_m: number | undefined;
  /** Above the ground; undefined: solid from the ground. */
  readonly underside_m: number | undefined;
  /** How far it reaches beyond what is drawn. */
  readonly shapes: readonly (Shape & { readonly radius_m: number })[];
}

/** What was odd about a site's files and did not stop the audit. */
export interface SiteProblem {
  readonly severity: "warning";
  readonly code: string;
  readonly message: string;
  readonly line: undefined;
}

/** What stands on the ground, from one file or several. */
export interface ObstacleSet {
  readonly obstacles: readonly Obstacle[];
  /** One for every feature left out or half understood. */
  readonly problems: readonly SiteProblem[];
}

/**
 * Reads obstacles from GeoJSON: any geometry, with the properties `name`, `height` and `underside` above ground, `top`
 * above sea level, and `radius`; lengths are numbers of metres or text such as `12 m` or `40 ft`.
 *
 * A feature without height and top is left out and is a problem; so is one whose height is not understood. An underside
 * that is not understood is taken as solid from the ground, a radius as the default.
 * Source: RFC 7946.
 * @param bytes of the file
 * @param file its name, for messages
 * @throws UserError, one line, where it is not JSON, not GeoJSON or not in degrees
 */
export function parseObstacles(bytes: Uint8Array, file: string): ObstacleSet {
  const problems: SiteProblem[] = [];
  const obstacles = readGeoJson(bytes, file).flatMap((feature) => obstacleOf(feature, file, problems) ?? []);
  return { obstacles, problems };
}

/** @returns all obstacles of several files as one set, in order */
export function mergeObstacles(sets: readonly ObstacleSet[]): ObstacleSet {
  return {
    obstacles: sets.flatMap(({ obstacles }) => obstacles),
    problems: sets.flatMap(({ problems }) => problems),
  };
}

function obstacleOf(feature: Feature, file: string, problems: SiteProblem[]): Obstacle | undefined {
  const { number, properties, shapes } = feature;
  const name = nameOf(feature);
  const warn = (code: string, what: string): void => {
    problems.push({
      severity: "warning",
      code,
      message: `${file}: feature ${number} (${name}) ${what}`,
      line: undefined,
    });
  };
  const read = (key: string, meanwhile: string): number | undefined => {
    const value = properties[key];
    if (value === undefined || value === null || value === "") return undefined;
    const length_m = lengthOf(value);
    // A top may lie below the sea; nothing else is negative.
    if (length_m >= 0 || (key === "top" && !Number.isNaN(length_m))) return length_m;
    warn("obstacle-bad-length", `has the ${key} ${JSON.stringify(value)}, which is not understood: ${meanwhile}.`);
    return undefined;
  };
  const height_m = read("height", "it does not count");
  const top_m = read("top", "it does not count");
  const underside_m = read("underside", "taken as solid from the ground");
  const radius_m = read("radius", "the default is taken");
  if (height_m === undefined && top_m === undefined) {
    warn("obstacle-no-height", "has neither height nor top, and is left out.");
    return undefined;
  }
  if (shapes.length === 0) {
    warn("obstacle-no-place", "has no geometry, and is left out.");
    return undefined;
  }
  const wide = shapes.map((shape) => ({ ...shape, radius_m: radius_m ?? DEFAULT_RADIUS_M[shape.kind] }));
  return { name, file, feature: number, height_m, top_m, underside_m, shapes: wide };
}

const DEFAULT_RADIUS_M = { point: POINT_RADIUS_M, line: LINE_RADIUS_M, polygon: 0 } as const;

function nameOf({ number, properties }: Feature): string {
  const { name } = properties;
  const text = typeof name === "string" || typeof name === "number" ? String(name).trim() : "";
  return text === "" ? `obstacle ${number}` : text;
}
