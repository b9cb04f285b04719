import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { boxOf, type Footprint, footprintsOf } from "../../src/site/footprint.js";
import { FootprintIndex, NearFootprints } from "../../src/site/footprint-index.js";
import { LegFrame } from "../../src/site/leg-frame.js";

interface Numbered extends Footprint {
  readonly number: number;
}

const around = (middle: number, most: number): fc.Arbitrary<number> =>
  fc.double({ min: middle - most, max: middle + most, noNaN: true });

/** Masts of some radius, up to 3 km from the middle, on either side of ±180. */
const masts = (longitude_deg: number): fc.Arbitrary<Numbered[]> =>
  fc
    .array(fc.tuple(around(longitude_deg, 0.03), around(10, 0.03), fc.double({ min: 0, max: 200, noNaN: true })), {
      maxLength: 40,
    })
    .map((spots) =>
      footprintsOf(
        spots.map(([lon, lat, radius_m]) => {
          const wrapped = lon >= 180 ? lon - 360 : lon;
          return { kind: "point", rings: [Float64Array.of(wrapped, lat)], radius_m };
        }),
      ).map((footprint, number) => ({ ...footprint, number })),
    );

/** Legs, each beginning where the aircraft was led from the one before. */
const legs = (longitude_deg: number): fc.Arbitrary<[LegFrame, number][]> =>
  fc
    .array(fc.tuple(around(0, 0.001), around(0, 0.001), fc.double({ min: 0, max: 40, noNaN: true })), {
      minLength: 1,
      maxLength: 60,
    })
    .map((steps) => {
      let [lon, lat] = [longitude_deg, 10];
      return steps.map(([east_deg, north_deg, corridor_m]) => {
        lon += east_deg;
        lat += north_deg;
        const frame = new LegFrame();
        frame.set(lat, lon >= 180 ? lon - 360 : lon, 10, longitude_deg);
        return [frame, corridor_m];
      });
    });

/** Numbers of those whose boxes meet that of a leg, on any side of ±180: what the index is to find. */
function bySearchingAll(items: readonly Numbered[], frame: LegFrame, corridor_m: number): number[] {
  const east_m = (Math.abs(frame.eastward_deg) * frame.perEast_m) / 2 + corridor_m * spread(frame);
  const north_m = (Math.abs(frame.northward_deg) * frame.perNorth_m) / 2 + corridor_m * spread(frame);
  const lon = frame.longitude_deg + frame.eastward_deg / 2;
  const lat = frame.latitude_deg + frame.northward_deg / 2;
  return items
    .filter((item) => {
      const [west, south, east, north] = boxOf(item);
      return (
        [-360, 0, 360].some(
          (turn) =>
            west <= lon + turn + east_m / frame.perEast_m + 1e-12 &&
            east >= lon + turn - east_m / frame.perEast_m - 1e-12,
        ) &&
        south <= lat + north_m / frame.perNorth_m + 1e-12 &&
        north >= lat - north_m / frame.perNorth_m - 1e-12
      );
    })
    .map(({ number }) => number);
}

/** A leg's rectangle reaches as far beyond its box as its corners do. */
function spread({ east, north }: LegFrame): number {
  return Math.abs(east) + Math.abs(north);
}

function found({ found: items, count }: NearFootprints<Numbered>): number[] {
  return items.slice(0, count).map(({ number }) => number);
}

describe("what may be near a leg", () => {
  test.each([8, 179.995, -180])("is found whatever was asked before, at longitude %d", (longitude_deg) => {
    fc.assert(
      fc.property(masts(longitude_deg), legs(longitude_deg), (items, asked) => {
        const index = new FootprintIndex(items);
        const near = new NearFootprints(index);
        for (const [frame, corridor_m] of asked) {
          near.search(frame, corridor_m);
          expect(found(near)).toEqual(bySearchingAll(items, frame, corridor_m));
          const fresh = new NearFootprints(index);
          fresh.search(frame, corridor_m);
          expect(found(fresh)).toEqual(found(near));
        }
      }),
      { numRuns: 60 },
    );
  });

  test("is nothing where there is nothing", () => {
    const near = new NearFootprints<Numbered>(new FootprintIndex([]));
    const frame = new LegFrame();
    frame.set(10, 8, 10.001, 8);
    near.search(frame, 8);
    expect(near.count).toBe(0);
  });
});
