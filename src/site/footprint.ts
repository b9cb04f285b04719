import { metresPerDegreeEast, metresPerDegreeNorth } from "../num/metres-per-degree.js";
import { at } from "./at.js";
import type { LegFrame } from "./leg-frame.js";
import { type Clip, clipToRoundedBox } from "./rounded-box.js";

/** Footprints that miss by less are touched: what rounding can hide, on the safe side. */
const TOUCH_M = 1e-6;

/** What something covers of the ground: a point, one segment of a line, or a polygon, with its radius. */
export interface Footprint {
  readonly kind: "point" | "line" | "polygon";
  /** Longitude and latitude by turns; a segment is one ring of two positions. */
  readonly rings: readonly Float64Array[];
  /** How far it reaches beyond what is drawn. */
  readonly radius_m: number;
  /** Longitude of the first position, to find the side of ±180 by. */
  readonly longitude_deg: number;
}

/** @returns one footprint for each point and polygon, and one for each segment of a line */
export function footprintsOf(
  shapes: readonly { kind: Footprint["kind"]; rings: readonly Float64Array[]; radius_m: number }[],
): Footprint[] {
  return shapes.flatMap(({ kind, rings, radius_m }) =>
    (kind === "line" ? segmentsOf(rings) : [rings]).map((parts) => {
      return { kind, rings: parts, radius_m, longitude_deg: parts[0]?.[0] ?? Number.NaN };
    }),
  );
}

/** @returns how many degrees to turn a footprint by, so that it is on the frame's side of ±180 */
export function turnTo(frame: LegFrame, { longitude_deg }: Footprint): number {
  return 360 * Math.round((frame.longitude_deg - longitude_deg) / 360);
}

/** Asks whether a footprint meets what is around a leg; keeps where, so that nothing is allocated. */
export class FootprintReach {
  /** Of a segment: which part of it was reached. */
  readonly clip: Clip = { start: 0.5, end: 0.5 };
  /** Where it was reached, in the frame. */
  along_m = 0.5;
  across_m = 0.5;

  /**
   * @param pad_m half-width of the leg's rectangle, and how far it reaches beyond both ends; 0: its centre line
   * @param reach_m how near to the rectangle counts: with a leg of no length and no pad, the radius of a disc
   */
  reaches(
    { kind, rings, radius_m }: Footprint,
    frame: LegFrame,
    turn_deg: number,
    pad_m: number,
    reach_m = 0,
  ): boolean {
    const wide_m = radius_m + reach_m + TOUCH_M;
    if (kind === "point") return this.#reachesPoint(rings[0], frame, turn_deg, pad_m, wide_m);
    const { length_m } = frame;
    const middle_m = length_m / 2;
    const beside_m = pad_m + wide_m;
    let isInside = false;
    for (const ring of rings) {
      let along1 = frame.along_m(at(ring, 0) + turn_deg, at(ring, 1));
      let across1 = frame.across_m(at(ring, 0) + turn_deg, at(ring, 1));
      for (let k = 2; k < ring.length; k += 2) {
        const along2 = frame.along_m(at(ring, k) + turn_deg, at(ring, k + 1));
        const across2 = frame.across_m(at(ring, k) + turn_deg, at(ring, k + 1));
        const isFar =
          (across1 > beside_m && across2 > beside_m) ||
          (across1 < -beside_m && across2 < -beside_m) ||
          (along1 < -beside_m && along2 < -beside_m) ||
          (along1 > length_m + beside_m && along2 > length_m + beside_m);
        if (!isFar && clipToRoundedBox(along1, across1, along2, across2, length_m, pad_m, wide_m, this.clip)) {
          this.along_m = along1 + (along2 - along1) * this.clip.start;
          this.across_m = across1 + (across2 - across1) * this.clip.start;
          return true;
        }
        if (across1 > 0 !== across2 > 0) {
          const crossing_m = along1 - (across1 / (across2 - across1)) * (along2 - along1);
          if (crossing_m > middle_m) isInside = !isInside;
        }
        along1 = along2;
        across1 = across2;
      }
    }
    // No edge meets the rectangle: it is all inside, or all outside.
    this.along_m = middle_m;
    this.across_m = 0;
    return kind === "polygon" && isInside;
  }

  /** As for a segment without length, in a fraction of the time: most of what stands about is points. */
  #reachesPoint(
    position: Float64Array | undefined,
    frame: LegFrame,
    turn_deg: number,
    pad_m: number,
    wide_m: number,
  ): boolean {
    if (position === undefined) return false;
    const along_m = frame.along_m(at(position, 0) + turn_deg, at(position, 1));
    const across_m = frame.across_m(at(position, 0) + turn_deg, at(position, 1));
    const ahead_m = Math.max(0, -pad_m - along_m, along_m - frame.length_m - pad_m);
    const beside_m = Math.max(0, Math.abs(across_m) - pad_m);
    this.along_m = along_m;
    this.across_m = across_m;
    this.clip.start = 0;
    this.clip.end = 1;
    return ahead_m * ahead_m + beside_m * beside_m <= wide_m * wide_m;
  }
}

/** @returns the box of a footprint: west, south, east, north; west in [-180, 180) */
export function boxOf({
  rings,
  radius_m,
}: Pick<Footprint, "rings" | "radius_m">): [west: number, south: number, east: number, north: number] {
  let [west, south, east, north] = [
    Number.POSITIVE_INFINITY,
    Number.POSITIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
  ];
  for (const ring of rings) {
    for (let k = 0; k + 1 < ring.length; k += 2) {
      west = Math.min(west, at(ring, k));
      east = Math.max(east, at(ring, k));
      south = Math.min(south, at(ring, k + 1));
      north = Math.max(north, at(ring, k + 1));
    }
  }
  // A box may be too wide by a little, never too narrow.
  const wide_m = radius_m * 1.01 + 0.01;
  const dLat = wide_m / metresPerDegreeNorth(0);
  const farthest_deg = Math.min(89.9999, Math.max(Math.abs(south), Math.abs(north)) + dLat);
  const dLon = wide_m / metresPerDegreeEast(farthest_deg);
  const turn_deg = 360 * Math.floor((west - dLon + 180) / 360);
  return [west - dLon - turn_deg, south - dLat, east + dLon - turn_deg, north + dLat];
}

function segmentsOf(rings: readonly Float64Array[]): Float64Array[][] {
  return rings.flatMap((ring) => {
    const segments: Float64Array[][] = [];
    for (let k = 0; k + 3 < ring.length; k += 2) segments.push([ring.slice(k, k + 4)]);
    return segments;
  });
}
