import { degrees, radians, wrapBearing_deg } from "../num/bearing.js";
import { median } from "../num/quantile.js";
import { hasValues } from "../track/has-values.js";
import type { Motion } from "../track/motion.js";
import type { Segment } from "../track/segments.js";
import type { Track } from "../track/track.js";
import type { GroundVelocity } from "./ground-velocity.js";

/** All limits here are project defaults. Only rows that fly forward: at a hover the nose does not face the air. */
const FORWARD_MS = 3;
const LEAST_S = 60;
/** Spread of the air vector ÷ its mean square: 0 on one straight leg, ½ for two legs at a right angle, 1 out and back. */
const LEAST_TURNING = 0.3;
/** An air speed off by more than this factor, either way, is not one. */
const SCALE_OFF = 1.25;
/** What one wind may leave over, m/s and as a share of the mean air speed: more, and the nose is not where the air comes from. */
const LEFT_MS = 1.5;
const LEFT_SHARE = 0.2;
/** An air speed this near to the ground speed throughout is a copy of it. */
const COPY_MS = 0.05;
/** The wind is compared with itself over blocks of this length. */
const BLOCK_S = 60;

/** One wind for a flight, from air speed and heading against the velocity over the ground. */
export interface FittedWind {
  readonly speed_ms: number;
  readonly from_deg: number;
  /** Of the wind of one minute about that of the flight, m/s, one standard deviation. */
  readonly deviation_ms: number;
  /** Above take-off, m; NaN where no height is logged. */
  readonly height_m: number;
}

interface Sums {
  readonly count: number;
  readonly seconds: number;
  readonly air: readonly [number, number];
  readonly ground: readonly [number, number];
  /** Of the air vector about its mean, and of the ground vector along it. */
  readonly airSquares: number;
  readonly crossed: number;
  readonly airMeanSquare: number;
  readonly copyMeanSquare: number;
}

/**
 * The wind w and the air speed's scale s for which s·(air speed along the heading) + w is the ground velocity, by least
 * squares over the flight.
 *
 * The scale keeps an air speed that reads 10 % high from becoming wind, but takes turns to be told from wind: on one
 * straight leg there is no answer. Neither is there one where what is left over shows that the aircraft flew sideways.
 * @param velocityOf asked only where the log holds the columns
 * @returns undefined where the log does not hold the columns or does not determine the wind
 */
export function fitWind(
  track: Track,
  flight: {
    readonly first: number;
    readonly last: number;
    readonly segments: readonly Segment[];
    readonly takeoffAltitude_m: number | undefined;
  },
  motion: Motion,
  velocityOf: () => GroundVelocity,
): FittedWind | undefined {
  const { airSpeed_ms, heading_deg, time_s } = track.columns;
  if (!hasValues(airSpeed_ms, flight) || !hasValues(heading_deg, flight)) return undefined;
  const velocity = velocityOf();
  const rows = forwardRows(flight, airSpeed_ms, heading_deg, motion, velocity);
  const air = (row: number): readonly [number, number] => {
    const nose = radians(heading_deg[row] ?? Number.NaN);
    const speed_ms = airSpeed_ms[row] ?? Number.NaN;
    return [speed_ms * Math.cos(nose), speed_ms * Math.sin(nose)];
  };
  const ground = (row: number): readonly [number, number] => [
    velocity.north_ms[row - flight.first] ?? Number.NaN,
    velocity.east_ms[row - flight.first] ?? Number.NaN,
  ];
  const sums = sumUp(rows, air, ground, secondsOf(flight.segments, time_s), motion, airSpeed_ms);
  if (sums.seconds < LEAST_S || Math.sqrt(sums.copyMeanSquare) < COPY_MS) return undefined;
  if (!(sums.airSquares / sums.count >= LEAST_TURNING * sums.airMeanSquare)) return undefined;
  const scale = sums.crossed / sums.airSquares;
  if (!(scale <= SCALE_OFF && scale >= 1 / SCALE_OFF)) return undefined;
  const north = sums.ground[0] - scale * sums.air[0];
  const east = sums.ground[1] - scale * sums.air[1];
  const left = leftOver(rows, air, ground, { scale, north, east }, time_s);
  if (left.rms_ms > Math.max(LEFT_MS, LEFT_SHARE * Math.sqrt(sums.airMeanSquare))) return undefined;
  return {
    speed_ms: Math.hypot(north, east),
    from_deg: wrapBearing_deg(degrees(Math.atan2(-east, -north))),
    deviation_ms: left.blocks_ms,
    height_m: heightOf(rows, flight, motion),
  };
}

