import type { Replay } from "../recovery/replay.js";
import type { BuiltSite } from "../site/build-site.js";
import type { Site } from "../site/site.js";
import type { Zone } from "../site/zones.js";
import { type LocalFrame, localFrame } from "./local-frame.js";
import type { Band, DrawnShape, DrawnVerdict, PlanPicture, RecoveryPicture, Spot } from "./picture.js";

/** The longer side of what is shown, in steps of the track: finer moves than this are not seen. */
const STEPS = 1200;
/** Shapes drawn at most, the nearest to the middle first. */
const SHAPES_MOST = 1500;
/** Samples of the terrain along the longer side. */
const TERRAIN_SAMPLES = 110;
/** Least side of what is shown, m, and the room about the flight. */
const LEAST_SIDE_M = 80;
const ROOM_SHARE = 0.09;
/** Width to height of the sheet. */
const WIDE_LEAST = 1.25;
const WIDE_MOST = 2.3;

interface Extent {
  readonly west_m: number;
  readonly south_m: number;
  readonly east_m: number;
  readonly north_m: number;
}

/** @returns the flight from above; undefined where it has no position at all */
export function planPicture(
  replay: Replay,
  worst: readonly Band[],
  recoveries: readonly RecoveryPicture[],
): PlanPicture | undefined {
  const { moments, inputs, flight, track } = replay;
  const frame = frameOf(replay);
  if (frame === undefined) return undefined;
  const { setRow, moveRows } = inputs.point;
  const points = (setRow === undefined ? [] : [setRow, ...moveRows]).map((row) => ({
    at_s: track.columns.time_s[row] ?? Number.NaN,
    spot: spotAt(frame, inputs.point, row - flight.first),
  }));
  const takeoff = flight.takeoff && frame.spot(flight.takeoff.latitude_deg, flight.takeoff.longitude_deg);
  const way = inputs.operator === undefined ? [] : piecesOf(frame, inputs.operator, replay, () => "clear");
  const seen = [
    ...Array.from({ length: replay.length }, (_, k) => spotAt(frame, moments, k)),
    ...points.map(({ spot }) => spot),
    ...(takeoff === undefined ? [] : [takeoff]),
    ...way.flatMap(({ spots }) => spots),
  ];
  const extent = extentOf(seen);
  const step_m = Math.max(extent.east_m - extent.west_m, extent.north_m - extent.south_m) / STEPS;
  const verdictAt = verdictFinder(worst, moments.at_s);
  return {
    ...extent,
    track: piecesOf(frame, moments, replay, verdictAt, step_m),
    takeoff,
    points,
    operator:
      inputs.operator === undefined
        ? []
        : piecesOf(frame, inputs.operator, replay, () => "clear", step_m).map(({ spots }) => spots),
    recoveries: recoveries.map(({ at_s }) => {
      const k = moments.at_s.indexOf(at_s);
      return { from: spotAt(frame, moments, k), to: spotAt(frame, inputs.point, k) };
    }),
    ...shapesOf(replay.setting.site, frame, extent),
    zones: zonesOf(replay.setting.site, frame, extent),
    terrain: terrainOf(replay.setting.site, frame, extent),
  };
}

interface Places {
  readonly latitude_deg: Float64Array;
  readonly longitude_deg: Float64Array;
}

function spotAt(frame: LocalFrame, { latitude_deg, longitude_deg }: Places, k: number): Spot {
  return frame.spot(latitude_deg[k] ?? Number.NaN, longitude_deg[k] ?? Number.NaN);
}

/** @returns the frame about the flight's first known position */
export function frameOf({ moments }: Replay): LocalFrame | undefined {
  const first = moments.latitude_deg.findIndex((value) => !Number.isNaN(value));
  if (first < 0) return undefined;
  return localFrame(moments.latitude_deg[first] ?? 0, moments.longitude_deg[first] ?? 0);
}

/** The verdict of each moment by the bands it lies in; moments are asked in the order of time. */
function verdictFinder(worst: readonly Band[], at_s: Float64Array): (k: number) => DrawnVerdict {
  let band = 0;
  return (k) => {
    const time_s = at_s[k] ?? Number.NaN;
    while (band < worst.length - 1 && time_s >= (worst[band]?.to_s ?? 0)) band += 1;
    return worst[band]?.verdict ?? "unknown";
  };
}

/** Lines of one verdict each; a gap of the record or an unknown position ends a line. */
function piecesOf(
  frame: LocalFrame,
  places: Places,
  { flight }: Replay,
  verdictAt: (k: number) => DrawnVerdict,
  step_m = 0,
): { verdict: DrawnVerdict; spots: Spot[] }[] {
  const pieces: { verdict: DrawnVerdict; spots: Spot[] }[] = [];
  for (const { from, to } of flight.segments) {
    let piece: { verdict: DrawnVerdict; spots: Spot[] } | undefined;
    let last: Spot | undefined;
    for (let k = from - flight.first; k < to - flight.first; k += 1) {
      const verdict = verdictAt(k);
      const spot = spotAt(frame, places, k);
      if (Number.isNaN(spot[0] + spot[1])) {
        piece = undefined;
        continue;
      }
      last = spot;
      if (piece === undefined || piece.verdict !== verdict) {
        // The line goes on from where the one before it ended.
        const end = piece?.spots[piece.spots.length - 1];
        piece = { verdict, spots: end === undefined ? [spot] : [end, spot] };
        pieces.push(piece);
        continue;
      }
      const before = piece.spots[piece.spots.length - 1];
      if (before === undefined || Math.hypot(spot[0] - before[0], spot[1] - before[1]) > step_m) piece.spots.push(spot);
    }
    if (piece !== undefined && last !== undefined) piece.spots.push(last);
  }
  return pieces;
}

