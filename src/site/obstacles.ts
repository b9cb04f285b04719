import { completeHeights, type DefaultHeights, type DefaultKind, type DefaultUse } from "./default-heights.js";
import { type Feature, readGeoJson, type Shape } from "./geojson.js";
import { LONGEST_M } from "./length.js";
import { heightOf, type Stands, supportHeights, undersideOf } from "./obstacle-heights.js";
import { flatProperties, type OsmTags, readOsmTags, TREE_RADIUS_M } from "./osm-tags.js";
import { type LengthReader, lengthReader, type SiteProblem, withoutCrowd } from "./site-problems.js";

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
  /** Above the ground; the higher of height and top counts. Without either it stands there, nobody knows how high. */
  readonly height_m: number | undefined;
  /** Elevation above the datum of the terrain. */
  readonly top_m: number | undefined;
  /** Above the ground; undefined: solid from the ground. */
  readonly underside_m: number | undefined;
  /** Nothing, or nothing but a project default, says how high it is: such a height alone fails nothing. */
  readonly isAssumed: boolean;
  /** How far it reaches beyond what is drawn. */
  readonly shapes: readonly (Shape & { readonly radius_m: number })[];
}

/** What stands on the ground, from one file or several. */
export interface ObstacleSet {
  readonly obstacles: readonly Obstacle[];
  /** What was left out or half understood, and which heights were taken by default. */
  readonly problems: readonly SiteProblem[];
  readonly defaults: readonly DefaultUse[];
}

/**
 * Reads obstacles from GeoJSON: any geometry, with the properties `name`, `height` and `underside` above ground, `top`
 * above sea level, and `radius`; lengths are numbers of metres or text such as `12 m` or `40 ft`. The tags of
 * OpenStreetMap are understood beside them, flat or under `tags`; what the map gives no height takes a default.
 *
 * A feature that has no height, and for which there is no default, is a problem. One that stands there by what the map
 * says of it counts with a height that is not known; anything else is left out. An underside that is not understood is
 * taken as solid from the ground, a radius as the default, and one of over 100 km as that.
 * Source: RFC 7946; OpenStreetMap wiki, Key:height, Key:building:levels.
 * @param bytes of the file
 * @param file its name, for messages
 * @param defaults heights for what has none
 * @throws UserError, one line, where it is not JSON, not GeoJSON or not in degrees
 */
export function parseObstacles(bytes: Uint8Array, file: string, defaults = completeHeights()): ObstacleSet {
  const problems: SiteProblem[] = [];
  const used = new Map<DefaultKind, number>();
  const features = readGeoJson(bytes, file).map((feature) => ({
    ...feature,
    properties: flatProperties(feature.properties),
  }));
  const supports = supportHeights(features);
  const obstacles = features.flatMap((feature) => {
    const reader = lengthReader(feature, nameOf(feature), file, "obstacle", problems);
    return obstacleOf(feature, file, reader, { supports, defaults, used }) ?? [];
  });
  const uses = [...used].map(([kind, count]) => ({ kind, count, ...defaults[kind] }));
  const notes = [...uses.map((use) => noteOf(use, file)), ...positionNote(features, file)];
  return { obstacles, problems: [...withoutCrowd(problems, file), ...notes], defaults: uses };
}

/** @returns all obstacles of several files as one set, in order */
export function mergeObstacles(sets: readonly ObstacleSet[]): ObstacleSet {
  const defaults = new Map<DefaultKind, DefaultUse>();
  for (const use of sets.flatMap((set) => set.defaults)) {
    defaults.set(use.kind, { ...use, count: use.count + (defaults.get(use.kind)?.count ?? 0) });
  }
  return {
    obstacles: sets.flatMap(({ obstacles }) => obstacles),
    problems: sets.flatMap(({ problems }) => problems),
    defaults: [...defaults.values()],
  };
}

