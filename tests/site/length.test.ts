import { expect, test } from "vitest";
import { isTooLong, lengthOf } from "../../src/site/length.js";

// Forms of map data, reference-values §9.7; 1 ft is 0.3048 m and 1 in 0.0254 m by definition.
test.each([
  [12, 12],
  [0, 0],
  [-3.5, -3.5],
  ["12", 12],
  ["4 m", 4],
  ["4m", 4],
  [" 12.5 metres ", 12.5],
  ["1 meter", 1],
  ["40 ft", 12.192],
  ["40'", 12.192],
  ["40 feet", 12.192],
  ["7'4\"", 7 * 0.3048 + 4 * 0.0254],
  ["7′ 4.5″", 7 * 0.3048 + 4.5 * 0.0254],
  [100_000, 100_000],
  ["-100000 m", -100_000],
])("%j is %d m", (value, wanted) => {
  expect(lengthOf(value)).toBeCloseTo(wanted, 12);
});

test.each(["0,8", "tall", "", "12 yd", "~12", "12-15", "4'4", null, undefined, true, [12], {}, Number.NaN, -1e308])(
  "%j is not understood",
  (value) => {
    expect(lengthOf(value)).toBeNaN();
    expect(isTooLong(value)).toBe(false);
  },
);

test.each([100_000.1, "100001 m", "9".repeat(400), "328085 ft", 1e308, Infinity])("%s is too long", (value) => {
  expect(lengthOf(value)).toBeNaN();
  expect(isTooLong(value)).toBe(true);
});
