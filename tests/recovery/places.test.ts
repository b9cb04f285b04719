import geodesic from "geographiclib-geodesic";
import { describe, expect, it } from "vitest";
import type { Site } from "../../src/site/site.js";
import { at, ORIGIN, type Row } from "../helpers/flights.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";
import { openPlain } from "../helpers/sites.js";

/** A row every two seconds, with a pause of 20 s before row 15; hovers 100 m east of take-off but for what is told. */
function rows(more: (i: number) => Partial<Row> = () => ({})): Row[] {
  return Array.from({ length: 30 }, (_, i) => ({
    time_s: 2 * i + (i < 15 ? 0 : 18),
    ...at(100, 90),
    height_m: i === 0 ? 0 : 30,
    airborne: 1,
    ...more(i),
  }));
}

const POINT_AT_ORIGIN = { recoveryPoints: [{ ...ORIGIN, at_s: 0 }] };

describe("the weight of a moment", () => {
  it("is the time to the next row, and one step before a gap and at the end", () => {
    const uneven = rows((i) => (i > 20 ? { time_s: 2 * i + 19 } : {}));
    const { weight_s } = replayRows(uneven, POINT_AT_ORIGIN).moments;
    expect([weight_s[0], weight_s[14], weight_s[15], weight_s[20], weight_s[21], weight_s[29]]).toEqual([
      2, 2, 2, 3, 2, 2,
    ]);
  });

  it("counts from the flight's own first row", () => {
    const late = rows((i) => ({ airborne: i < 5 ? 0 : 1, height_m: i < 6 ? 0 : 30, time_s: 2 * i + (i > 8 ? 1 : 0) }));
    const { length, moments } = replayRows(late, POINT_AT_ORIGIN);
    expect(length).toBe(25);
    expect([...moments.weight_s.subarray(0, 6)]).toEqual([2, 2, 2, 3, 2, 2]);
    expect(moments.weight_s.some((weight_s) => Number.isNaN(weight_s))).toBe(false);
  });
});

describe("the way home of a moment", () => {
  it("leads from the aircraft to the point of that moment", () => {
    const points = [
      { ...ORIGIN, at_s: 0 },
      { ...at(300, 90), at_s: 20 },
    ];
    const flown = rows((i) => (i === 5 ? at(80, 0) : {}));
    const { distance_m, courseHome_deg } = replayRows(flown, { recoveryPoints: points }).moments;
    expect(distance_m[4]).toBeCloseTo(100, 6);
    expect(courseHome_deg[4]).toBeCloseTo(270, 2);
    expect(distance_m[5]).toBeCloseTo(80, 6);
    expect(courseHome_deg[5]).toBeCloseTo(180, 6);
    expect(distance_m[6]).toBeCloseTo(100, 6);
    expect(distance_m[10]).toBeCloseTo(200, 6);
    expect(courseHome_deg[10]).toBeCloseTo(90, 2);
  });
});

describe("lines of a moment", () => {
  const SPOTS = ["aircraft", "point", "operator"] as const;
  const CHANNELS = {
    aircraft: ["latitude_deg", "longitude_deg"],
    point: ["recoveryLatitude_deg", "recoveryLongitude_deg"],
    operator: ["operatorLatitude_deg", "operatorLongitude_deg"],
  } as const;

  /** Of the three, one coordinate moves after the other, with a row between in which none does. */
  function moving(): { readonly flown: Row[]; readonly places: Record<(typeof SPOTS)[number], [number, number]>[] } {
    const now = { aircraft: [47, 8.001], point: [47.001, 8], operator: [47, 7.999] } as Record<
      (typeof SPOTS)[number],
      [number, number]
    >;
    const places = Array.from({ length: 30 }, (_, i) => {
      const spot = SPOTS[Math.floor(i / 4) % 3] ?? "aircraft";
      if (i > 1 && i % 2 === 0) now[spot][(i / 2) % 2] = (now[spot][(i / 2) % 2] ?? 0) + 0.0002;
      return structuredClone(now);
    });
    const flown = places.map((place, i) => ({
      ...Object.fromEntries(SPOTS.flatMap((spot) => CHANNELS[spot].map((channel, c) => [channel, place[spot][c]]))),
      time_s: 2 * i,
      height_m: i === 0 ? 0 : 30,
      airborne: 1,
    }));
    return { flown, places };
  }

  it("are as the library has them, whichever coordinate alone has moved", () => {
    const { flown, places } = moving();
    const { moments } = replayRows(flown);
    places.forEach(({ aircraft, point, operator }, k) => {
      const between = (a: [number, number], b: [number, number]): { s12?: number; azi1?: number } =>
        geodesic.Geodesic.WGS84.Inverse(...a, ...b);
      const home = between(aircraft, point);
      const away = between(aircraft, operator);
      expect(moments.distance_m[k], `row ${k}`).toBeCloseTo(home.s12 ?? Number.NaN, 6);
      expect(moments.courseHome_deg[k], `row ${k}`).toBeCloseTo(((home.azi1 ?? Number.NaN) + 360) % 360, 6);
      expect(moments.adrift_m[k], `row ${k}`).toBeCloseTo(between(point, operator).s12 ?? Number.NaN, 6);
      expect(moments.operatorDistance_m[k], `row ${k}`).toBeCloseTo(away.s12 ?? Number.NaN, 6);
      const turn_deg = Math.abs((home.azi1 ?? Number.NaN) - (away.azi1 ?? Number.NaN));
      expect(moments.leadsAway_deg[k], `row ${k}`).toBeCloseTo(Math.min(turn_deg, 360 - turn_deg), 6);
    });
  });
});

