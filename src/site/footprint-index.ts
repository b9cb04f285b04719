import Flatbush from "flatbush";
import { at } from "./at.js";
import { boxOf, type Footprint } from "./footprint.js";
import type { LegFrame } from "./leg-frame.js";

/** How far round a question the index is asked, so that the next ones, of moments nearby, need not ask it again. */
const AROUND_M = 50;

/** Footprints in an R-tree. */
export class FootprintIndex<Item extends Footprint> {
  readonly #items: readonly Item[];
  readonly #boxes: readonly (readonly [west: number, south: number, east: number, north: number])[];
  readonly #index: Flatbush | undefined;

  constructor(items: readonly Item[]) {
    this.#items = items;
    this.#boxes = items.map(boxOf);
    if (items.length === 0) return;
    this.#index = new Flatbush(items.length);
    for (const box of this.#boxes) this.#index.add(...box);
    this.#index.finish();
  }

  get isEmpty(): boolean {
    return this.#index === undefined;
  }

  /**
   * @returns the items whose boxes meet a box, in their own order; and by fours their boxes, turned to it: one that goes
   *   round the earth may be there twice
   */
  within(west: number, south: number, east: number, north: number): { items: Item[]; boxes: Float64Array } {
    const index = this.#index;
    const items: Item[] = [];
    const boxes: number[] = [];
    for (let turn_deg = -360; turn_deg <= 360; turn_deg += 360) {
      for (const number of index?.search(west + turn_deg, south, east + turn_deg, north).sort(rising) ?? []) {
        const item = this.#items[number];
        const box = this.#boxes[number];
        if (item === undefined || box === undefined) continue;
        items.push(item);
        boxes.push(box[0] - turn_deg, box[1], box[2] - turn_deg, box[3]);
      }
    }
    return { items, boxes: Float64Array.from(boxes) };
  }
}

/** Asks an index which footprints may be near a leg, moment after moment; holds what it was told of their surroundings. */
export class NearFootprints<Item extends Footprint> {
  /** The answer is the first `count` of them. */
  readonly found: Item[] = [];
  count = 0;
  readonly #index: FootprintIndex<Item>;
  // What is held: the box that was asked for, and what it holds.
  #west = 0.5;
  #south = 0.5;
  #east = -0.5;
  #north = -0.5;
  #items: readonly Item[] = [];
  #boxes: Float64Array = new Float64Array(0);

  constructor(index: FootprintIndex<Item>) {
    this.#index = index;
  }

  /** Finds those whose box is within `corridor_m` of the frame's leg. */
  search(frame: LegFrame, corridor_m: number): void {
    if (this.#index.isEmpty) return;
    const half_m = frame.length_m / 2;
    const lon = frame.longitudeAt(half_m, 0);
    const lat = frame.latitudeAt(half_m, 0);
    const reach_m = half_m + corridor_m;
    const dLon = (Math.abs(frame.east) * reach_m + Math.abs(frame.north) * corridor_m) / frame.perEast_m;
    const dLat = (Math.abs(frame.north) * reach_m + Math.abs(frame.east) * corridor_m) / frame.perNorth_m;
    const west = lon - dLon;
    const south = lat - dLat;
    const east = lon + dLon;
    const north = lat + dLat;
    if (!(west >= this.#west && south >= this.#south && east <= this.#east && north <= this.#north)) {
      this.#hold(west, south, east, north, AROUND_M / frame.perEast_m, AROUND_M / frame.perNorth_m);
    }
    let count = 0;
    const boxes = this.#boxes;
    for (let n = 0; n < this.#items.length; n += 1) {
      const item = this.#items[n];
      if (item === undefined || west > at(boxes, 4 * n + 2) || east < at(boxes, 4 * n)) continue;
      if (south > at(boxes, 4 * n + 3) || north < at(boxes, 4 * n + 1)) continue;
      this.found[count] = item;
      count += 1;
    }
    this.count = count;
  }

  #hold(west: number, south: number, east: number, north: number, aroundEast: number, aroundNorth: number): void {
    this.#west = west - aroundEast;
    this.#south = south - aroundNorth;
    this.#east = east + aroundEast;
    this.#north = north + aroundNorth;
    const { items, boxes } = this.#index.within(this.#west, this.#south, this.#east, this.#north);
    this.#items = items;
    this.#boxes = boxes;
  }
}

function rising(a: number, b: number): number {
  return a - b;
}
