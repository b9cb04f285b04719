import { describe, expect, it } from "vitest";
import { medianStep_s, segmentsOf } from "../../src/track/segments.js";
import { makeTrack, times } from "./make-track.js";

describe("medianStep_s", () => {
  it.each([
    [[], 0],
    [[0], 0],
    [[0, 2], 2],
    [[0, 1, 2, 3, 60], 1],
    [[0, 1, 3], 1.5],
  ])("of %j is %d", (at, step_s) => {
    expect(medianStep_s(makeTrack(at))).toBe(step_s);
  });
});

describe("segmentsOf", () => {
  it("is one piece without gaps", () => {
    expect(segmentsOf(makeTrack(times(10)), 5)).toEqual([{ from: 0, to: 11 }]);
  });

  it.each([
    [5, 1],
    [5.01, 2],
    [60, 2],
  ])("a gap of %d s at one row a second makes %d pieces", (gap_s, pieces) => {
    expect(segmentsOf(makeTrack([0, 1, 2, 2 + gap_s, 3 + gap_s]), 5)).toHaveLength(pieces);
  });

  it.each([
    [30, 1],
    [30.1, 2],
  ])("a log of one row in ten seconds has no gap at three of its steps: %d s is %d pieces", (gap_s, pieces) => {
    expect(segmentsOf(makeTrack([0, 10, 20, 30, 30 + gap_s, 40 + gap_s, 50 + gap_s]), 5)).toHaveLength(pieces);
  });

  it("cuts at breaks, however near in time", () => {
    expect(segmentsOf(makeTrack(times(5), {}, [2, 4]), 5)).toEqual([
      { from: 0, to: 2 },
      { from: 2, to: 4 },
      { from: 4, to: 6 },
    ]);
  });

  it("cuts once where a break falls into a gap", () => {
    expect(segmentsOf(makeTrack([0, 1, 60, 61], {}, [2]), 5)).toHaveLength(2);
  });

  it("covers every row once, for no row and one too", () => {
    expect(segmentsOf(makeTrack([]), 5)).toEqual([]);
    expect(segmentsOf(makeTrack([0]), 5)).toEqual([{ from: 0, to: 1 }]);
  });
});
