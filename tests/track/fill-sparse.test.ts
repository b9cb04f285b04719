import { describe, expect, it } from "vitest";
import { fillSparse } from "../../src/track/fill-sparse.js";
import type { Channel } from "../../src/track/channels.js";
import { makeTrack, times } from "./make-track.js";
import { trackOf } from "../helpers/flights.js";

const N = Number.NaN;

/** A column after filling; the gap limit is 3 s. */
function filled(
  channel: Channel,
  values: number[],
  at: ArrayLike<number> = times(values.length - 1),
  breaks: number[] = [],
): number[] {
  const track = makeTrack(at, { [channel]: values }, breaks);
  return [...(fillSparse(track, 3).columns[channel] ?? [])];
}

describe("fillSparse", () => {
  it("holds the last reading of a slow channel", () => {
    expect(filled("battery_pct", [90, N, N, 89, N, N])).toEqual([90, 90, 90, 89, 89, 89]);
  });

  it("holds it for the longest gap and no longer", () => {
    expect(filled("battery_pct", [90, N, N, N, N, N, 80])).toEqual([90, 90, 90, 90, N, N, 80]);
  });

  it("knows nothing before the first reading", () => {
    expect(filled("satellites", [N, N, 12, N, N])).toEqual([N, N, 12, 12, 12]);
  });

  it("does not hold across a break", () => {
    expect(filled("battery_pct", [90, N, N, N, N, N], times(5), [2])).toEqual([90, 90, N, N, N, N]);
  });

  it("does not hold across a gap in time", () => {
    expect(filled("battery_pct", [90, N, N, N, N], [0, 1, 30, 31, 32])).toEqual([90, 90, N, N, N]);
  });

  it.each([
    [5, true],
    [6, false],
  ])("a column filled at %d of 10 rows is slow: %s", (known, isSlow) => {
    const values = Array.from({ length: 10 }, (_, i) => (i < known - 1 || i === 8 ? 50 : N));
    expect(filled("battery_pct", values)[9]).toEqual(isSlow ? 50 : N);
  });

  it("leaves a mostly filled column's blanks alone: there a missing reading is a missing reading", () => {
    const values = [90, 90, N, 90, 90];
    expect(filled("battery_pct", values)).toEqual(values);
  });

  it.each(["latitude_deg", "longitude_deg", "groundSpeed_ms", "climbRate_ms", "airborne", "recoveryActive"] as const)(
    "never holds %s, which would say that it stood still or went on",
    (channel) => {
      expect(filled(channel, [1, N, N, N, 1])).toEqual([1, N, N, N, 1]);
    },
  );

  it("leaves an empty column empty, and the track it was given as it was", () => {
    expect(filled("hdop", [N, N, N])).toEqual([N, N, N]);
    const track = makeTrack(times(2), { battery_pct: [90, N, N] });
    fillSparse(track, 3);
    expect([...(track.columns.battery_pct ?? [])]).toEqual([90, N, N]);
  });
});

describe("settings and positions", () => {
  const sparse = (every: number, value: (i: number) => number): number[] =>
    Array.from({ length: 100 }, (_, i) => (i % every === 0 ? value(i) : Number.NaN));
  const track = trackOf(
    Array.from({ length: 100 }, (_, i) => ({
      time_s: i,
      latitude_deg: sparse(4, (k) => 47 + k * 1e-5)[i] ?? Number.NaN,
      longitude_deg: 8,
      recoveryHeight_m: i === 5 ? 50 : i === 60 ? 70 : Number.NaN,
    })),
  );
  const { columns } = fillSparse(track, 5);

  it("hold a setting until it changes, without limit, and not before it is known", () => {
    expect([0, 5, 40, 59, 60, 99].map((i) => columns.recoveryHeight_m?.[i])).toEqual([Number.NaN, 50, 50, 50, 70, 70]);
  });

  it("join positions by straight lines, over no more than the longest gap, and not beyond the last", () => {
    expect(columns.latitude_deg[6]).toBeCloseTo(47 + 6e-5, 12);
    expect(columns.latitude_deg[98]).toBeNaN();
    expect(fillSparse(track, 3).columns.latitude_deg[6]).toBeNaN();
  });
});
