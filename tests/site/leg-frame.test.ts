import fc from "fast-check";
import { expect, test } from "vitest";
import { LegFrame, pieceCount } from "../../src/site/leg-frame.js";

const RAD_PER_DEG = Math.PI / 180;

/** How far a line, straight in longitude and latitude, strays from the geodesic at most, m; formula at `pieceCount`. */
function stray_m(frame: LegFrame, far_deg: number, bend_perM: number): number {
  return (((1.09 * Math.tan(far_deg * RAD_PER_DEG)) / 6_335_000 + bend_perM) * frame.length_m ** 2) / 8;
}

test("a leg is one piece where it strays by 0.1 m at most, and else no piece of it strays farther", () => {
  const degrees = (most: number): fc.Arbitrary<number> => fc.double({ min: -most, max: most, noNaN: true });
  fc.assert(
    fc.property(
      // Below 80° the tangent is not asked for.
      fc.oneof(degrees(89), fc.double({ min: 79.95, max: 79.99, noNaN: true })),
      fc.oneof(degrees(0.05), degrees(0.001)),
      degrees(0.05),
      fc.constantFrom(0, 1e-8, 3e-7),
      (latitude_deg, north_deg, east_deg, bend_perM) => {
        const frame = new LegFrame();
        frame.set(latitude_deg, 8, latitude_deg + north_deg, 8 + east_deg);
        const whole_m = stray_m(frame, Math.max(Math.abs(latitude_deg), Math.abs(latitude_deg + north_deg)), bend_perM);
        const count = pieceCount(frame, bend_perM);
        expect(count === 1).toBe(whole_m <= 0.1);
        expect(whole_m / count ** 2).toBeLessThanOrEqual(0.1 + 1e-9);
      },
    ),
    { numRuns: 2000 },
  );
});

test.each([0, 45, 79.99, 80.01, 85])("the limit is at 0.1 m, at %d°", (latitude_deg) => {
  const bend = (1.09 * Math.tan(latitude_deg * RAD_PER_DEG)) / 6_335_000 + 1e-9;
  const longest_m = Math.sqrt((8 * 0.1) / bend);
  const frame = new LegFrame();
  const count = (length_m: number): number => {
    frame.set(latitude_deg, 8, latitude_deg, 9);
    frame.set(latitude_deg, 8, latitude_deg, 8 + length_m / frame.length_m);
    return pieceCount(frame, 1e-9);
  };
  expect(count(0.999 * longest_m)).toBe(1);
  expect(count(1.001 * longest_m)).toBe(2);
});
