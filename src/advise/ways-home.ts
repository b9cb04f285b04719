import { pointAlong } from "../num/geodesic.js";
import type { Replay } from "../recovery/replay.js";
import type { AdvicePlace, AdvicePosition } from "./advice.js";

/** A flight with the log that it is from. */
export interface SourcedReplay {
  readonly log: string;
  readonly replay: Replay;
}

/** A way home to be asked about: from where the aircraft was at a moment, or from a spot on the declared circle. */
export interface WayHome extends SourcedReplay {
  /** The moment whose recovery point, ground and heights count. */
  readonly k: number;
  /** Undefined: from where the aircraft was. */
  readonly from: AdvicePosition | undefined;
}

/** A circle wants this many ways home at most. */
const RAYS_MOST = 10_000;
const RAYS_LEAST = 8;

/** @returns the last moment of a flight at which its recovery point is known; undefined where none is */
export function lastWithPoint({ inputs, moments, length }: Replay): number | undefined {
  for (let k = length - 1; k >= 0; k -= 1) {
    const isKnown = !Number.isNaN(inputs.point.latitude_deg[k] ?? Number.NaN);
    if (isKnown && !Number.isNaN(moments.latitude_deg[k] ?? Number.NaN)) return k;
  }
  return undefined;
}

/** Ways home from everywhere a flight went, those at hand left out, which fly nowhere. */
export function* waysFlown(flight: SourcedReplay): Generator<WayHome> {
  const { moments, length } = flight.replay;
  for (let k = 0; k < length; k += 1) if (moments.atHand[k] === 0) yield { ...flight, k, from: undefined };
}

/**
 * Ways home from a circle, so near to each other that their corridors leave no spot of the disc out. They begin a little
 * outside it, so that the corners of every corridor from inside are seen too: the safe side, by less than a corridor.
 */
export function* waysFromCircle(flight: SourcedReplay, k: number, radius_m: number): Generator<WayHome> {
  const { inputs, setting } = flight.replay;
  const { corridor } = setting.policy;
  const reach_m = Math.hypot(radius_m + corridor, corridor) - corridor;
  const wanted = corridor > 0 ? Math.ceil((Math.PI * (reach_m + corridor)) / corridor) : RAYS_MOST;
  const count = Math.min(RAYS_MOST, Math.max(RAYS_LEAST, wanted));
  const latitude_deg = inputs.point.latitude_deg[k] ?? Number.NaN;
  const longitude_deg = inputs.point.longitude_deg[k] ?? Number.NaN;
  for (let i = 0; i < count; i += 1) {
    yield { ...flight, k, from: pointAlong(latitude_deg, longitude_deg, (360 * i) / count, reach_m) };
  }
}

/** @returns where a way home begins, for people */
export function placeOf({ log, replay, k, from }: WayHome): AdvicePlace {
  const at = (column: Float64Array): number => column[k] ?? Number.NaN;
  if (from !== undefined) return { ...from, log: null, flight: null, at_s: null };
  const { latitude_deg, longitude_deg, at_s } = replay.moments;
  return {
    latitude_deg: at(latitude_deg),
    longitude_deg: at(longitude_deg),
    log,
    flight: replay.flight.index,
    at_s: at(at_s),
  };
}