function obstacleOf(
  { number, properties, shapes }: Feature,
  file: string,
  reader: LengthReader,
  {
    supports,
    defaults,
    used,
  }: { supports: ReadonlyMap<string, number>; defaults: DefaultHeights; used: Map<DefaultKind, number> },
): Obstacle | undefined {
  const tags = readOsmTags(properties);
  const top_m = reader.read("top", "it does not count");
  const stands = heightOf({ tags, shapes, reader, hasTop: top_m !== undefined, supports, defaults });
  const underside_m = undersideOf(tags, reader, defaults);
  const radius_m = radiusOf(tags, reader);
  const isUnknown = stands.height_m === undefined && top_m === undefined;
  if (isUnknown && !isStanding(tags, properties)) {
    reader.warn("no-height", "has neither height nor top, and is left out.");
    return undefined;
  }
  if (isUnknown) reader.warn("no-height", "has neither height nor top: no way home over it is clear.");
  if (shapes.length === 0) {
    reader.warn("no-place", "has no geometry, and is left out.");
    return undefined;
  }
  for (const kind of stands.defaults) used.set(kind, (used.get(kind) ?? 0) + 1);
  const usual_m = tags.kind === "trees" ? { point: TREE_RADIUS_M, line: TREE_RADIUS_M, polygon: 0 } : DEFAULT_RADIUS_M;
  return {
    name: reader.name + (isUnknown ? " (height not known)" : sayTaken(stands)),
    file,
    feature: number,
    height_m: stands.height_m,
    top_m,
    underside_m,
    isAssumed: isUnknown || stands.defaults.some((kind) => defaults[kind].basis === "assumed"),
    shapes: shapes.map(({ kind, rings }) => ({ kind, rings, radius_m: radius_m ?? usual_m[kind] })),
  };
}

/** What says of a feature that it was drawn as an obstacle. */
const OWN_KEYS: readonly string[] = ["height", "top", "underside", "radius"];

/**
 * @returns whether a feature without height surely stands on the ground: by its tags, by a key of ours, or since it says
 *   nothing but its name in a file of obstacles. A map is full of roads, meadows and borders that do not
 */
function isStanding({ word, kind }: OsmTags, properties: Readonly<Record<string, unknown>>): boolean {
  const keys = Object.keys(properties);
  const isOwn = keys.some((key) => OWN_KEYS.includes(key)) || keys.every((key) => key === "name");
  return isOwn || (word !== undefined && kind === undefined);
}

const DEFAULT_RADIUS_M = { point: POINT_RADIUS_M, line: LINE_RADIUS_M, polygon: 0 } as const;

/**
 * The radius as given, else half of a crown's or a rotor's diameter. One that is too wide is as wide as can be, so that
 * nothing near it is taken for clear.
 */
function radiusOf({ isTurbine }: OsmTags, { read }: LengthReader): number | undefined {
  const radius_m = read("radius", "the default is taken", LONGEST_M);
  if (radius_m !== undefined) return radius_m;
  const wide_m = read(isTurbine ? "rotor:diameter" : "diameter_crown", "the default is taken", LONGEST_M);
  return wide_m === undefined ? undefined : wide_m / 2;
}

/** Said with the name, so that every finding that meets the obstacle says it. */
function sayTaken({ height_m, defaults }: Stands): string {
  return defaults.length === 0 || height_m === undefined ? "" : ` (height taken as ${Number(height_m.toFixed(1))} m)`;
}

const KIND_WORDS: Readonly<Record<DefaultKind, readonly [one: string, many: string]>> = {
  trees: ["tree or tree row", "trees or tree rows"],
  woods: ["wood", "woods"],
  power_line: ["power line or tower", "power lines or towers"],
  level: ["building known by its levels", "buildings known by their levels"],
};

function noteOf({ kind, count, value_m, basis, from }: DefaultUse, file: string): SiteProblem {
  const what = `${count} ${KIND_WORDS[kind][count === 1 ? 0 : 1]}`;
  const each = kind === "level" ? `${value_m} m a level` : `${value_m} m`;
  const why = basis === "assumed" ? `project default; site.default_heights.${kind} declares it` : from;
  const message = `${file}: ${what} without height taken as ${each} (${why}).`;
  return { severity: "note", code: "obstacle-default-height", message, line: undefined };
}

/** The third element of a position is a height over the ellipsoid, and so says nothing of a height over the ground. */
function positionNote(features: readonly Feature[], file: string): SiteProblem[] {
  if (!features.some(({ hasPositionHeights }) => hasPositionHeights)) return [];
  const message = `${file}: the third number of a position is a height over the ellipsoid (RFC 7946), not over the ground, and does not count; height and top do.`;
  return [{ severity: "note", code: "obstacle-position-height", message, line: undefined }];
}

function nameOf({ number, properties }: Feature): string {
  const { name } = properties;
  const text = typeof name === "string" || Number.isFinite(name) ? String(name).trim() : "";
  return text === "" ? `${readOsmTags(properties).word ?? "obstacle"} ${number}` : text;
}

export type { SiteProblem };
