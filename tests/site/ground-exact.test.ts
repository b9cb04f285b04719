import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Grid } from "../../src/site/grid.js";
import { highestOfSamples, highestUnder, type OracleGrid, type OracleLeg } from "../oracles/site-brute-force.js";
import { blank, clearance, gridOf, onGrid } from "./site-helpers.js";

const oracleOf = (grid: Grid): OracleGrid => ({
  columns: grid.columns,
  rows: grid.rows,
  west: grid.west_deg,
  south: grid.south_deg,
  stepEast: grid.stepEast_deg,
  stepNorth: grid.stepNorth_deg,
  heights: grid.heights_m,
});

/** Highest ground on the centre line and in the corridor. */
function highest(grid: Grid, leg: OracleLeg, corridor_m: number): { centre: number; corridor: number; seen: number } {
  const [from, to] = [leg.from, leg.to].map(([longitude_deg, latitude_deg]) => ({ longitude_deg, latitude_deg }));
  if (from === undefined || to === undefined) throw new Error("a leg has two ends");
  const out = blank();
  onGrid(grid).legClearance({ from, to, path_m: 0, corridor_m }, out);
  return { centre: -out.centre_m, corridor: -out.corridor_m, seen: out.groundSeen_share };
}

const share = fc.double({ min: 0, max: 1, noNaN: true });

/** A grid of 10 m by 7 m cells; sizes on both sides of a block of 8. */
const anyGrid = fc
  .record({
    columns: fc.integer({ min: 2, max: 20 }),
    rows: fc.integer({ min: 2, max: 20 }),
    latitude: fc.integer({ min: -70, max: 70 }),
  })
  .chain(({ columns, rows, latitude }) =>
    fc
      .array(fc.oneof(fc.double({ min: -50, max: 50, noNaN: true }), fc.integer({ min: 0, max: 3 })), {
        minLength: columns * rows,
        maxLength: columns * rows,
      })
      .map((heights): Grid => ({
        columns,
        rows,
        west_deg: 8,
        south_deg: latitude,
        stepEast_deg: 9e-5 / Math.cos((latitude / 180) * Math.PI),
        stepNorth_deg: 6e-5,
        heights_m: Float64Array.from(heights),
      })),
  );

const at = (grid: Grid, u: number, v: number): [number, number] => [
  grid.west_deg + grid.stepEast_deg * (grid.columns - 1) * u,
  grid.south_deg + grid.stepNorth_deg * (grid.rows - 1) * v,
];

