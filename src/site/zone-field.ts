import { at } from "./at.js";
import { type Column, type ColumnMet, meet } from "./column.js";
import { type Footprint, footprintsOf, FootprintReach, turnTo } from "./footprint.js";
import { FootprintIndex, NearFootprints } from "./footprint-index.js";
import type { KeepOutMet } from "./keep-out-met.js";
import { LegFrame } from "./leg-frame.js";
import { type Clip, clipToRoundedBox } from "./rounded-box.js";
import { type Zone, ZONE_BITS } from "./zones.js";

/** One part of a zone. */
interface ZoneItem extends Footprint {
  readonly zone: number;
}

/** Shorter stretches inside are the rounding of one that begins on the edge. */
const LEAST_INSIDE_M = 1e-6;

/** Zones, to be asked what is over a spot and what is on a way. */
export class ZoneField {
  /** Without any, every way keeps out, however long it is. */
  readonly hasKeepOuts: boolean;
  readonly #zones: readonly Zone[];
  // Legs, climbs and spots are asked for by turns: each holds its own surroundings.
  readonly #nearLeg: NearFootprints<ZoneItem>;
  readonly #nearClimb: NearFootprints<ZoneItem>;
  readonly #nearSpot: NearFootprints<ZoneItem>;
  // Reused, so that a question allocates nothing.
  readonly #reach = new FootprintReach();
  readonly #edge = new LegFrame();
  readonly #clip: Clip = { start: 0.5, end: 0.5 };
  /** Where the centre line goes into a zone, and where out again, m from its start. */
  readonly #ins_m: number[] = [];
  readonly #outs_m: number[] = [];
  readonly #crossings_m: number[] = [];

  constructor(zones: readonly Zone[]) {
    this.hasKeepOuts = zones.some(({ kind }) => kind === "keep-out");
    this.#zones = zones;
    const index = new FootprintIndex(
      zones.flatMap(({ shapes }, zone) =>
        footprintsOf(shapes).map(({ kind, rings, radius_m, longitude_deg }) => ({
          kind,
          rings,
          radius_m,
          longitude_deg,
          zone,
        })),
      ),
    );
    this.#nearLeg = new NearFootprints(index);
    this.#nearClimb = new NearFootprints(index);
    this.#nearSpot = new NearFootprints(index);
  }

