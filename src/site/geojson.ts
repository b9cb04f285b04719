import { UserError } from "../user-error.js";
import { jsonErrorOffset } from "./json-place.js";
import { featurePlace } from "./feature-place.js";
import { quoteValue } from "./quote-value.js";
import { placeOf } from "./text-scan.js";

/** A point, one line, or one polygon with its holes. */
export interface Shape {
  readonly kind: "point" | "line" | "polygon";
  /**
   * Longitude and latitude by turns, degrees: one position for a point, one list for a line, one closed ring after
   * another for a polygon, the first the outer one, whichever way they wind. Longitudes run on over ±180, without jumps.
   */
  readonly rings: readonly Float64Array[];
}

/** One feature of a GeoJSON text. */
export interface Feature {
  /** 1-based, in the order of the text. */
  readonly number: number;
  readonly properties: Readonly<Record<string, unknown>>;
  /** None where the geometry is null or empty. */
  readonly shapes: readonly Shape[];
  /** Some position has a third element that is not 0. */
  readonly hasPositionHeights: boolean;
}

/** Nesting of collections in one geometry; RFC 7946 §3.1.8 advises against any. */
const DEEPEST = 8;

/**
 * Reads a GeoJSON text: a feature collection, a feature or a bare geometry, of any type.
 *
 * The third element of a position is ignored: it is a height over the ellipsoid.
 * Source: RFC 7946 §3.
 * @throws UserError, one line: not JSON (with the place), not GeoJSON, or not in degrees
 */
export function readGeoJson(bytes: Uint8Array, file: string): Feature[] {
  const text = new TextDecoder().decode(bytes);
  const root = parse(text, file);
  const reader = new Reader(file, text);
  if (!isRecord(root)) throw reader.fail("This is no GeoJSON: the text is not an object.");
  checkSystem(root, reader);
  if (root["type"] !== "FeatureCollection") return [reader.feature(root, 1)];
  const { features } = root;
  if (!Array.isArray(features)) throw reader.fail("This is no GeoJSON: the collection has no list of features.");
  return features.map((feature: unknown, k) => reader.feature(feature, k + 1));
}

/** A coordinate system by name is of GeoJSON before RFC 7946, which has degrees alone (its §4). */
function checkSystem({ crs }: Readonly<Record<string, unknown>>, reader: Reader): void {
  const properties = isRecord(crs) && isRecord(crs["properties"]) ? crs["properties"] : {};
  const { name } = properties;
  if (typeof name !== "string" || /(CRS84|EPSG:{1,2}4326|EPSG:[\d.]*:4326)$/i.test(name)) return;
  throw reader.fail(
    `the coordinates are in the system ${quoteValue(name)}.`,
    "GeoJSON is in degrees (RFC 7946): convert the file to EPSG:4326.",
  );
}

function parse(text: string, file: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    const offset = jsonErrorOffset(text);
    const place = placeOf(new TextEncoder().encode(text.slice(0, offset)), Number.MAX_SAFE_INTEGER);
    const column = offset - Math.max(text.lastIndexOf("\n", offset - 1), text.lastIndexOf("\r", offset - 1));
    const found =
      offset < text.length ? `${JSON.stringify(text.slice(offset, offset + 1))} is out of place` : "it ends too soon";
    throw new UserError("geojson-not-json", `This is not JSON: ${found}.`, {
      where: { file, line: place.line, column },
      hint: "Write the file again, or check it with an editor that knows JSON.",
    });
  }
}

/** Turns what was parsed into features; holds where it is, for messages. */
class Reader {
  readonly #file: string;
  readonly #text: string;
  #number = 0;
  #hasHeights = false;

  constructor(file: string, text: string) {
    this.#file = file;
    this.#text = text;
  }