function extentOf(spots: readonly Spot[]): Extent {
  let [west_m, south_m, east_m, north_m] = [
    Number.POSITIVE_INFINITY,
    Number.POSITIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
  ];
  for (const [x, y] of spots) {
    if (Number.isNaN(x + y)) continue;
    west_m = Math.min(west_m, x);
    east_m = Math.max(east_m, x);
    south_m = Math.min(south_m, y);
    north_m = Math.max(north_m, y);
  }
  const room_m = ROOM_SHARE * Math.max(east_m - west_m, north_m - south_m);
  let width_m = Math.max(LEAST_SIDE_M, east_m - west_m + 2 * room_m);
  let height_m = Math.max(LEAST_SIDE_M, north_m - south_m + 2 * room_m);
  width_m = Math.max(width_m, height_m * WIDE_LEAST);
  height_m = Math.max(height_m, width_m / WIDE_MOST);
  const x_m = (west_m + east_m) / 2;
  const y_m = (south_m + north_m) / 2;
  return {
    west_m: x_m - width_m / 2,
    east_m: x_m + width_m / 2,
    south_m: y_m - height_m / 2,
    north_m: y_m + height_m / 2,
  };
}

function shapesOf(site: Site, frame: LocalFrame, extent: Extent): Pick<PlanPicture, "obstacles" | "obstaclesLeftOut"> {
  if (!isDrawable(site)) return { obstacles: [], obstaclesLeftOut: 0 };
  const all = site.obstacles.flatMap((obstacle) => drawnShapes(obstacle, frame));
  const obstacles = all.filter((shape) => isInside(shape, extent)).slice(0, SHAPES_MOST);
  return { obstacles, obstaclesLeftOut: all.length - obstacles.length };
}

/** All zones that meet the sheet: a keep-out must not be missing from a picture. */
function zonesOf(site: Site, frame: LocalFrame, extent: Extent): PlanPicture["zones"] {
  if (!isDrawable(site)) return [];
  return site.zones
    .flatMap((zone) => drawnShapes(zone, frame).map((shape) => ({ ...shape, zone: zone.kind })))
    .filter((shape) => isInside(shape, extent));
}

function drawnShapes({ name, shapes }: Pick<Zone, "name" | "shapes">, frame: LocalFrame): DrawnShape[] {
  return shapes.map(({ kind, rings, radius_m }) => ({
    name,
    kind,
    radius_m,
    rings: rings.map((ring) => spotsOf(ring, frame)),
  }));
}

function isInside({ rings, radius_m }: DrawnShape, extent: Extent): boolean {
  return touches(rings.flat(), radius_m, extent);
}

function isDrawable(site: Site): site is BuiltSite {
  return "obstacles" in site;
}

function spotsOf(ring: Float64Array, frame: LocalFrame): Spot[] {
  return Array.from({ length: ring.length / 2 }, (_, i) =>
    frame.spot(ring[2 * i + 1] ?? Number.NaN, ring[2 * i] ?? Number.NaN),
  );
}

/** Whether the box about a shape meets the sheet. */
function touches(spots: readonly Spot[], radius_m: number, { west_m, south_m, east_m, north_m }: Extent): boolean {
  const reach = (pick: (spot: Spot) => number, low: number, high: number): boolean =>
    spots.some((spot) => pick(spot) >= low - radius_m) && spots.some((spot) => pick(spot) <= high + radius_m);
  return reach(([x]) => x, west_m, east_m) && reach(([, y]) => y, south_m, north_m);
}

function terrainOf(
  site: Site,
  frame: LocalFrame,
  { west_m, south_m, east_m, north_m }: Extent,
): PlanPicture["terrain"] {
  if (!site.hasTerrain || site.isFlat) return undefined;
  const step_m = Math.max(east_m - west_m, north_m - south_m) / (TERRAIN_SAMPLES - 1);
  const columns = Math.max(2, Math.ceil((east_m - west_m) / step_m) + 1);
  const rows = Math.max(2, Math.ceil((north_m - south_m) / step_m) + 1);
  const elevations_m: number[] = [];
  for (let row = 0; row < rows; row += 1) {
    const latitude_deg = frame.latitude_deg(north_m - ((north_m - south_m) * row) / (rows - 1));
    for (let column = 0; column < columns; column += 1) {
      elevations_m.push(
        site.ground(latitude_deg, frame.longitude_deg(west_m + ((east_m - west_m) * column) / (columns - 1))),
      );
    }
  }
  return { columns, rows, elevations_m };
}
