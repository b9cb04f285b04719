import { describe, expect, it } from "vitest";
import { climbAt, keepOutAt } from "../../src/recovery/zones.js";
import type { Replay } from "../../src/recovery/replay.js";
import type { Column, ColumnMet } from "../../src/site/column.js";
import type { KeepOutMet } from "../../src/site/keep-out-met.js";
import type { Leg, Site } from "../../src/site/site.js";
import { at, ORIGIN, type Row } from "../helpers/flights.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";
import { openPlain } from "../helpers/sites.js";

const POINT = at(50, 90);
const AWAY = at(150, 90);

/** Takes off at the origin and hovers 150 m east at 30 m; at row 20 over the recovery point, at row 21 above 50 m. */
function rows(): Row[] {
  return Array.from({ length: 30 }, (_, time_s) => ({
    time_s,
    ...(time_s === 0 ? ORIGIN : time_s === 20 ? POINT : AWAY),
    height_m: time_s === 0 ? 0 : time_s === 21 ? 60 : 30,
    battery_pct: 90,
    airborne: 1,
  }));
}

interface Asked {
  readonly replay: Replay;
  readonly legs: Leg[];
  readonly columns: Column[];
}

/** A plain at 400 m, 2 m higher where someone could stand; what is met there is up to the test. */
function ask(given: Partial<Site> = {}, met: Partial<ColumnMet> = {}, crossed: Partial<KeepOutMet> = {}): Asked {
  const legs: Leg[] = [];
  const columns: Column[] = [];
  const site: Site = {
    ...openPlain(),
    ground: () => 400,
    standingGround: (_, longitude_deg) => (longitude_deg === AWAY.longitude_deg ? 402 : 400),
    obstacleNames: ["mast", "crane"],
    zoneNames: ["school", "canopy"],
    zoneKinds: (latitude_deg, longitude_deg) =>
      latitude_deg === AWAY.latitude_deg && longitude_deg === AWAY.longitude_deg ? 6 : 1,
    climb: (column, out) => {
      columns.push({ ...column });
      Object.assign(out, met);
    },
    keepOut: (leg, out) => {
      legs.push(structuredClone(leg));
      Object.assign(out, crossed);
    },
    ...given,
  };
  const replay = replayRows(rows(), { ...ALL_KNOWN, site, recoveryPoints: [{ ...POINT, at_s: 0 }] });
  return { replay, legs, columns };
}

describe("the zones of a moment", () => {
  it("are those at its own place", () => {
    const { moments } = ask().replay;
    expect([moments.zoneKinds[0], moments.zoneKinds[1], moments.zoneKinds[29]]).toEqual([1, 6, 6]);
  });

  it("are asked of its way home, in the corridor, away from home alone", () => {
    const { replay, legs } = ask({}, {}, { inside_m: 12, entered_m: 7, isTouched: true });
    const { moments, length } = replay;
    expect(legs).toHaveLength(length - 1);
    expect(legs[5]).toMatchObject({ from: AWAY, to: POINT, corridor_m: replay.setting.policy.corridor });
    const written = (k: number): unknown => [
      moments.keepoutInside_m[k],
      moments.keepoutEntered_m[k],
      moments.keepoutTouched[k],
    ];
    expect(written(5)).toEqual([12, 7, 1]);
    expect(written(20)).toEqual([Number.NaN, Number.NaN, Number.NaN]);
    expect(ask({}, {}, { inside_m: 0, entered_m: 0, isTouched: false }).replay.moments.keepoutTouched[5]).toBe(0);
  });

  it("are not asked where none are declared", () => {
    const { replay, legs, columns } = ask({ hasZones: false });
    expect(legs).toEqual([]);
    expect(replay.moments.zoneKinds[5]).toBeNaN();
    // Obstacles can still stand in the way of a climb.
    expect(columns.length).toBeGreaterThan(0);
    expect(ask({ hasZones: true, hasObstacles: false }).columns.length).toBeGreaterThan(0);
    expect(ask({ hasZones: false, hasObstacles: false }).columns).toEqual([]);
  });

  it("are named for a finding, where one is met", () => {
    const { replay, legs } = ask({}, {}, { zone: 1 });
    legs.length = 0;
    expect(keepOutAt(replay, 5)).toBe("canopy");
    expect(legs).toMatchObject([{ from: AWAY, to: POINT, corridor_m: replay.setting.policy.corridor }]);
    expect(keepOutAt(ask().replay, 5)).toBeUndefined();
  });
});

describe("the climb of a moment", () => {
  it("goes from the aircraft's height to the recovery height, with the ground that one can stand on", () => {
    const { replay, columns } = ask();
    // All but the moment that is above the recovery height climb.
    expect(columns).toHaveLength(replay.length - 1);
    const radius_m = replay.setting.policy.corridor;
    expect(columns[5]).toEqual({ ...AWAY, from_m: 430, to_m: 450, ground_m: 402, radius_m });
    expect(columns[20]).toEqual({ ...POINT, from_m: 430, to_m: 450, ground_m: 400, radius_m });
  });

  it("counts from take-off where nothing asks for the ground", () => {
    expect(ask({ zoneNames: [] }).columns[5]).toMatchObject({ from_m: 430, ground_m: 400 });
    const flat = { hasTerrain: false };
    expect(ask(flat).columns[5]).toMatchObject({ from_m: 30, to_m: 50, ground_m: 0 });
  });

  it("has no elevation on terrain that take-off is not tied to", () => {
    const hole = (_: number, longitude_deg: number): number =>
      longitude_deg === ORIGIN.longitude_deg ? Number.NaN : 402;
    expect(ask({ standingGround: hole }).columns[5]).toMatchObject({ from_m: Number.NaN, to_m: Number.NaN });
  });

  it("is written as it was met", () => {
    const up = { up_m: 5, upKnown_m: 6, upNear_m: 3, upNearKnown_m: 4 };
    const written = (met: Partial<ColumnMet>): unknown => {
      const { moments } = ask({}, met).replay;
      return {
        up: [moments.coverUp_m[5], moments.coverUpKnown_m[5], moments.coverUpNear_m[5], moments.coverUpNearKnown_m[5]],
        inside: [moments.coverInside[5], moments.coverInsideKnown[5]],
        whole: moments.coverWhole[5],
      };
    };
    expect(written({ ...up, inside: -1, insideKnown: -1, isWhole: true })).toEqual({
      up: [5, 6, 3, 4],
      inside: [0, 0],
      whole: 1,
    });
    expect(written({ ...up, inside: 0, insideKnown: -1, isWhole: false })).toMatchObject({ inside: [1, 0], whole: 0 });
    expect(written({ ...up, inside: 2, insideKnown: 0, isWhole: false })).toMatchObject({ inside: [1, 1], whole: 0 });
    // Above the recovery height there is no climb to meet anything.
    expect(ask({}, up).replay.moments.coverUp_m[21]).toBeNaN();
  });

  it("names obstacles and zones for a finding, each by its own number", () => {
    const { replay, columns } = ask({}, { over: 0, overNear: 1, inside: -2 });
    columns.length = 0;
    expect(climbAt(replay, 5)).toEqual({ over: "mast", near: "crane", inside: "school" });
    const radius_m = replay.setting.policy.corridor;
    expect(columns).toEqual([{ ...AWAY, from_m: 430, to_m: 450, ground_m: 402, radius_m }]);
    expect(climbAt(ask({}, { over: -3, overNear: -1, inside: -1 }).replay, 5)).toEqual({
      over: "canopy",
      near: undefined,
      inside: undefined,
    });
  });
});
