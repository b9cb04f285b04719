import { describe, expect, it } from "vitest";
import { type LowestCell, lowestCell } from "../../src/recovery/lowest-cell.js";
import type { Replay } from "../../src/recovery/replay.js";
import { shortReplay } from "../helpers/moments.js";

const LENGTH = 40;

/** Of 40 rows, a second each; means over 4 s, so over five rows. */
function lowest(
  cell_V: (k: number) => number,
  change: (replay: Replay) => Replay = (replay) => replay,
): LowestCell | undefined {
  return lowestCell(
    change(shortReplay(LENGTH)),
    Float64Array.from({ length: LENGTH }, (_, k) => cell_V(k)),
    4,
  );
}

describe("the lowest cell", () => {
  it("is where its mean over the window is the least, the first of equals", () => {
    const dip = lowest((k) => (k >= 20 && k < 25 ? 3.5 : 4));
    expect(dip?.k).toBe(22);
    expect(dip?.mean_V).toBeCloseTo(3.5, 12);
    expect(dip?.means_V[21]).toBeCloseTo(3.6, 12);
    expect(lowest(() => 4)?.k).toBe(2);
  });

  it("is no single row that dips as deep as a longer one is low", () => {
    expect(lowest((k) => (k === 10 ? 3 : k >= 20 && k < 25 ? 3.5 : 4))?.k).toBe(22);
  });

  it("is of windows that lie within the flight", () => {
    const { means_V } = lowest((k) => (k === 0 ? 1 : 4)) ?? { means_V: new Float64Array() };
    expect([...means_V.keys()].filter((k) => Number.isNaN(means_V[k]))).toEqual([0, 1, 38, 39]);
  });

  it("knows the share of the time with a reading", () => {
    expect(lowest(() => 4)?.knownShare).toBe(1);
    expect(lowest((k) => (k < 10 ? Number.NaN : 4))?.knownShare).toBe(0.75);
    // Rows with a reading that stand for four times as long.
    const slow = lowest(
      (k) => (k < 20 ? Number.NaN : 4),
      (replay) => {
        replay.moments.weight_s.fill(4, 20);
        return replay;
      },
    );
    expect(slow?.knownShare).toBe(0.8);
  });

  it("is none where no window has a reading", () => {
    expect(lowest(() => Number.NaN)).toBeUndefined();
    expect(lowest((k) => (k === 0 ? 4 : Number.NaN))).toBeUndefined();
  });
});
