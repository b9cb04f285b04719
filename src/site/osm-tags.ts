import type { DefaultKind } from "./default-heights.js";
import { isRecord } from "./geojson.js";

/** Project default: half-width of a tree's crown, and of a row of trees, where nothing tells it. */
export const TREE_RADIUS_M = 3;

/** What the tags of OpenStreetMap say beside `height`. */
export interface OsmTags {
  /** What a height that is missing is taken from. */
  readonly kind: DefaultKind | undefined;
  /** Whole and half levels above ground; NaN where there are none. */
  readonly levels: number;
  /** Levels that are left open below: a passage, or a part of a building that begins further up. */
  readonly minLevel: number;
  /** Carries the wires of a power line: a tower or a pole. */
  readonly isSupport: boolean;
  /** A wind turbine: its height is that of the hub and half the rotor's diameter. */
  readonly isTurbine: boolean;
  /** What it is, in a word: it names what has no name. */
  readonly word: string | undefined;
}

const POWER: Readonly<Record<string, string>> = {
  tower: "power tower",
  pole: "power pole",
  line: "power line",
  minor_line: "power line",
};
const NATURAL: Readonly<Record<string, readonly [kind: DefaultKind, word: string]>> = {
  tree: ["trees", "tree"],
  tree_row: ["trees", "tree row"],
  wood: ["woods", "wood"],
};
const MAN_MADE = ["mast", "tower", "chimney", "crane"];

/**
 * The properties of a feature, with the tags of OpenStreetMap beside them: flat, or as an object under `tags`. What
 * stands flat counts before what stands under `tags`.
 */
export function flatProperties(properties: Readonly<Record<string, unknown>>): Readonly<Record<string, unknown>> {
  const { tags } = properties;
  return isRecord(tags) ? { ...tags, ...properties } : properties;
}

/**
 * Reads what OpenStreetMap tags tell of a thing that stands on the ground.
 * Source: OpenStreetMap wiki, Key:height, Key:building:levels, Key:building:min_level; npm
 * `@openstreetmap/id-tagging-schema` 6.19.2 for which features carry a height of their own.
 */
export function readOsmTags(properties: Readonly<Record<string, unknown>>): OsmTags {
  const tag = (key: string): string => textOf(properties[key]);
  const power = POWER[tag("power")];
  const natural = NATURAL[tag("natural")];
  const isForest = tag("landuse") === "forest";
  const isBuilding = [tag("building"), tag("building:part")].some((value) => value !== "" && value !== "no");
  const isTurbine = tag("generator:source") === "wind";
  const levels = levelOf(properties["building:levels"]);
  const made = MAN_MADE.find((value) => value === tag("man_made"));
  const words = [power, natural?.[1], isForest ? "wood" : undefined, isTurbine ? "wind turbine" : undefined, made];
  return {
    kind: power !== undefined ? "power_line" : (natural?.[0] ?? (isForest ? "woods" : undefined)),
    levels,
    minLevel: levelOf(properties["building:min_level"]),
    isSupport: ["tower", "pole"].includes(tag("power")),
    isTurbine,
    word: words.find((word) => word !== undefined) ?? (isBuilding ? "building" : undefined),
  };
}

function textOf(value: unknown): string {
  return typeof value === "string" ? value.trim() : "";
}

/** Levels are plain numbers; a half level occurs, and nothing has a thousand. */
function levelOf(value: unknown): number {
  const text = typeof value === "number" ? String(value) : textOf(value);
  return /^\d{1,3}(\.\d+)?$/.test(text) ? Number(text) : Number.NaN;
}