describe("highest ground against boxes cut in half until nothing can hide", () => {
  test("centre line: within 1 mm of the limit, never under it", () => {
    fc.assert(
      fc.property(anyGrid, share, share, share, share, (grid, u1, v1, u2, v2) => {
        const leg: OracleLeg = { from: at(grid, u1, v1), to: at(grid, u2, v2) };
        const limit = highestUnder(oracleOf(grid), leg, 0);
        const { centre } = highest(grid, leg, 0);
        expect(centre).toBeGreaterThanOrEqual(limit - 1e-6);
        expect(centre).toBeLessThanOrEqual(limit + 1e-3);
      }),
      { numRuns: 300 },
    );
  });

  test("corridor: within 1 mm of the limit, never under it", () => {
    const inner = fc.double({ min: 0.3, max: 0.7, noNaN: true });
    fc.assert(
      fc.property(anyGrid, inner, inner, inner, inner, share, (grid, u1, v1, u2, v2, wide) => {
        const leg: OracleLeg = { from: at(grid, u1, v1), to: at(grid, u2, v2) };
        // As wide as stays on the grid, with the corners of the rectangle.
        const reach = 0.2 * wide * Math.min(9.9 * (grid.columns - 1), 6.6 * (grid.rows - 1));
        const limit = highestUnder(oracleOf(grid), leg, reach);
        const { corridor, seen } = highest(grid, leg, reach);
        expect(seen).toBe(1);
        expect(corridor).toBeGreaterThanOrEqual(limit - 1e-6);
        expect(corridor).toBeLessThanOrEqual(limit + 1e-3);
      }),
      { numRuns: 100 },
    );
  });

  test("with voids and beyond the edges: never under what dense samples see", () => {
    // In thousandths: where a line that all but runs along the edge comes onto the grid is a matter of rounding.
    const wide = fc.integer({ min: -300, max: 1300 }).map((thousandths) => thousandths / 1000);
    const voids = fc.array(fc.nat({ max: 399 }), { maxLength: 12 });
    fc.assert(
      fc.property(anyGrid, voids, wide, wide, wide, wide, share, (whole, holes, u1, v1, u2, v2, reach) => {
        const heights_m = whole.heights_m.map((z, k) => (holes.includes(k) ? Number.NaN : z));
        const grid = { ...whole, heights_m };
        const leg: OracleLeg = { from: at(grid, u1, v1), to: at(grid, u2, v2) };
        const { centre, corridor, seen } = highest(grid, leg, reach * 30);
        expect(centre).toBeGreaterThanOrEqual(highestOfSamples(oracleOf(grid), leg, 0, 500) - 5e-4);
        expect(corridor).toBeGreaterThanOrEqual(highestOfSamples(oracleOf(grid), leg, reach * 30, 60) - 5e-4);
        expect(corridor).toBeGreaterThanOrEqual(centre);
        expect(seen).toBeGreaterThanOrEqual(0);
        expect(seen).toBeLessThanOrEqual(1);
      }),
      { numRuns: 300 },
    );
  });

  test("a wider corridor never lowers the highest, a higher path raises the clearance by as much", () => {
    fc.assert(
      fc.property(anyGrid, share, share, share, share, share, (grid, u1, v1, u2, v2, reach) => {
        const leg: OracleLeg = { from: at(grid, u1, v1), to: at(grid, u2, v2) };
        const narrow = highest(grid, leg, reach * 20);
        const wide = highest(grid, leg, reach * 20 + 5);
        expect(wide.corridor).toBeGreaterThanOrEqual(narrow.corridor - 1e-6);
        expect(wide.centre).toBe(narrow.centre);
      }),
    );
  });
});

describe("legs and corridors of no size", () => {
  const tiny = (heights: readonly number[], columns: number, latitude: number, stepEast_deg: number): Grid => ({
    columns,
    rows: heights.length / columns,
    west_deg: 8,
    south_deg: latitude,
    stepEast_deg,
    stepNorth_deg: 0.00006,
    heights_m: Float64Array.from(heights),
  });

  // Found by the property above: legs a tenth of a nanometre long, in a corridor narrower than anything.
  test.each([
    [tiny([0, 1, 0, 0, 0, 0], 2, 48, 0.00013450288948781478), 6.6e-12],
    [tiny([0, 1, 0, 0, 0, 0], 3, -1, 0.0000900137095239517), 4.93357303236009e-12],
  ])("see only the ground that they are on", (grid, along) => {
    const leg: OracleLeg = { from: at(grid, 0, 0), to: at(grid, along, 0) };
    for (const reach of [0, 5e-324, 1e-322, 1e-300, 1e-200, 1e-100, 1e-30, 1e-15, 1e-9]) {
      const { centre, corridor, seen } = highest(grid, leg, reach);
      expect(centre, `${reach} m`).toBeLessThan(1e-9);
      expect(corridor, `${reach} m`).toBeLessThan(1e-9);
      expect(corridor).toBeGreaterThanOrEqual(centre);
      expect(seen).toBe(1);
    }
    // A millimetre is a corridor.
    expect(highest(grid, leg, 1e-3).corridor).toBeGreaterThan(5e-5);
  });
});

