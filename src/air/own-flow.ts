import { radians } from "../num/bearing.js";
import { sampleCorrelation } from "simple-statistics";
import type { Motion } from "../track/motion.js";
import type { Track } from "../track/track.js";
import type { GroundVelocity } from "./ground-velocity.js";

/** Fewer readings than this tell nothing (project defaults, as all limits here). */
const LEAST_ROWS = 30;
/** An aircraft that has not moved about cannot show whether the reading moves with it: variance of its velocity, (m/s)². */
const LEAST_VARIANCE = 4;
/** Adding the aircraft's own velocity to flow past it leaves the wind, which varies far less: this share or less. */
const LEFT_SHARE = 0.5;
/** A reading that follows the aircraft's speed: correlated this well, growing at least this much with it … */
const FOLLOWS = 0.9;
const FOLLOWS_SLOPE = 0.5;
/** … and no more than this at a hover. */
const AT_HOVER_MS = 1;

/**
 * Whether columns called wind hold the air flow past the aircraft instead, which is its own speed as much as the wind.
 *
 * Two tests. As vectors, the direction true or from the nose: flow is wind less own velocity, so reading and velocity
 * added vary much less than the reading alone. As speeds: the reading follows the aircraft's speed and is near zero at
 * a hover. A wind does neither, whatever the flight.
 * @returns why the columns are not wind; undefined where nothing speaks against them
 */
export function ownFlowReason(
  track: Track,
  flight: { readonly first: number; readonly last: number },
  motion: Motion,
  velocity: GroundVelocity,
): string | undefined {
  const { windSpeed_ms, windFrom_deg, heading_deg, airSpeed_ms } = track.columns;
  if (windSpeed_ms === undefined || windFrom_deg === undefined) return undefined;
  const headings = [undefined, ...(heading_deg === undefined ? [] : [heading_deg])];
  for (const nose_deg of headings) {
    const left = leftShare(flight, { windSpeed_ms, windFrom_deg, nose_deg }, velocity);
    if (left < LEFT_SHARE) {
      return `the reading turns and grows with the aircraft's own velocity (taking that out leaves ${(100 * left).toFixed(0)} % of its variation)`;
    }
  }
  for (const [name, speed_ms] of [
    ["ground", motion.groundSpeed_ms],
    ["air", airSpeed_ms],
  ] as const) {
    if (speed_ms === undefined) continue;
    const r = followsSpeed(flight, windSpeed_ms, speed_ms);
    if (r !== undefined)
      return `the reading follows the ${name} speed (correlation ${r.toFixed(2)}) and is near zero at a hover`;
  }
  return undefined;
}

/** Variance of reading + velocity ÷ variance of the reading; infinite where that cannot be told. */
function leftShare(
  { first, last }: { readonly first: number; readonly last: number },
  reading: {
    readonly windSpeed_ms: Float64Array;
    readonly windFrom_deg: Float64Array;
    readonly nose_deg: Float64Array | undefined;
  },
  velocity: GroundVelocity,
): number {
  const read = new Spread();
  const own = new Spread();
  const both = new Spread();
  for (let i = first; i <= last; i += 1) {
    const speed_ms = reading.windSpeed_ms[i] ?? Number.NaN;
    const nose = reading.nose_deg === undefined ? 0 : (reading.nose_deg[i] ?? Number.NaN);
    const from = speed_ms === 0 ? 0 : radians((reading.windFrom_deg[i] ?? Number.NaN) + nose);
    const north = -speed_ms * Math.cos(from);
    const east = -speed_ms * Math.sin(from);
    const ownNorth = velocity.north_ms[i - first] ?? Number.NaN;
    const ownEast = velocity.east_ms[i - first] ?? Number.NaN;
    if (Number.isNaN(north + east + ownNorth + ownEast)) continue;
    read.add(north, east);
    own.add(ownNorth, ownEast);
    both.add(north + ownNorth, east + ownEast);
  }
  if (read.count < LEAST_ROWS || own.variance < LEAST_VARIANCE || read.variance === 0) return Number.POSITIVE_INFINITY;
  return both.variance / read.variance;
}

/** The correlation, where the reading goes with the speed as flow past the aircraft does; else undefined. */
function followsSpeed(
  { first, last }: { readonly first: number; readonly last: number },
  reading: Float64Array,
  speed_ms: Float64Array,
): number | undefined {
  const speeds: number[] = [];
  const readings: number[] = [];
  const own = new Spread();
  for (let i = first; i <= last; i += 1) {
    const speed = speed_ms[i] ?? Number.NaN;
    const read = reading[i] ?? Number.NaN;
    if (Number.isNaN(speed + read)) continue;
    speeds.push(speed);
    readings.push(read);
    own.add(speed, read);
  }
  if (own.count < LEAST_ROWS || own.variances[0] < LEAST_VARIANCE || own.variances[1] === 0) return undefined;
  const r = sampleCorrelation(speeds, readings);
  const slope = r * Math.sqrt(own.variances[1] / own.variances[0]);
  const atHover_ms = own.means[1] - slope * own.means[0];
  return r >= FOLLOWS && slope >= FOLLOWS_SLOPE && Math.abs(atHover_ms) <= AT_HOVER_MS ? r : undefined;
}

/** Means and variances of pairs as they come. Source: B. P. Welford, Technometrics 4(3), 1962 (from memory). */
class Spread {
  count = 0;
  readonly means: [number, number] = [0, 0];
  private readonly sums: [number, number] = [0, 0];

  add(x: number, y: number): void {
    this.count += 1;
    const dx = x - this.means[0];
    const dy = y - this.means[1];
    this.means[0] += dx / this.count;
    this.means[1] += dy / this.count;
    this.sums[0] += dx * (x - this.means[0]);
    this.sums[1] += dy * (y - this.means[1]);
  }

  get variances(): readonly [number, number] {
    return [this.sums[0] / this.count, this.sums[1] / this.count];
  }

  /** Of both parts together. */
  get variance(): number {
    return this.variances[0] + this.variances[1];
  }
}
