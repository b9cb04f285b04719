import { describe, expect, it } from "vitest";
import { type Advance, Progress, progressLine } from "../../src/cli/progress.js";

const HALF: Advance = {
  log: 3,
  logs: 120,
  done_bytes: 4e6,
  all_bytes: 16e6,
  elapsed_s: 2,
  name: "logs/a.csv",
};

describe("progressLine", () => {
  it.each([
    [HALF, "log 3 of 120, 2.0 MB/s, 6 s left  logs/a.csv"],
    [{ ...HALF, all_bytes: undefined }, "log 3 of 120, 2.0 MB/s  logs/a.csv"],
    [{ ...HALF, done_bytes: 0, elapsed_s: 0 }, "log 3 of 120  logs/a.csv"],
    [{ ...HALF, all_bytes: 4e6 + 2e6 * 61 }, "log 3 of 120, 2.0 MB/s, 1 min 01 s left  logs/a.csv"],
    [{ ...HALF, all_bytes: 4e6 + 2e6 * 7500 }, "log 3 of 120, 2.0 MB/s, 2 h 05 min left  logs/a.csv"],
    // A file that grew while it was read leaves no negative time.
    [{ ...HALF, all_bytes: 3e6 }, "log 3 of 120, 2.0 MB/s, 0 s left  logs/a.csv"],
  ])("%j", (advance, line) => expect(progressLine(advance, 80)).toBe(line));

  it("stays under the width, the end of the name kept", () => {
    expect(progressLine({ ...HALF, name: "a/very/long/name/of/a/log.csv" }, 50)).toBe(
      "log 3 of 120, 2.0 MB/s, 6 s left  ...of/a/log.csv",
    );
    for (let width = 1; width < 90; width += 1) {
      expect(progressLine({ ...HALF, name: "x".repeat(100) }, width).length).toBeLessThan(width);
    }
  });
});

describe("Progress", () => {
  const setUp = (
    isTTY: boolean,
    isWanted = true,
  ): { progress: Progress; written: string[]; clock: { now_s: number } } => {
    const written: string[] = [];
    const clock = { now_s: 0 };
    const screen = { isTTY, columns: 80, write: (text: string) => void written.push(text) };
    return { progress: new Progress(screen, isWanted, () => clock.now_s), written, clock };
  };

  it("shows nothing in the first half second, then at most ten lines a second, and wipes the last", () => {
    const { progress, written, clock } = setUp(true);
    progress.show(HALF);
    clock.now_s = 0.6;
    progress.show(HALF);
    clock.now_s = 0.65;
    progress.show(HALF);
    clock.now_s = 0.75;
    progress.show(HALF);
    expect(written).toHaveLength(2);
    expect(written[0]?.startsWith("\r\u001b[2Klog 3 of 120, 6.7 MB/s")).toBe(true);
    progress.clear();
    progress.clear();
    expect(written.slice(2)).toEqual(["\r\u001b[2K"]);
  });

  it.each([
    [false, true],
    [true, false],
  ])("writes nothing: on a terminal %s, wanted %s", (isTTY, isWanted) => {
    const { progress, written, clock } = setUp(isTTY, isWanted);
    clock.now_s = 5;
    progress.show(HALF);
    progress.clear();
    expect(written).toEqual([]);
  });
});
