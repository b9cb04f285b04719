import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { gridOf, onGrid, onPlain, spot } from "./site-helpers.js";

/** A box from one corner to the other, m east and north of the grid's first node. */
function boxOf([x1, y1]: readonly [number, number], [x2, y2]: readonly [number, number]) {
  const [from, to] = [spot(x1, y1), spot(x2, y2)];
  return {
    west_deg: from.longitude_deg,
    south_deg: from.latitude_deg,
    east_deg: to.longitude_deg,
    north_deg: to.latitude_deg,
  };
}

const valley = [
  [9, 9, 9, 9, 9],
  [9, 9, 3, 9, 9],
  [9, 9, 9, 9, 1],
  [9, 9, 9, 9, 9],
];

describe("the lowest ground in a box", () => {
  it("is the lowest node inside, or what its edges cut off", () => {
    const site = onGrid(gridOf(valley, 10));
    expect(site.lowestWithin(boxOf([5, 5], [35, 25]))).toBeCloseTo(3, 9);
    expect(site.lowestWithin(boxOf([5, 5], [40, 25]))).toBeCloseTo(1, 6);
    expect(site.lowestWithin(boxOf([0, 0], [5, 5]))).toBeCloseTo(9, 9);
  });

  it("is not known where the box leaves the grid, or holds a void", () => {
    const site = onGrid(gridOf(valley, 10));
    expect(site.lowestWithin(boxOf([5, 5], [45, 25]))).toBeNaN();
    const holed = onGrid(
      gridOf(
        [
          [0, 0, 0, 0],
          [0, Number.NaN, 0, 0],
          [0, 0, 0, 0],
          [0, 0, 0, 0],
        ],
        10,
      ),
    );
    expect(holed.lowestWithin(boxOf([5, 5], [25, 25]))).toBeNaN();
    expect(holed.lowestWithin(boxOf([21, 5], [29, 29]))).toBe(0);
  });

  it("is 0 on a plain by declaration", () => {
    expect(Object.is(onPlain(undefined).lowestWithin(boxOf([0, 0], [5000, 5000])), 0)).toBe(true);
  });

  it("is under every way through the box", () => {
    const heights = fc.array(fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 7, maxLength: 7 }), {
      minLength: 7,
      maxLength: 7,
    });
    const place = fc.tuple(fc.double({ min: 1, max: 59, noNaN: true }), fc.double({ min: 1, max: 59, noNaN: true }));
    fc.assert(
      fc.property(heights, place, place, (rows, a, b) => {
        const site = onGrid(gridOf(rows, 10));
        const out = { ground_m: 0, latitude_deg: 0, longitude_deg: 0, seen_share: 0 };
        site.lowestGround({ from: spot(...a), to: spot(...b) }, out);
        const box = boxOf([Math.min(a[0], b[0]), Math.min(a[1], b[1])], [Math.max(a[0], b[0]), Math.max(a[1], b[1])]);
        expect(site.lowestWithin(box)).toBeLessThanOrEqual(out.ground_m + 1e-9);
      }),
    );
  });
});
