import { UserError } from "../user-error.js";

/** A projected coordinate system: the way from longitude and latitude to its coordinates and back. */
export interface Projection {
  /** How it was named: `EPSG:32632`, or its definition. */
  readonly name: string;
  /** @returns x and y in the system's own unit; not finite where it has none */
  forward(longitude_deg: number, latitude_deg: number): [number, number];
  /** @returns longitude and latitude, degrees */
  inverse(x: number, y: number): [number, number];
}

/** How a coordinate system was declared or found; `definition` undefined: longitude and latitude in degrees. */
export interface System {
  readonly name: string;
  readonly definition: string | undefined;
}

/** The system of longitude and latitude that positions are in. */
export const DEGREES: System = { name: "EPSG:4326", definition: undefined };

/**
 * WGS84, and those that differ from it by less than the error of a position fix: ETRS89 by under a metre in Europe,
 * NAD83 by under two in North America.
 */
const GEOGRAPHIC = new Map([
  [4326, "+datum=WGS84"],
  [4258, "+ellps=GRS80 +towgs84=0,0,0"],
  [4269, "+ellps=GRS80 +towgs84=0,0,0"],
]);

/** UTM zones: the code is the first number and the zone. */
const UTM: readonly { readonly from: number; readonly zones: readonly [number, number]; readonly rest: string }[] = [
  { from: 32600, zones: [1, 60], rest: "+datum=WGS84" },
  { from: 32700, zones: [1, 60], rest: "+south +datum=WGS84" },
  { from: 25800, zones: [28, 38], rest: "+ellps=GRS80 +towgs84=0,0,0" },
  { from: 26900, zones: [1, 23], rest: "+ellps=GRS80 +towgs84=0,0,0" },
];

/** Spherical Mercator, which maps on the web use. */
const WEB_MERCATOR = "+proj=merc +a=6378137 +b=6378137 +lat_ts=0 +lon_0=0 +x_0=0 +y_0=0 +k=1 +units=m +nadgrids=@null";

/**
 * @param code of the EPSG register
 * @returns the system, for longitude and latitude on WGS84, ETRS89 and NAD83, their UTM zones, and Web Mercator;
 *   undefined for all others, which are to be declared
 */
export function systemOfEpsg(code: number): System | undefined {
  const name = `EPSG:${code}`;
  if (GEOGRAPHIC.has(code)) return { name, definition: undefined };
  if (code === 3857) return { name, definition: WEB_MERCATOR };
  for (const { from, zones, rest } of UTM) {
    const zone = code - from;
    if (zone < zones[0] || zone > zones[1]) continue;
    return { name, definition: `+proj=utm +zone=${zone} ${rest} +units=m +no_defs` };
  }
  return undefined;
}

/** @returns the datum of a geographic code as part of a definition; undefined where it is not known */
export function datumOfEpsg(code: number): string | undefined {
  return GEOGRAPHIC.get(code);
}

/** What to do about a system that is not known. */
export const DECLARE_HINT =
  'Declare its definition: `terrain: { file: …, projection: "+proj=…" }`, or convert the file to EPSG:4326 or UTM.';

/**
 * @param declared in homeleg.yaml: `EPSG:32632`, or a definition that begins with `+proj=`
 * @param where it is declared, for the message
 * @throws UserError, one line, where the code is not known or the text is neither
 */
export function systemOfText(declared: string, where: string): System {
  const text = declared.trim();
  const epsg = /^epsg:\s*(\d{4,6})$/i.exec(text);
  if (epsg !== null) {
    const known = systemOfEpsg(Number(epsg[1]));
    if (known !== undefined) return known;
    throw new UserError("terrain-projection", `${where}  The projection ${text} is not known.`, {
      hint: 'Write its definition instead: "+proj=…".',
    });
  }
  if (/^\+proj=(?:longlat|latlong)\b/.test(text)) return { name: text, definition: undefined };
  if (/^\+proj=\w+/.test(text)) return { name: text, definition: text };
  throw new UserError("terrain-projection", `${where}  "${text}" is no projection.`, {
    hint: "Write `EPSG:32632` or a definition such as `+proj=utm +zone=32 +datum=WGS84`.",
  });
}

/**
 * Loads a projection; the library is loaded only here, for runs that need one.
 * @param where the system was named, for the message
 * @returns undefined for a system in degrees
 * @throws UserError, one line, where the definition cannot be used
 */
export async function loadProjection({ name, definition }: System, where: string): Promise<Projection | undefined> {
  if (definition === undefined) return undefined;
  const { default: proj4 } = await import("proj4");
  try {
    const converter = proj4(definition);
    const projection: Projection = {
      name,
      forward: (longitude_deg, latitude_deg) => through(converter.forward, longitude_deg, latitude_deg),
      inverse: (x, y) => through(converter.inverse, x, y),
    };
    // An unknown parameter shows only when it is used.
    projection.inverse(...projection.forward(0.5, 0.5));
    return projection;
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    throw new UserError("terrain-projection", `${where}  The projection "${definition}" cannot be used (${why}).`, {
      hint: "Check its definition.",
    });
  }
}

/** The library throws at what is no number; where a position is unknown here, it is unknown there. */
function through(convert: (from: number[]) => number[], a: number, b: number): [number, number] {
  if (!Number.isFinite(a + b)) return [Number.NaN, Number.NaN];
  const [x = Number.NaN, y = Number.NaN] = convert([a, b]);
  return [x, y];
}
