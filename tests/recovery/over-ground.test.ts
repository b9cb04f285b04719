import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { findOverGround, noGround, type OverGround, staysWithin } from "../../src/recovery/over-ground.js";
import type { Site } from "../../src/site/site.js";
import { at, ORIGIN, type Row } from "../helpers/flights.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";
import { openPlain } from "../helpers/sites.js";
import { gridOf, onGrid } from "../site/site-helpers.js";

type Ground = Partial<{ ground_m: number; seen_share: number }>;

/** Rows of 2 s at 60 m, 10 m farther east each, take-off and recovery point at 400 m; the lowest ground by the row. */
function find(
  lowest: (k: number) => Ground,
  limit_m = 120,
  above: "take-off" | "recovery-point" = "take-off",
  flown: { height_m?: number; near?: { radius_m: number; action: "climb" } } = {},
): OverGround {
  const rows = Array.from({ length: 21 }, (_, k) => ({
    time_s: 2 * k,
    ...at(10 * k, 90),
    height_m: k === 0 ? 0 : (flown.height_m ?? 60),
    battery_pct: 90,
    airborne: 1,
  }));
  const longitudes = rows.map(({ longitude_deg }) => longitude_deg);
  const site: Site = {
    ...openPlain(),
    ground: () => 400,
    standingGround: (_, longitude_deg) => (longitude_deg > ORIGIN.longitude_deg ? 395 : 400),
    lowestGround: ({ from, to }, out) => {
      expect(to).toEqual(at(4, 90));
      const k = longitudes.indexOf(from.longitude_deg);
      expect(from.latitude_deg).toBe(rows[k]?.latitude_deg);
      Object.assign(out, { latitude_deg: k, longitude_deg: -k, ground_m: 400, seen_share: 1, ...lowest(k) });
    },
  };
  const settings = { recoveryHeight_m: 100, recoveryHeightAbove: above, near: flown.near };
  const recoveryPoints = [{ ...at(4, 90), at_s: 0 }];
  return findOverGround(replayRows(rows, { ...ALL_KNOWN, site, settings, recoveryPoints }), limit_m);
}

describe("the height of recoveries over the ground", () => {
  it("is that of the leg at its lowest ground, with its place and the time it is over the limit", () => {
    const found = find((k) => ({ ground_m: k >= 8 && k <= 10 ? 380 - k : 390 }), 111.9);
    // 100 m over take-off at 400 m, and the ground at 370 m.
    expect(found).toMatchObject({ worst: 10, latitude_deg: 10, longitude_deg: -10, ground_m: 370, first: 8, last: 10 });
    expect(found.most_m).toBeCloseTo(130, 9);
    expect(found.exceeds_s).toBe(6);
    expect(found.unknown_s).toBe(0);
    expect(found.allowed_m).toBeCloseTo(111.9 + 370 - 400, 9);
  });

  it("counts what is allowed from where the setting counts", () => {
    const found = find(() => ({ ground_m: 390 }), 120, "recovery-point");
    expect(found.most_m).toBeCloseTo(395 + 100 - 390, 9);
    expect(found.allowed_m).toBeCloseTo(120 + 390 - 395, 9);
  });

  it("is within the limit where it is equal, but for what rounding makes of it", () => {
    expect(find(() => ({ ground_m: 400 }), 100)).toMatchObject({ exceeds_s: 0, first: -1, last: -1, unknown_s: 0 });
    expect(find(() => ({ ground_m: 400 - 2e-6 }), 100).exceeds_s).toBeGreaterThan(0);
    expect(find(() => ({ ground_m: 400 - 5e-7 }), 100).exceeds_s).toBe(0);
  });

  it("keeps the first of equal ones, and goes on to the last that exceeds", () => {
    const found = find((k) => ({ ground_m: k === 5 || k === 15 ? 370 : 400 }));
    expect(found).toMatchObject({ worst: 5, first: 5, last: 15, exceeds_s: 4 });
  });

  it("is not known where part of the ground is not seen, unless it exceeds all the same", () => {
    const unseen = find((k) => (k === 7 ? { seen_share: 0.99 } : {}));
    expect(unseen).toMatchObject({ unknown_s: 2, exceeds_s: 0 });
    expect(find((k) => (k === 7 ? { seen_share: 0.5, ground_m: 300 } : {}))).toMatchObject({
      unknown_s: 0,
      exceeds_s: 2,
    });
    expect(find((k) => (k === 7 ? { ground_m: Number.NaN } : {})).unknown_s).toBe(2);
  });

  it("allows anything and finds no worst where nothing at all is known", () => {
    expect(find(() => ({ ground_m: Number.POSITIVE_INFINITY, seen_share: 0 }))).toMatchObject({
      worst: -1,
      most_m: Number.NEGATIVE_INFINITY,
      latitude_deg: Number.NaN,
      longitude_deg: Number.NaN,
      ground_m: Number.NaN,
      exceeds_s: 0,
      allowed_m: Number.POSITIVE_INFINITY,
    });
  });

  it("leaves out a landing on the spot alone", () => {
    const askedOf = (flown: Parameters<typeof find>[3]): number[] => {
      const asked: number[] = [];
      const ask = (k: number): Ground => {
        asked.push(k);
        return {};
      };
      find(ask, 120, "take-off", flown);
      return asked;
    };
    const from = (first: number): number[] => Array.from({ length: 21 - first }, (_, i) => i + first);
    // Rows 0 and 1 are within 15 m of the point.
    expect(askedOf({})).toEqual(from(2));
    // From above the recovery height there is a leg, if no climb.
    expect(askedOf({ height_m: 110 })).toEqual(from(2));
    expect(askedOf({ near: { radius_m: 15, action: "climb" } })).toEqual(from(0));
    expect(askedOf({ height_m: 110, near: { radius_m: 15, action: "climb" } })).toEqual([0, ...from(2)]);
  });

  it("begins with nothing seen", () => {
    expect(noGround()).toEqual({
      ground_m: Number.NaN,
      latitude_deg: Number.NaN,
      longitude_deg: Number.NaN,
      seen_share: 0,
    });
  });
});

