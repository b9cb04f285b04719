import { nearestWord } from "../num/edit-distance.js";
import { UserError, UserErrors } from "../user-error.js";
import { featurePlace } from "./feature-place.js";
import { type Feature, readGeoJson, type Shape } from "./geojson.js";
import { flatProperties } from "./osm-tags.js";
import { quoteValue } from "./quote-value.js";
import { lengthReader, type SiteProblem } from "./site-problems.js";

/** What a zone is: what is overhead, water, where not to fly, where not to land. */
export const ZONE_KINDS = ["cover", "water", "keep-out", "no-landing"] as const;

/** One of `ZONE_KINDS`. */
export type ZoneKind = (typeof ZONE_KINDS)[number];

/** A number for each kind; the kinds at a spot are their sum. */
export const ZONE_BITS: Readonly<Record<ZoneKind, number>> = { cover: 1, water: 2, "keep-out": 4, "no-landing": 8 };

/** Wrong zones that are told one by one. */
const TOLD_MOST = 20;

/** An area that a recovery must know of. */
export interface Zone {
  readonly kind: ZoneKind;
  readonly name: string;
  readonly file: string;
  /** 1-based. */
  readonly feature: number;
  /** Of a cover: its lower side above the ground under the aircraft, m. */
  readonly underside_m: number | undefined;
  /** How far it reaches beyond what is drawn. */
  readonly shapes: readonly (Shape & { readonly radius_m: number })[];
}

/** The zones of one file or several. */
export interface ZoneSet {
  readonly zones: readonly Zone[];
  readonly problems: readonly SiteProblem[];
}

/**
 * Reads zones from GeoJSON: areas with the property `zone`, a name, and for a cover its `underside` above the ground; a
 * point or line with a `radius` is an area too.
 *
 * A zone is declared by hand and counts for what it says, so that one that says too little is a mistake, not left out:
 * no area may go missing in silence. Tags of OpenStreetMap (natural=water, landuse=forest) make no zone.
 * Source: RFC 7946.
 * @throws UserError (`UserErrors` for several), a line each: no zone or an unknown one, no area, a cover without underside
 */
export function parseZones(bytes: Uint8Array, file: string): ZoneSet {
  const problems: SiteProblem[] = [];
  const errors: UserError[] = [];
  let untold = 0;
  const text = new TextDecoder().decode(bytes);
  const zones = readGeoJson(bytes, file).map((feature) => {
    const fail = (code: string, message: string, hint: string): undefined => {
      // To find its place the whole text is gone through.
      if (errors.length === TOLD_MOST) untold += 1;
      if (errors.length === TOLD_MOST) return;
      const where = featurePlace(text, file, feature.number);
      errors.push(new UserError(code, `Feature ${feature.number}: ${message}`, { where, hint }));
    };
    return zoneOf({ ...feature, properties: flatProperties(feature.properties) }, file, problems, fail);
  });
  if (untold > 0) errors.push(new UserError("zone-more", `${untold} more zones are wrong.`, { where: { file } }));
  const [first, ...others] = errors;
  if (first !== undefined) throw others.length === 0 ? first : new UserErrors(errors);
  return { zones: zones.filter((zone) => zone !== undefined), problems };
}

/** @returns all zones of several files as one set, in order */
export function mergeZones(sets: readonly ZoneSet[]): ZoneSet {
  return { zones: sets.flatMap(({ zones }) => zones), problems: sets.flatMap(({ problems }) => problems) };
}

type Fail = (code: string, message: string, hint: string) => undefined;

function zoneOf(feature: Feature, file: string, problems: SiteProblem[], fail: Fail): Zone | undefined {
  const { number, properties, shapes } = feature;
  const kind = kindOf(properties, fail);
  if (kind === undefined) return undefined;
  const { name: given } = properties;
  const text = typeof given === "string" || Number.isFinite(given) ? String(given).trim() : "";
  const name = text === "" ? `${kind} ${number}` : text;
  const odd: SiteProblem[] = [];
  const { read } = lengthReader(feature, name, file, "zone", odd);
  const radius_m = read("radius", "it does not count") ?? 0;
  const underside_m = kind === "cover" ? read("underside", "it does not count") : undefined;
  problems.push(...odd.filter(({ severity }) => severity === "note"));
  for (const { message } of odd.filter(({ severity }) => severity === "warning")) {
    return fail("zone-bad-length", message.slice(message.indexOf(") has ") + 2), 'Write a length: 6, "6 m", "20 ft".');
  }
  if (kind === "cover" && underside_m === undefined) {
    return fail(
      "zone-no-underside",
      `the cover ${quoteValue(name)} has no underside: nobody can tell whether an aircraft is under it or over it.`,
      'Give the height of its lowest branches above the ground: "underside": 6.',
    );
  }
  if (!checkArea(shapes, radius_m, name, fail)) return undefined;
  return {
    kind,
    name,
    file,
    feature: number,
    underside_m,
    shapes: shapes.map(({ kind: shape, rings }) => ({ kind: shape, rings, radius_m })),
  };
}

function kindOf({ zone, natural, landuse }: Readonly<Record<string, unknown>>, fail: Fail): ZoneKind | undefined {
  const known = ZONE_KINDS.find((kind) => kind === zone);
  if (known !== undefined) return known;
  const all = ZONE_KINDS.map((kind) => `"${kind}"`).join(", ");
  if (typeof zone !== "string" || zone.trim() === "") {
    const meant = natural === "water" ? "water" : landuse === "forest" || natural === "wood" ? "cover" : undefined;
    const perhaps =
      meant === undefined ? "" : ` A map's tag alone makes no zone; if it is meant, write "zone": "${meant}".`;
    return fail("zone-no-kind", "it does not say what zone it is.", `Write "zone": one of ${all}.${perhaps}`);
  }
  const nearest = nearestWord(zone.trim(), ZONE_KINDS);
  const did = nearest === undefined ? "" : ` Did you mean "${nearest}"?`;
  return fail("zone-unknown-kind", `${quoteValue(zone)} is no zone.${did}`, `Write one of ${all}.`);
}

/** A line that closes is a fence, not a field; only what is drawn as a polygon, or has a radius, has an inside. */
function checkArea(shapes: readonly Shape[], radius_m: number, name: string, fail: Fail): boolean {
  if (shapes.length === 0) {
    fail("zone-no-place", `the zone ${quoteValue(name)} has no geometry.`, "Draw a Polygon.");
    return false;
  }
  const bare = radius_m > 0 ? undefined : shapes.find(({ kind }) => kind !== "polygon");
  if (bare === undefined) return true;
  const [ring] = bare.rings;
  const isClosed = ring !== undefined && ring.length > 2 && ring[0] === ring.at(-2) && ring[1] === ring.at(-1);
  const what = bare.kind === "point" ? "a point" : isClosed ? "a closed line" : "a line";
  fail(
    "zone-no-area",
    `the zone ${quoteValue(name)} is ${what}, which has no area.`,
    'Draw a Polygon, or give a "radius" in m.',
  );
  return false;
}