describe("a large grid, over several blocks of blocks", () => {
  const size = 200;
  const heights_m = new Float64Array(size * size);
  for (let k = 0; k < heights_m.length; k += 1) {
    const [i, j] = [k % size, Math.floor(k / size)];
    heights_m[k] =
      40 * Math.sin(i / 17) * Math.cos(j / 23) + 5 * Math.sin(i * 1.7 + j) + ((i * 7919 + j * 104729) % 31) / 10;
  }
  // 1.2 km at most: legs that long are not cut.
  const grid: Grid = { ...gridOf([[0, 0]], 4), columns: size, rows: size, heights_m };

  test("what is skipped never matters", () => {
    fc.assert(
      fc.property(share, share, share, share, (u1, v1, u2, v2) => {
        const leg: OracleLeg = { from: at(grid, u1, v1), to: at(grid, u2, v2) };
        const limit = highestUnder(oracleOf(grid), leg, 0);
        const { centre } = highest(grid, leg, 0);
        expect(centre).toBeGreaterThanOrEqual(limit - 1e-6);
        expect(centre).toBeLessThanOrEqual(limit + 1e-3);
      }),
      { numRuns: 60 },
    );
  });

  test("nor in a wide corridor", () => {
    const inner = fc.double({ min: 0.15, max: 0.85, noNaN: true });
    fc.assert(
      fc.property(inner, inner, inner, inner, fc.double({ min: 1, max: 60, noNaN: true }), (u1, v1, u2, v2, reach) => {
        const leg: OracleLeg = { from: at(grid, u1, v1), to: at(grid, u2, v2) };
        const limit = highestUnder(oracleOf(grid), leg, reach);
        const { corridor, seen } = highest(grid, leg, reach);
        expect(seen).toBe(1);
        expect(corridor).toBeGreaterThanOrEqual(limit - 1e-6);
        expect(corridor).toBeLessThanOrEqual(limit + 1e-3);
      }),
      { numRuns: 20 },
    );
  });
});