describe("recoveries that surely stay within the limit", () => {
  /** Rows of 2 s, 10 m farther north-east each, at 60 m over a take-off at 400 m, with a recovery height of 100 m. */
  function within(
    lowestWithin: Site["lowestWithin"],
    limit_m: number,
    change: (rows: Row[]) => void = () => undefined,
  ) {
    const rows: Row[] = Array.from({ length: 21 }, (_, k) => ({
      time_s: 2 * k,
      ...at(10 * k, 45),
      height_m: k === 0 ? 0 : 60,
      battery_pct: 90,
      airborne: 1,
    }));
    change(rows);
    const site: Site = { ...openPlain(), ground: () => 400, standingGround: () => 400, lowestWithin };
    return staysWithin(replayRows(rows, { ...ALL_KNOWN, site, settings: { recoveryHeight_m: 100 } }), limit_m);
  }

  it("do so over the lowest ground of the box round all of them, equality included", () => {
    expect(within(() => 380, 120)).toBe(true);
    expect(within(() => 380, 119.9)).toBe(false);
  });

  it("are asked one by one where the box is not known", () => {
    expect(within(() => Number.NaN, 1000)).toBe(false);
  });

  it("are asked one by one where a position or a height is not known", () => {
    expect(within(() => 400, 120)).toBe(true);
    expect(
      within(
        () => 400,
        120,
        (rows) => Object.assign(rows[9] ?? {}, { latitude_deg: Number.NaN }),
      ),
    ).toBe(false);
    expect(
      within(
        () => 400,
        120,
        (rows) => Object.assign(rows[9] ?? {}, { height_m: Number.NaN }),
      ),
    ).toBe(false);
  });

  it("have a box that holds take-off, all moments, and half a metre more", () => {
    const boxes: Parameters<Site["lowestWithin"]>[0][] = [];
    within((box) => boxes.push(box), 120);
    const [box] = boxes;
    const far = at(200, 45);
    expect(boxes).toHaveLength(1);
    const M_PER_DEG = 111_000;
    expect(((box?.north_deg ?? 0) - far.latitude_deg) * M_PER_DEG).toBeGreaterThan(0.5);
    expect(((box?.north_deg ?? 0) - far.latitude_deg) * M_PER_DEG).toBeLessThan(1);
    expect((ORIGIN.latitude_deg - (box?.south_deg ?? 0)) * M_PER_DEG).toBeGreaterThan(0.5);
    expect(box?.west_deg).toBeLessThan(ORIGIN.longitude_deg);
    expect(box?.east_deg).toBeGreaterThan(far.longitude_deg);
  });

  it("are asked one by one on a way too long to search the box", () => {
    expect(
      within(
        () => 400,
        120,
        (rows) => Object.assign(rows[20] ?? {}, at(25_000, 0)),
      ),
    ).toBe(false);
  });

  it("do so leg by leg too", () => {
    const heights = fc.array(fc.array(fc.integer({ min: 0, max: 60 }), { minLength: 9, maxLength: 9 }), {
      minLength: 9,
      maxLength: 9,
    });
    let shortcuts = 0;
    fc.assert(
      fc.property(heights, fc.integer({ min: 60, max: 200 }), (map, limit_m) => {
        const site = onGrid(gridOf(map, 60, at(340, 225)));
        const rows = Array.from({ length: 12 }, (_, k) => ({
          time_s: 2 * k,
          ...at(18 * k, 40 * k),
          height_m: k === 0 ? 0 : 60,
          battery_pct: 90,
          airborne: 1,
        }));
        const replay = replayRows(rows, { ...ALL_KNOWN, site, settings: { recoveryHeight_m: 70 } });
        if (!staysWithin(replay, limit_m)) return;
        shortcuts += 1;
        expect(findOverGround(replay, limit_m)).toMatchObject({ exceeds_s: 0, unknown_s: 0 });
      }),
    );
    expect(shortcuts).toBeGreaterThan(20);
  });
});
