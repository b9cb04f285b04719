import { blankLeg } from "../site/blank-leg.js";
import type { Leg } from "../site/site.js";
import type { Replay } from "./replay.js";

/** Writes the way home of the k-th moment, seen from above. */
export function layWayHome({ moments, inputs }: Pick<Replay, "moments" | "inputs">, k: number, leg: Leg): void {
  leg.from.latitude_deg = moments.latitude_deg[k] ?? Number.NaN;
  leg.from.longitude_deg = moments.longitude_deg[k] ?? Number.NaN;
  leg.to.latitude_deg = inputs.point.latitude_deg[k] ?? Number.NaN;
  leg.to.longitude_deg = inputs.point.longitude_deg[k] ?? Number.NaN;
}

/** @returns the way home of the k-th moment, its height to be set */
export function wayHome(replay: Pick<Replay, "moments" | "inputs">, k: number, corridor_m: number): Leg {
  const leg = blankLeg(corridor_m);
  layWayHome(replay, k, leg);
  return leg;
}