describe("closed form", () => {
  test("a wall of nodes across the way", () => {
    const row = [0, 0, 0, 60.1, 0, 0, 0];
    const site = onGrid(gridOf([row, row, row, row, row], 30));
    const over = clearance(site, [10, 60], [170, 60], { path_m: 70 });
    expect(over.centre_m).toBeCloseTo(9.9, 9);
    expect(over.corridor_m).toBeCloseTo(9.9, 9);
    expect(over.over).toBe(-1);
    expect(over.groundSeen_share).toBe(1);
    // Short of the wall by 12 m: its foot, linear from 60 m to 90 m, at 78 m, and 8 m farther in the corridor.
    const short = clearance(site, [10, 60], [78, 60], { path_m: 70 });
    expect(short.centre_m).toBeCloseTo(70 - (60.1 * 18) / 30, 6);
    expect(short.corridor_m).toBeCloseTo(70 - (60.1 * 26) / 30, 3);
  });

  test("a single peak, seen by the corridor and not by the centre line", () => {
    const flat = [0, 0, 0, 0, 0];
    const site = onGrid(gridOf([flat, flat, [0, 0, 50, 0, 0], flat, flat], 30));
    const beside = clearance(site, [0, 53], [120, 53], { path_m: 60 });
    // On the centre line 7 m off the peak; along the line the highest is abreast of it.
    expect(beside.centre_m).toBeCloseTo(60 - (50 * 23) / 30, 6);
    expect(beside.corridor_m).toBeCloseTo(10, 6);
    expect(beside.longitude_deg).toBeCloseTo(8 + 60 / 76_056, 5);
    const apart = clearance(site, [0, 50], [120, 50], { path_m: 60 });
    expect(apart.corridor_m).toBeCloseTo(60 - (50 * 28) / 30, 5);
  });

  test("a peak under a corridor of two cells, in a row that only its near edge goes by", () => {
    const map = Array.from({ length: 12 }, (_, row) =>
      Array.from({ length: 12 }, (_, i) => (row === 6 && i === 5 ? 50 : 0)),
    );
    // Rows are written from the north: the peak is 150 m north, the corridor from 136.5 m to 187.5 m.
    const out = clearance(onGrid(gridOf(map, 30)), [60, 162], [270, 162], { path_m: 60, corridor_m: 25.5 });
    expect(out.corridor_m).toBeCloseTo(10, 6);
    expect(out.groundSeen_share).toBe(1);
  });

  test("a peak of a grid that is smaller than the corridor, no edge of which is on it", () => {
    const site = onGrid(
      gridOf(
        [
          [0, 0, 0],
          [0, 50, 0],
        ],
        30,
      ),
    );
    const out = clearance(site, [-90, 15], [150, 15], { path_m: 60, corridor_m: 24 });
    expect(out.centre_m).toBeCloseTo(60 - 25, 6);
    expect(out.corridor_m).toBeCloseTo(10, 6);
    expect(out.groundSeen_share).toBeLessThan(1);
  });

  test("the outer edge of a void is as unknown as the void, its edge with a known cell is known", () => {
    // The node in the middle is void, and so all four cells are; the eastern ones end at the rim.
    const map = [
      [0, 0, 50, 50],
      [0, 0, Number.NaN, 50],
      [0, 0, 50, 50],
    ];
    const site = onGrid(gridOf(map, 30));
    const out = clearance(site, [75, 43], [105, 47], { path_m: 60, corridor_m: 0 });
    expect([out.centre_m, out.groundSeen_share]).toEqual([Number.POSITIVE_INFINITY, 0]);
    const known = clearance(site, [75, 47], [15, 43], { path_m: 60, corridor_m: 0 });
    expect(known.centre_m).toBeCloseTo(60, 9);
    expect(known.groundSeen_share).toBeCloseTo(0.25, 9);
  });

  test("a spot nearer to the rim of the grid than its corridor is wide", () => {
    const flat = [0, 0, 0, 0];
    const site = onGrid(gridOf([flat, flat, flat, flat], 30));
    const seen = (east: number, north: number): number =>
      clearance(site, [east, north], [east, north], { corridor_m: 8 }).groundSeen_share;
    expect([seen(81, 45), seen(45, 81), seen(9, 45), seen(45, 9)]).toEqual([1, 1, 1, 1]);
    for (const [east, north] of [
      [84, 45],
      [45, 84],
      [6, 45],
      [45, 6],
    ] as const)
      expect(seen(east, north)).toBeLessThan(1);
  });

  test("a slope, along it and across", () => {
    const map = Array.from({ length: 12 }, (_, k) => Array.from({ length: 12 }, (_, i) => 2 * i + (11 - k)));
    const site = onGrid(gridOf(map, 10));
    const up = clearance(site, [20, 50], [80, 50], { path_m: 100 });
    expect(up.centre_m).toBeCloseTo(100 - (16 + 5), 6);
    // The far corner: 8 m on and 8 m up the slope.
    expect(up.corridor_m).toBeCloseTo(100 - (16 + 1.6 + 5 + 0.8), 4);
    const down = clearance(site, [80, 50], [20, 50], { path_m: 100 });
    expect(down.centre_m).toBeCloseTo(up.centre_m, 6);
    expect(down.corridor_m).toBeCloseTo(up.corridor_m, 6);
  });

  test("a saddle: the vertex of the quadratic inside the cell", () => {
    // z = 40(x(1 - y) + y(1 - x)): along the diagonal 80·t(1 - t), 20 in the middle, 0 at both ends.
    const site = onGrid(
      gridOf(
        [
          [40, 0],
          [0, 40],
        ],
        30,
      ),
    );
    const out = clearance(site, [0, 0], [30, 30], { path_m: 50, corridor_m: 0 });
    expect(out.centre_m).toBeCloseTo(30, 5);
    expect(out.latitude_deg).toBeCloseTo(47 + 15 / 111_180, 6);
  });
});
