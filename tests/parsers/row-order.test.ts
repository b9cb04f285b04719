import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { orderRows } from "../../src/parsers/row-order.js";

const never = (): boolean => false;

function ordered(times: readonly number[], isSameRow: (a: number, b: number) => boolean = never): number[] {
  const time_us = Float64Array.from(times);
  const { order } = orderRows(time_us, isSameRow);
  return Array.from(time_us, (time, row) => time_us[order?.[row] ?? row] ?? time);
}

describe("rows in the order of time", () => {
  test("rows that are in order are not touched", () => {
    expect(orderRows(Float64Array.of(1, 2, 2, 3), never)).toEqual({ order: undefined, outOfOrder: 0, resets: [] });
    expect(orderRows(new Float64Array(), never)).toEqual({ order: undefined, outOfOrder: 0, resets: [] });
  });

  test("late rows are sorted in, equal times in the order of the file", () => {
    const { order, outOfOrder } = orderRows(Float64Array.of(1, 3, 3, 2, 4), never);
    expect([...(order ?? [])]).toEqual([0, 3, 1, 2, 4]);
    expect(outOfOrder).toBe(1);
  });

  test("a late block that falls into a hole is no reset", () => {
    const { resets } = orderRows(Float64Array.of(0, 1, 2, 10, 11, 12, 13, 14, 15, 3, 4, 5, 6, 7, 8, 9, 16), never);
    expect(resets).toEqual([]);
  });

  test("a clock set back for good begins a new session one second later", () => {
    const times = [0, 1, 2, 3, 4, 5, 6].map((second) => second * 1e6);
    const time_us = Float64Array.from([...times, ...times, ...times]);
    const { order, resets } = orderRows(time_us, never);
    expect(order).toBeUndefined();
    expect(resets).toEqual([
      { row: 7, back_us: 6e6 },
      { row: 14, back_us: 6e6 },
    ]);
    expect([...time_us]).toEqual(Array.from({ length: 21 }, (_, row) => row * 1e6));
  });

  test("a repeated block is no reset", () => {
    const { resets, outOfOrder } = orderRows(
      Float64Array.of(0, 1, 2, 3, 4, 5, 6, 0, 1, 2, 3, 4, 5, 6),
      (a, b) => a === b - 7,
    );
    expect(resets).toEqual([]);
    expect(outOfOrder).toBe(6);
  });

  test("a log written newest first is turned", () => {
    expect(ordered([9, 8, 7, 6, 5, 4, 3, 2, 1])).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9]);
  });

  test("whatever comes in, times never fall", () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 30 }), { maxLength: 60 }), (times) => {
        const result = ordered(times);
        expect(result).toEqual(result.toSorted((a, b) => a - b));
        expect(result.length).toBe(times.length);
      }),
    );
  });
});
