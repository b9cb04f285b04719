import { describe, expect, it } from "vitest";
import { heightFrom_m, keepsClearance, noNeed, writeNeededHeight } from "../../src/recovery/needed-height.js";
import type { Site } from "../../src/site/site.js";
import { at } from "../helpers/flights.js";
import { hillside, hover, POINT, replayOn, TOPS_M } from "../helpers/hillside.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";
import { openPlain } from "../helpers/sites.js";

describe("the recovery height that a way home needs", () => {
  // The highest in the corridor is at 434 m: with 10 m over it, 2 m of drift and 1.5 m of error 447.5 m.
  const NEEDED_M = 447.5;

  it.each([
    ["the recovery point", "recovery-point", 405],
    ["take-off", "take-off", 400],
  ] as const)("counts from %s where the setting does, with its place", (_, above, ground_m) => {
    const { site, legs } = hillside(TOPS_M);
    const replay = replayOn(site, above);
    legs.length = 0;
    expect(heightFrom_m(replay, 10)).toBeCloseTo(ground_m, 6);
    const need = noNeed();
    expect(need).toEqual({
      height_m: Number.NaN,
      over: -1,
      latitude_deg: Number.NaN,
      longitude_deg: Number.NaN,
      seen_share: 0,
    });
    writeNeededHeight(replay, 10, need);
    expect(need).toMatchObject({ over: 3, latitude_deg: 47.25, longitude_deg: 8.25, seen_share: 0.75 });
    expect(need.height_m).toBeCloseTo(NEEDED_M - ground_m, 6);
    const { corridor } = replay.setting.policy;
    expect(legs).toEqual([{ from: at(150, 90), to: POINT, path_m: 20_000, corridor_m: corridor, knownOnly: false }]);
    expect(keepsClearance(replay, 10, NEEDED_M - ground_m + 1e-6)).toBe(true);
    expect(keepsClearance(replay, 10, NEEDED_M - ground_m - 1e-3)).toBe(false);
    expect(legs[1]?.path_m).toBeCloseTo(NEEDED_M, 4);
  });

  it("is that from another spot where one is given", () => {
    const { site, legs } = hillside(TOPS_M);
    const replay = replayOn(site);
    legs.length = 0;
    writeNeededHeight(replay, 10, noNeed(), at(500, 0));
    keepsClearance(replay, 10, 50, at(600, 0));
    expect(legs.map(({ from }) => from)).toEqual([at(500, 0), at(600, 0)]);
  });

  it("keeps just the wanted clearance: equality is good", () => {
    const site: Site = {
      ...openPlain(),
      legClearance: (leg, out) => void Object.assign(out, { corridor_m: leg.path_m }),
    };
    const replay = replayRows(hover().slice(0, 29), { ...ALL_KNOWN, site });
    expect(keepsClearance(replay, 10, 10)).toBe(true);
    expect(keepsClearance(replay, 10, 9.999)).toBe(false);
  });
});