  fail(message: string, hint = "See RFC 7946."): UserError {
    const feature = this.#number === 0 ? "" : `Feature ${this.#number}: `;
    const where = featurePlace(this.#text, this.#file, this.#number);
    return new UserError("geojson-shape", feature + message, { where, hint });
  }

  feature(value: unknown, number: number): Feature {
    this.#number = number;
    this.#hasHeights = false;
    if (!isRecord(value)) throw this.fail("it is not an object.");
    if (value["type"] !== "Feature") {
      const shapes = this.#shapes(value, 0);
      return { number, properties: {}, shapes, hasPositionHeights: this.#hasHeights };
    }
    const { geometry, properties } = value;
    const shapes = geometry === null || geometry === undefined ? [] : this.#shapes(geometry, 0);
    const known = isRecord(properties) ? properties : {};
    return { number, properties: known, shapes, hasPositionHeights: this.#hasHeights };
  }

  #shapes(geometry: unknown, depth: number): Shape[] {
    if (!isRecord(geometry)) throw this.fail("its geometry is not an object.");
    const { type, coordinates } = geometry;
    switch (type) {
      case "Point":
        return this.#list(coordinates).length === 0 ? [] : [this.#point(coordinates)];
      case "MultiPoint":
        return this.#list(coordinates).map((position) => this.#point(position));
      case "LineString":
        return this.#line(coordinates);
      case "MultiLineString":
        return this.#list(coordinates).flatMap((line) => this.#line(line));
      case "Polygon":
        return this.#polygon(coordinates);
      case "MultiPolygon":
        return this.#list(coordinates).flatMap((polygon) => this.#polygon(polygon));
      case "GeometryCollection":
        if (depth >= DEEPEST) throw this.fail(`its geometries are nested over ${DEEPEST} deep.`);
        return this.#list(geometry["geometries"]).flatMap((part) => this.#shapes(part, depth + 1));
      default:
        throw this.fail(`its geometry type ${said(type)} is not known.`);
    }
  }

  #point(value: unknown): Shape {
    return { kind: "point", rings: [this.#path([value])] };
  }

  #line(value: unknown): Shape[] {
    const positions = this.#list(value);
    if (positions.length === 0) return [];
    if (positions.length === 1) throw this.fail("a line has one position; it needs two.");
    return [{ kind: "line", rings: [this.#path(positions)] }];
  }

  #polygon(value: unknown): Shape[] {
    const rings = this.#list(value).map((ring) => this.#ring(this.#list(ring)));
    const outer = rings[0];
    if (outer === undefined) return [];
    const [lon] = outer;
    return [{ kind: "polygon", rings: rings.map((ring) => beside(ring, lon ?? 0)) }];
  }

  #ring(positions: readonly unknown[]): Float64Array {
    const path = this.#path(positions);
    const last = path.length - 2;
    const isClosed = path[0] === path[last] && path[1] === path[last + 1];
    if (positions.length < (isClosed ? 4 : 3)) throw this.fail("a ring of a polygon needs four positions or more.");
    if (isClosed) return path;
    // Left open by mistake, as is common; what is meant is plain.
    return Float64Array.of(...path, path[0] ?? Number.NaN, path[1] ?? Number.NaN);
  }

  #list(value: unknown): readonly unknown[] {
    if (Array.isArray(value)) return value;
    throw this.fail("its coordinates are not a list.");
  }

  /** Longitudes are kept running on where a line crosses ±180 uncut. */
  #path(positions: readonly unknown[]): Float64Array {
    const path = new Float64Array(positions.length * 2);
    let before = Number.NaN;
    for (const [k, position] of positions.entries()) {
      const [lon, lat, height]: readonly unknown[] = Array.isArray(position) ? position : [];
      if (typeof lon !== "number" || typeof lat !== "number") throw this.fail("a position is not a list of numbers.");
      if (!(Math.abs(lon) <= 360 && Math.abs(lat) <= 90)) {
        throw this.fail(
          `${quoteValue(lon)}, ${quoteValue(lat)} is no position: GeoJSON is longitude, latitude in degrees (RFC 7946).`,
          "Convert the file to EPSG:4326; check the order of the two.",
        );
      }
      if (typeof height === "number" && height !== 0) this.#hasHeights = true;
      const turns = Number.isNaN(before) ? 0 : Math.round((before - lon) / 360);
      before = lon + turns * 360;
      path[2 * k] = before;
      path[2 * k + 1] = lat;
    }
    return path;
  }
}

/** A hole may be written on the other side of ±180 than its outer ring. */
function beside(ring: Float64Array, longitude_deg: number): Float64Array {
  const turns = Math.round((longitude_deg - (ring[0] ?? 0)) / 360);
  return turns === 0 ? ring : ring.map((value, k) => (k % 2 === 0 ? value + turns * 360 : value));
}

function said(value: unknown): string {
  return typeof value === "string" ? quoteValue(value) : "(missing)";
}

/** @returns whether a parsed JSON value is an object */
export function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