  /**
   * @param frame at a spot, without length
   * @returns the sum of `ZONE_BITS` of the zones there, edges included
   */
  kindsAt(frame: LegFrame): number {
    const near = this.#nearSpot;
    near.search(frame, 0);
    let bits = 0;
    for (let n = 0; n < near.count; n += 1) {
      const item = near.found[n];
      if (item === undefined) continue;
      const bit = this.#bitOf(item);
      if ((bits & bit) === 0 && this.#reach.reaches(item, frame, turnTo(frame, item), 0)) bits |= bit;
    }
    return bits;
  }

  /** @returns the number of the first zone of some kinds at a spot; -1 for none */
  zoneAt(frame: LegFrame, bits: number): number {
    const near = this.#nearSpot;
    near.search(frame, 0);
    for (let n = 0; n < near.count; n += 1) {
      const item = near.found[n];
      if (item === undefined) continue;
      if ((this.#bitOf(item) & bits) !== 0 && this.#reach.reaches(item, frame, turnTo(frame, item), 0))
        return item.zone;
    }
    return -1;
  }

  /** Lowers `out` by the covers that a climb would meet; at its underside and above the aircraft is over a cover. */
  column(frame: LegFrame, { from_m, to_m, ground_m, radius_m }: Column, out: ColumnMet): void {
    const near = this.#nearClimb;
    near.search(frame, radius_m);
    for (let n = 0; n < near.count; n += 1) {
      const item = near.found[n];
      if (item === undefined) continue;
      const { kind, underside_m } = this.#zones[item.zone] ?? {};
      if (kind !== "cover" || underside_m === undefined) continue;
      const turn_deg = turnTo(frame, item);
      if (!this.#reach.reaches(item, frame, turn_deg, 0, radius_m)) continue;
      const up_m = ground_m + underside_m - from_m;
      if (Number.isNaN(up_m + to_m)) out.isWhole = false;
      if (!(up_m > 0 && from_m + up_m < to_m)) continue;
      meet(out, -2 - item.zone, up_m, this.#reach.reaches(item, frame, turn_deg, 0), false);
    }
  }

  /**
   * Adds what a piece of a leg has to do with keep-out zones.
   * @param out true in `isStillInside` before the first piece: the first stretch of a leg that begins inside is not entered
   */
  keepOut(frame: LegFrame, corridor_m: number, out: KeepOutMet): void {
    const near = this.#nearLeg;
    near.search(frame, corridor_m);
    this.#ins_m.length = 0;
    this.#outs_m.length = 0;
    for (let n = 0; n < near.count; n += 1) {
      const item = near.found[n];
      if (item === undefined || this.#bitOf(item) !== ZONE_BITS["keep-out"]) continue;
      const turn_deg = turnTo(frame, item);
      if (!this.#reach.reaches(item, frame, turn_deg, corridor_m)) continue;
      if (!out.isTouched) out.zone = item.zone;
      out.isTouched = true;
      const before = this.#ins_m.length;
      if (item.kind === "polygon") this.#crossPolygon(item, frame, turn_deg);
      if (item.radius_m > 0) this.#crossEdges(item, frame, turn_deg);
      if (this.#ins_m.length > before && out.inside_m === 0) out.zone = item.zone;
    }
    this.#addUnion(frame.length_m, out);
  }

  #bitOf({ zone }: ZoneItem): number {
    const kind = this.#zones[zone]?.kind;
    return kind === undefined ? 0 : ZONE_BITS[kind];
  }

  /** The centre line is inside where it has crossed an odd number of edges. */
  #crossPolygon({ rings }: ZoneItem, frame: LegFrame, turn_deg: number): void {
    const crossings = this.#crossings_m;
    crossings.length = 0;
    for (const ring of rings) {
      for (let k = 0; k + 3 < ring.length; k += 2) {
        const across1 = frame.across_m(at(ring, k) + turn_deg, at(ring, k + 1));
        const across2 = frame.across_m(at(ring, k + 2) + turn_deg, at(ring, k + 3));
        if (across1 > 0 === across2 > 0) continue;
        const along1 = frame.along_m(at(ring, k) + turn_deg, at(ring, k + 1));
        const along2 = frame.along_m(at(ring, k + 2) + turn_deg, at(ring, k + 3));
        crossings.push(along1 - (across1 / (across2 - across1)) * (along2 - along1));
      }
    }
    crossings.sort(rising);
    for (let k = 0; k + 1 < crossings.length; k += 2) {
      this.#take(crossings[k] ?? 0, crossings[k + 1] ?? 0, frame.length_m);
    }
  }

  /** Within the radius of an edge: the leg clipped to the edge's rounded box. */
  #crossEdges({ rings, radius_m }: ZoneItem, frame: LegFrame, turn_deg: number): void {
    const { length_m } = frame;
    const edge = this.#edge;
    const east_deg = frame.longitude_deg + frame.eastward_deg;
    const north_deg = frame.latitude_deg + frame.northward_deg;
    for (const ring of rings) {
      for (let k = 0; k === 0 || k + 3 < ring.length; k += 2) {
        const end = Math.min(k + 2, ring.length - 2);
        edge.setLike(frame, at(ring, k) + turn_deg, at(ring, k + 1), at(ring, end) + turn_deg, at(ring, end + 1));
        const along1 = edge.along_m(frame.longitude_deg, frame.latitude_deg);
        const across1 = edge.across_m(frame.longitude_deg, frame.latitude_deg);
        const along2 = edge.along_m(east_deg, north_deg);
        const across2 = edge.across_m(east_deg, north_deg);
        if (clipToRoundedBox(along1, across1, along2, across2, edge.length_m, 0, radius_m, this.#clip)) {
          this.#take(this.#clip.start * length_m, this.#clip.end * length_m, length_m);
        }
      }
    }
  }

  #take(from_m: number, to_m: number, length_m: number): void {
    const start_m = Math.max(0, from_m);
    const end_m = Math.min(length_m, to_m);
    if (end_m - start_m <= LEAST_INSIDE_M) return;
    this.#ins_m.push(start_m);
    this.#outs_m.push(end_m);
  }

  /** Sorted apart, the n-th way in still goes with the n-th way out as far as the union is concerned. */
  #addUnion(length_m: number, out: KeepOutMet): void {
    const isFirst = out.isStillInside;
    out.isStillInside = false;
    const ins = this.#ins_m.sort(rising);
    const outs = this.#outs_m.sort(rising);
    for (let k = 0; k < ins.length;) {
      const start_m = ins[k] ?? 0;
      let end_m = outs[k] ?? 0;
      k += 1;
      while (k < ins.length && (ins[k] ?? 0) <= end_m + LEAST_INSIDE_M) {
        end_m = outs[k] ?? 0;
        k += 1;
      }
      out.inside_m += end_m - start_m;
      if (!isFirst || start_m > LEAST_INSIDE_M) out.entered_m += end_m - start_m;
      else if (end_m >= length_m - LEAST_INSIDE_M) out.isStillInside = true;
    }
  }
}

function rising(a: number, b: number): number {
  return a - b;
}