describe("the people of a moment", () => {
  const given = (operator: { latitude_deg: number; longitude_deg: number }): Parameters<typeof replayRows>[1] => ({
    ...POINT_AT_ORIGIN,
    operator: { kind: "position", ...operator },
  });

  it("are as far from the point, from the aircraft, and off the way home as they stand", () => {
    const { adrift_m, operatorDistance_m, leadsAway_deg } = replayRows(rows(), given(at(100, 0))).moments;
    expect(adrift_m[5]).toBeCloseTo(100, 6);
    expect(operatorDistance_m[5]).toBeCloseTo(100 * Math.SQRT2, 2);
    // Home is west, the operator north-west.
    expect(leadsAway_deg[5]).toBeCloseTo(45, 2);
  });

  it("are where the way home leads where they stand on the point", () => {
    const { adrift_m, operatorDistance_m, leadsAway_deg } = replayRows(rows(), given(ORIGIN)).moments;
    expect([adrift_m[5], leadsAway_deg[5]]).toEqual([0, 0]);
    expect(operatorDistance_m[5]).toBeCloseTo(100, 6);
  });

  it("share a coordinate with the point and still are off it", () => {
    for (const course_deg of [0, 90]) {
      const spot = at(50, course_deg);
      const aside = course_deg === 0 ? { ...spot, longitude_deg: 8 } : { ...spot, latitude_deg: 47 };
      const { adrift_m, operatorDistance_m } = replayRows(rows(), given(aside)).moments;
      expect(adrift_m[5]).toBeCloseTo(50, 3);
      expect(operatorDistance_m[5]).toBeCloseTo(course_deg === 0 ? Math.hypot(100, 50) : 50, 2);
    }
  });

  it("are not known where nothing says", () => {
    const { adrift_m, operatorDistance_m, leadsAway_deg } = replayRows(rows(), POINT_AT_ORIGIN).moments;
    expect([adrift_m[5], operatorDistance_m[5], leadsAway_deg[5]]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
  });
});

describe("the ground at the recovery point", () => {
  /** As high as it is far east in metres, and nothing known over 250 m east. */
  function slope(): Site {
    const degree_m = 1000 / (at(1000, 90).longitude_deg - ORIGIN.longitude_deg);
    const ground = (_: number, longitude_deg: number): number => {
      const east_m = (longitude_deg - ORIGIN.longitude_deg) * degree_m;
      return east_m > 250 ? Number.NaN : 400 + east_m;
    };
    return { ...openPlain(), isFlat: false, ground, standingGround: ground };
  }
  const points = [
    { ...at(50, 90), at_s: 0 },
    { ...at(200, 90), at_s: 10 },
    { ...at(300, 90), at_s: 20 },
  ];

  it("is that under each of them from its time on, and that at take-off where it is not known", () => {
    const { pointGround_m } = replayRows(rows(), { ...ALL_KNOWN, site: slope(), recoveryPoints: points });
    expect(pointGround_m[0]).toBeCloseTo(450, 3);
    expect(pointGround_m[4]).toBeCloseTo(450, 3);
    expect(pointGround_m[5]).toBeCloseTo(600, 3);
    expect(pointGround_m[29]).toBeCloseTo(
      replayRows(rows(), { ...ALL_KNOWN, site: slope() }).inputs.heights.takeoffGround_m,
      9,
    );
  });

  it("is that of a point that moves north alone, or east alone", () => {
    const ground = (latitude_deg: number, longitude_deg: number): number =>
      400 + 1000 * (latitude_deg - 47) + 4000 * (longitude_deg - 8);
    const site = { ...slope(), ground, standingGround: ground };
    const recoveryPoints = [
      { ...ORIGIN, at_s: 0 },
      { latitude_deg: 47.001, longitude_deg: 8, at_s: 10 },
      { latitude_deg: 47.001, longitude_deg: 8.001, at_s: 20 },
    ];
    const { pointGround_m } = replayRows(rows(), { ...ALL_KNOWN, site, recoveryPoints });
    expect([0, 4, 5, 9, 10].map((k) => Math.round(1e6 * (pointGround_m[k] ?? 0)) / 1e6)).toEqual([
      400, 400, 401, 401, 405,
    ]);
  });

  it("is asked once a point", () => {
    const asked: number[] = [];
    const standingGround = (_: number, longitude_deg: number): number => {
      asked.push(longitude_deg);
      return 400;
    };
    const north = { ...at(200, 90), latitude_deg: 47.001, at_s: 40 };
    replayRows(rows(), { ...ALL_KNOWN, site: { ...slope(), standingGround }, recoveryPoints: [...points, north] });
    const times = [...points, north].map((point) => asked.filter((one) => one === point.longitude_deg).length);
    // Two of them share a longitude.
    expect(times).toEqual([1, 2, 1, 2]);
  });

  it("is none where take-off is not tied to the terrain", () => {
    const untied = { ...slope(), hasTerrain: false };
    const { pointGround_m } = replayRows(rows(), { ...ALL_KNOWN, site: untied, recoveryPoints: points });
    expect(pointGround_m.every((ground_m) => ground_m === 0)).toBe(true);
  });
});
