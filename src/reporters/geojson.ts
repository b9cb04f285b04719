import type { FlightGeometry, RecoveryLine, TimedPosition, TrackPiece } from "../score/flight-geometry.js";
import type { FlightResult, LogResult, ResultPosition } from "../score/result.js";
import { cutAtAntimeridian, type LonLat } from "./cut-at-antimeridian.js";
import { visible } from "./escape/visible.js";
import { flightVerdictWord } from "./flight-words.js";

/** A log with the lines and points of its flights, in the order of `flights`. */
export interface MappedLog {
  readonly result: LogResult;
  readonly geometries: readonly FlightGeometry[];
}

type Properties = Readonly<Record<string, number | string | boolean | null | readonly string[]>>;
type Geometry =
  | { readonly type: "Point"; readonly coordinates: LonLat }
  | { readonly type: "LineString"; readonly coordinates: readonly LonLat[] }
  | { readonly type: "MultiLineString"; readonly coordinates: readonly (readonly LonLat[])[] };

interface Feature {
  readonly type: "Feature";
  readonly geometry: Geometry;
  readonly properties: Properties;
}

/**
 * @returns GeoJSON (RFC 7946): `kind` of a feature is `track`, `recovery`, `worst-moment`, `recovery-point`,
 *   `recovery-point-move` or `operator`; numbers are those of the JSON result. Lines are cut at the antimeridian
 */
export function geojsonReport(logs: Iterable<MappedLog>): string {
  return [...geojsonPieces(logs)].join("");
}

/** `geojsonReport` by features, a line each: a long log stays readable, and a changed one is seen in a comparison. */
export function* geojsonPieces(logs: Iterable<MappedLog>): Generator<string> {
  let before = `{"type":"FeatureCollection","features":[\n`;
  for (const log of logs) {
    for (const feature of featuresOf(log)) {
      yield before + JSON.stringify(feature, harmless);
      before = ",\n";
    }
  }
  yield before === ",\n" ? "\n]}\n" : `${before}\n]}\n`;
}

function featuresOf({ result, geometries }: MappedLog): Feature[] {
  return result.flights.flatMap((flight, i) => {
    const geometry = geometries[i];
    return geometry === undefined ? [] : flightFeatures(result, flight, geometry);
  });
}

/** JSON hides controls from a parser, not from who reads its strings on a map. */
function harmless(_key: string, value: unknown): unknown {
  return typeof value === "string" ? visible(value) : value;
}

function flightFeatures(log: LogResult, flight: FlightResult, geometry: FlightGeometry): Feature[] {
  const head = { log: log.path, flight: flight.index };
  return [
    ...geometry.pieces.map((piece) => trackFeature(piece, head, flight)),
    ...geometry.recoveries.flatMap((line) => recoveryFeatures(line, head)),
    ...pointFeatures(flight, head),
    ...operatorFeature(geometry.operator, head),
  ];
}

function trackFeature(
  { verdict, start_s, end_s, positions }: TrackPiece,
  head: Properties,
  flight: FlightResult,
): Feature {
  const facts = { verdict, start_s, end_s, flight_verdict: flightVerdictWord(flight), score: flight.score };
  return feature("track", lineOf(positions), { ...head, ...facts });
}

function recoveryFeatures({ finding, from, to, distance_m }: RecoveryLine, head: Properties): Feature[] {
  const { worst } = finding;
  const facts = {
    ...head,
    rule: finding.rule,
    verdict: finding.verdict,
    episode: finding.episode,
    start_s: finding.start_s,
    end_s: finding.end_s,
    duration_s: finding.duration_s,
    decided_by: finding.decided_by,
    by_assumption_alone: finding.by_assumption_alone,
    at_s: worst.at_s,
    height_m: worst.height_m,
    value: worst.value,
    limit: worst.limit,
    unit: worst.unit,
    message: finding.message,
    advice: finding.advice,
  };
  // At the recovery point itself there is no line to draw.
  const line =
    to === null || distance_m === 0 ? [] : [feature("recovery", lineOf([from, to]), { ...facts, distance_m })];
  return [feature("worst-moment", pointOf(from), facts), ...line];
}

function pointFeatures(
  { recovery_point: point, recovery_point_moves: moves }: FlightResult,
  head: Properties,
): Feature[] {
  if (point === null) return [];
  const { basis, set_at_s } = point;
  return [
    feature("recovery-point", pointOf(point), { ...head, basis, set_at_s }),
    ...moves.map((move) => feature("recovery-point-move", pointOf(move), { ...head, basis, at_s: move.at_s })),
  ];
}

function operatorFeature(way: readonly TimedPosition[], head: Properties): Feature[] {
  const [first] = way;
  if (first === undefined) return [];
  return [feature("operator", lineOf(way), { ...head, start_s: first.at_s, end_s: way.at(-1)?.at_s ?? first.at_s })];
}

function feature(kind: string, geometry: Geometry, properties: Properties): Feature {
  return { type: "Feature", geometry, properties: { kind, ...properties } };
}

function lonLat({ longitude_deg, latitude_deg }: ResultPosition): LonLat {
  return [longitude_deg, latitude_deg];
}

function pointOf(position: ResultPosition): Geometry {
  return { type: "Point", coordinates: lonLat(position) };
}

/** A line, in parts where it crosses the antimeridian; a point where there is only one position. */
function lineOf(positions: readonly ResultPosition[]): Geometry {
  const [first] = positions;
  if (positions.length === 1 && first !== undefined) return pointOf(first);
  const parts = cutAtAntimeridian(positions.map(lonLat));
  const [only] = parts;
  return only !== undefined && parts.length === 1
    ? { type: "LineString", coordinates: only }
    : { type: "MultiLineString", coordinates: parts };
}