function forwardRows(
  { first, last }: { readonly first: number; readonly last: number },
  airSpeed_ms: Float64Array,
  heading_deg: Float64Array,
  { groundSpeed_ms }: Motion,
  { north_ms }: GroundVelocity,
): number[] {
  const rows: number[] = [];
  for (let i = first; i <= last; i += 1) {
    const air_ms = airSpeed_ms[i] ?? Number.NaN;
    const known = air_ms + (heading_deg[i] ?? Number.NaN) + (north_ms[i - first] ?? Number.NaN);
    if (!Number.isNaN(known) && air_ms >= FORWARD_MS && (groundSpeed_ms[i] ?? Number.NaN) >= FORWARD_MS) rows.push(i);
  }
  return rows;
}

/** Time that a row stands for: to the next one of its segment. */
function secondsOf(segments: readonly Segment[], time_s: Float64Array): (row: number) => number {
  const ends = new Set(segments.map(({ to }) => to - 1));
  return (row) => (ends.has(row) ? 0 : (time_s[row + 1] ?? Number.NaN) - (time_s[row] ?? Number.NaN));
}

type Vector = (row: number) => readonly [number, number];

function sumUp(
  rows: readonly number[],
  air: Vector,
  ground: Vector,
  seconds: (row: number) => number,
  { groundSpeed_ms }: Motion,
  airSpeed_ms: Float64Array,
): Sums {
  const mean = (of: (row: number) => number): number => rows.reduce((sum, row) => sum + of(row), 0) / rows.length;
  const meanAir = [mean((row) => air(row)[0]), mean((row) => air(row)[1])] as const;
  const meanGround = [mean((row) => ground(row)[0]), mean((row) => ground(row)[1])] as const;
  let airSquares = 0;
  let crossed = 0;
  for (const row of rows) {
    const [north, east] = air(row);
    const [groundNorth, groundEast] = ground(row);
    const [dn, de] = [north - meanAir[0], east - meanAir[1]];
    airSquares += dn * dn + de * de;
    crossed += dn * (groundNorth - meanGround[0]) + de * (groundEast - meanGround[1]);
  }
  return {
    count: rows.length,
    seconds: rows.reduce((sum, row) => sum + seconds(row), 0),
    air: meanAir,
    ground: meanGround,
    airSquares,
    crossed,
    airMeanSquare: mean((row) => (airSpeed_ms[row] ?? Number.NaN) ** 2),
    copyMeanSquare: mean((row) => ((airSpeed_ms[row] ?? Number.NaN) - (groundSpeed_ms[row] ?? Number.NaN)) ** 2),
  };
}

/** What the fit leaves over: of single rows, and of the means of a minute, m/s. */
function leftOver(
  rows: readonly number[],
  air: Vector,
  ground: Vector,
  fit: { readonly scale: number; readonly north: number; readonly east: number },
  time_s: Float64Array,
): { rms_ms: number; blocks_ms: number } {
  let squares = 0;
  const blocks = new Map<number, { north: number; east: number; count: number }>();
  for (const row of rows) {
    const north = ground(row)[0] - fit.scale * air(row)[0] - fit.north;
    const east = ground(row)[1] - fit.scale * air(row)[1] - fit.east;
    squares += north * north + east * east;
    const key = Math.floor((time_s[row] ?? 0) / BLOCK_S);
    const block = blocks.get(key) ?? { north: 0, east: 0, count: 0 };
    blocks.set(key, { north: block.north + north, east: block.east + east, count: block.count + 1 });
  }
  const means = [...blocks.values()].map(({ north, east, count }) => ({
    count,
    square: (north ** 2 + east ** 2) / count ** 2,
  }));
  const ofBlocks = means.reduce((sum, { count, square }) => sum + count * square, 0) / rows.length;
  return { rms_ms: Math.sqrt(squares / rows.length), blocks_ms: Math.sqrt(ofBlocks / 2) };
}

function heightOf(
  rows: readonly number[],
  { takeoffAltitude_m }: { readonly takeoffAltitude_m: number | undefined },
  { anyHeight_m, heightIsAboveTakeoff }: Motion,
): number {
  if (anyHeight_m === undefined) return Number.NaN;
  const at_m = median(rows.map((row) => anyHeight_m[row] ?? Number.NaN));
  return heightIsAboveTakeoff ? at_m : at_m - (takeoffAltitude_m ?? Number.NaN);
}
