import { expect, it } from "vitest";
import { hasValues } from "../../src/track/has-values.js";

it("asks for a value within the rows, both ends included", () => {
  const column = Float64Array.from([1, Number.NaN, Number.NaN, 0, Number.NaN]);
  expect(hasValues(column, { first: 1, last: 2 })).toBe(false);
  expect(hasValues(column, { first: 0, last: 2 })).toBe(true);
  expect(hasValues(column, { first: 1, last: 3 })).toBe(true);
  expect(hasValues(column, { first: 4, last: 4 })).toBe(false);
  expect(hasValues(undefined, { first: 0, last: 4 })).toBe(false);
});
