import type { DefaultHeights, DefaultKind } from "./default-heights.js";
import type { Feature, Shape } from "./geojson.js";
import { lengthOf } from "./length.js";
import { type OsmTags, readOsmTags } from "./osm-tags.js";
import type { LengthReader } from "./site-problems.js";

/** How high something stands over the ground, and which defaults say so. */
export interface Stands {
  readonly height_m: number | undefined;
  readonly defaults: readonly DefaultKind[];
}

/** What a height is found from. */
interface Sources {
  readonly tags: OsmTags;
  readonly shapes: readonly Shape[];
  readonly reader: LengthReader;
  readonly hasTop: boolean;
  readonly supports: ReadonlyMap<string, number>;
  readonly defaults: DefaultHeights;
}

/**
 * The height as given; else that of a turbine's hub with half its rotor; else its levels; else a default, where the kind
 * of the feature has one and no top is given.
 */
export function heightOf(sources: Sources): Stands {
  const { tags, reader, hasTop, defaults } = sources;
  const given_m = reader.read("height", "it does not count") ?? turbineHeight(tags, reader);
  if (given_m !== undefined || hasTop) return { height_m: given_m, defaults: [] };
  if (tags.levels > 0) return { height_m: tags.levels * defaults.level.value_m, defaults: ["level"] };
  if (tags.kind === undefined) return { height_m: undefined, defaults: [] };
  const usual_m = defaults[tags.kind].value_m;
  if (tags.kind !== "power_line") return { height_m: usual_m, defaults: [tags.kind] };
  return wireHeight(sources, usual_m);
}

/** The underside as given; else `min_height`; else the levels left open below. */
export function undersideOf(
  { minLevel }: OsmTags,
  { read }: LengthReader,
  { level }: DefaultHeights,
): number | undefined {
  const from = "taken as solid from the ground";
  const given_m = read("underside", from) ?? read("min_height", from);
  if (given_m !== undefined) return given_m;
  return minLevel > 0 ? minLevel * level.value_m : undefined;
}

/** @returns heights of the towers and poles of a file that have one, by their position */
export function supportHeights(features: readonly Feature[]): Map<string, number> {
  const heights = new Map<string, number>();
  for (const { properties, shapes } of features) {
    const height_m = lengthOf(properties["height"]);
    if (!(height_m >= 0) || !readOsmTags(properties).isSupport) continue;
    for (const { kind, rings } of shapes) if (kind === "point") heights.set(positionsOf(rings)[0] ?? "", height_m);
  }
  return heights;
}

/** Blades turn all the way up; without a rotor's diameter only the hub is known. */
function turbineHeight({ isTurbine }: OsmTags, { read, warn }: LengthReader): number | undefined {
  if (!isTurbine) return undefined;
  const hub_m = read("height:hub", "it does not count");
  const rotor_m = read("rotor:diameter", "it does not count");
  if (hub_m === undefined) return undefined;
  if (rotor_m === undefined) warn("no-rotor", "has no rotor:diameter: only its hub counts, not its blades.");
  return hub_m + (rotor_m ?? 0) / 2;
}

/** A wire hangs from its towers: where their heights are known, the highest counts; where only some are, at least the default. */
function wireHeight({ shapes, supports }: Sources, usual_m: number): Stands {
  const at = shapes.filter(({ kind }) => kind === "line").flatMap(({ rings }) => positionsOf(rings));
  const known_m = at.flatMap((position) => supports.get(position) ?? []);
  const highest_m = known_m.reduce((a, b) => Math.max(a, b), 0);
  const isAllKnown = known_m.length > 0 && known_m.length === at.length;
  if (isAllKnown || highest_m > usual_m) return { height_m: highest_m, defaults: [] };
  return { height_m: usual_m, defaults: ["power_line"] };
}

function positionsOf(rings: readonly Float64Array[]): string[] {
  return rings.flatMap((ring) => {
    const positions: string[] = [];
    for (let k = 0; k + 1 < ring.length; k += 2) positions.push(`${ring[k]},${ring[k + 1]}`);
    return positions;
  });
}
