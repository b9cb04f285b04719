import { describe, expect, it } from "vitest";
import { ASSUMED_AGAINST_MS, chooseWind, raisedWind_ms, windOff_ms } from "../../src/air/flight-wind.js";
import type { Config, Declared } from "../../src/config/declared.js";
import type { Flight } from "../../src/track/flights.js";
import { motionOf } from "../../src/track/motion.js";
import type { Track } from "../../src/track/track.js";
import { settingOf } from "../helpers/declared.js";
import { makeFlight, makeTrack, repeat, times } from "../track/make-track.js";

const DECLARED: NonNullable<Declared["wind"]> = {
  speed_ms: 6,
  from_deg: 250,
  gust_ms: undefined,
  height_m: undefined,
  shear: undefined,
};
const config = (wind?: Declared["wind"]) => settingOf({ wind }).config;
const choose = (settings: Config, track: Track, flight: Flight) =>
  chooseWind(settings, track, flight, motionOf(track, flight.segments));

describe("chooseWind", () => {
  const bare = makeTrack(times(10));

  it("takes calm, as an assumption, where nothing is known", () => {
    const wind = choose(config(), bare, makeFlight(bare));
    expect(wind.basis).toBe("assumed");
    expect([...wind.speed_ms]).toEqual(repeat(0, 11));
    expect(wind.from).toContain(`${ASSUMED_AGAINST_MS} m/s`);
    expect(wind.shear).toBeCloseTo(1 / 7, 12);
    expect(wind.shearBasis).toBe("assumed");
  });

  it("takes what is declared, at 10 m unless said", () => {
    const flight = makeFlight(bare, { first: 2, last: 5 });
    const wind = choose(config(DECLARED), bare, flight);
    expect(wind).toMatchObject({ basis: "declared", reference_m: 10, gustOver_ms: undefined, shearBasis: "assumed" });
    expect([...wind.speed_ms]).toEqual([6, 6, 6, 6]);
    expect([...wind.from_deg]).toEqual([250, 250, 250, 250]);
  });

  it("keeps declared height, shear and gust", () => {
    const declared = { speed_ms: 6, from_deg: 250, gust_ms: 9, height_m: 30, shear: 0.25 };
    const wind = choose(config(declared), bare, makeFlight(bare));
    expect(wind).toMatchObject({ reference_m: 30, shear: 0.25, shearBasis: "declared", gustOver_ms: 3 });
  });

  it("puts the log before the declaration, at the aircraft's own height", () => {
    const track = makeTrack(times(10), { windSpeed_ms: 4, windFrom_deg: 90 });
    const wind = choose(config({ ...DECLARED, shear: 0.2 }), track, makeFlight(track));
    expect(wind).toMatchObject({ basis: "measured", reference_m: Number.NaN, shear: 0.2, gustOver_ms: undefined });
    wind.speed_ms.forEach((speed) => expect(speed).toBeCloseTo(4, 9));
    wind.from_deg.forEach((from) => expect(from).toBeCloseTo(90, 9));
  });

  it("needs speed and direction of the log, not one of them", () => {
    const track = makeTrack(times(10), { windSpeed_ms: 4 });
    expect(choose(config(DECLARED), track, makeFlight(track)).basis).toBe("declared");
    expect(choose(config(), track, makeFlight(track)).basis).toBe("assumed");
  });

  it("means a minute around each row, as vectors: 350 and 10 are about north, not south", () => {
    const track = makeTrack(times(200), { windSpeed_ms: 5, windFrom_deg: (_, row) => (row % 2 === 0 ? 350 : 10) });
    const wind = choose(config(), track, makeFlight(track));
    // Of the 61 readings around row 100, 31 are of one kind and 30 of the other.
    expect(wind.speed_ms[100]).toBeCloseTo(5 * Math.cos(Math.PI / 18), 3);
    expect(Math.abs((((wind.from_deg[100] ?? 0) + 180) % 360) - 180)).toBeLessThan(0.5);
  });

  it("reaches 30 s either way, and not across a gap", () => {
    const at = [...times(100)].map((t) => (t < 50 ? t : t + 60));
    const track = makeTrack(at, { windSpeed_ms: (t) => (t < 50 ? 2 : 8), windFrom_deg: 0 });
    const gapped = choose(config(), track, makeFlight(track));
    expect(gapped.speed_ms[49]).toBeCloseTo(2, 9);
    expect(gapped.speed_ms[50]).toBeCloseTo(8, 9);
    const step = makeTrack(times(100), { windSpeed_ms: (t) => (t < 50 ? 0 : 61), windFrom_deg: 0 });
    const plain = choose(config(), step, makeFlight(step));
    expect(plain.speed_ms[19]).toBe(0);
    expect(plain.speed_ms[20]).toBeGreaterThan(0); // sees row 50, of the 51 rows from 0 to 50
    expect(plain.speed_ms[50]).toBeCloseTo(31, 9); // 31 of 61 rows
  });

  it("leaves a row without a reading unknown, whatever its neighbours say", () => {
    const track = makeTrack(times(10), { windSpeed_ms: (t) => (t === 5 ? Number.NaN : 4), windFrom_deg: 90 });
    const wind = choose(config(), track, makeFlight(track));
    expect(wind.speed_ms[5]).toBeNaN();
    expect(wind.from_deg[5]).toBeNaN();
    expect(wind.speed_ms[4]).toBeCloseTo(4, 9);
  });

  it("takes a logged calm without a direction as calm, and a wind without one as unknown", () => {
    const track = makeTrack(times(200), {
      windSpeed_ms: (t) => (t < 100 ? 0 : 5),
      windFrom_deg: (t) => (t < 100 || t === 150 ? Number.NaN : 90),
    });
    const wind = choose(config(), track, makeFlight(track));
    expect(wind.basis).toBe("measured");
    expect([...wind.speed_ms.subarray(0, 70)]).toEqual(repeat(0, 70));
    expect(wind.speed_ms[150]).toBeNaN();
    expect(wind.speed_ms[149]).toBeCloseTo(5, 9);
  });

  it("is not measured by columns that are blank throughout the flight", () => {
    const track = makeTrack(times(100), { windSpeed_ms: (t) => (t < 50 ? 4 : Number.NaN), windFrom_deg: 90 });
    expect(choose(config(), track, makeFlight(track, { first: 50, last: 100 })).basis).toBe("assumed");
    expect(choose(config(), track, makeFlight(track)).basis).toBe("measured");
  });

  it("looks at the flight alone", () => {
    const track = makeTrack(times(100), { windSpeed_ms: (t) => (t < 50 ? 1 : 9), windFrom_deg: 0 });
    const wind = choose(config(), track, makeFlight(track, { first: 50, last: 100 }));
    expect(wind.speed_ms).toHaveLength(51);
    expect(wind.speed_ms[0]).toBeCloseTo(9, 9);
  });

  it("means up to the flight's own ends", () => {
    const track = makeTrack(times(120), { windSpeed_ms: (t) => t, windFrom_deg: 90 });
    const { speed_ms } = choose(config(), track, makeFlight(track, { first: 50, last: 100 }));
    // Of the seconds 50 to 80, 50 to 81, and 70 to 100.
    expect(speed_ms[0]).toBeCloseTo(65, 9);
    expect(speed_ms[1]).toBeCloseTo(65.5, 9);
    expect(speed_ms[50]).toBeCloseTo(85, 9);
  });
});

describe("raisedWind_ms", () => {
  it("is the power law, or the log law where a roughness length is declared", () => {
    const raised = (roughness_m: number | undefined) => raisedWind_ms({ shear: 0.2, roughness_m }, 5, 10, 100);
    expect(raised(undefined)).toBeCloseTo(5 * 10 ** 0.2, 12);
    // ln(100 / 0.1) ÷ ln(10 / 0.1) is 3 ÷ 2.
    expect(raised(0.1)).toBeCloseTo(7.5, 12);
  });
});

describe("what the wind is said to rest on", () => {
  const bare = makeTrack(times(10));

  it("is calm with an allowance, and no gust over it", () => {
    expect(choose(config(), bare, makeFlight(bare))).toMatchObject({
      from: "calm, and 5 m/s against for the upper estimate",
      reference_m: 10,
      roughness_m: undefined,
      gustOver_ms: 0,
      leastOff_ms: 2,
      problems: [],
    });
  });

  it("is the place of the declaration: that of the speed, else that of the wind", () => {
    const from = (places: readonly (readonly [string, string])[]): string =>
      choose({ ...config(DECLARED), places: new Map(places) }, bare, makeFlight(bare)).from;
    expect(from([])).toBe("declared");
    expect(from([["wind", "homeleg.yaml"]])).toBe("homeleg.yaml");
    expect(
      from([
        ["wind", "homeleg.yaml"],
        ["wind.speed", "--set"],
      ]),
    ).toBe("--set");
  });

  it("is the columns of the log, which say nothing of the shear or of the gust", () => {
    const track = makeTrack(times(10), { windSpeed_ms: 4, windFrom_deg: 90 });
    expect(choose(config({ ...DECLARED, gust_ms: 9, roughness_m: 0.1 }), track, makeFlight(track))).toMatchObject({
      from: "columns of the log, mean over a minute",
      gustOver_ms: undefined,
      roughness_m: 0.1,
      shearBasis: "declared",
      leastOff_ms: 2,
      problems: [],
    });
  });
});

describe("columns called wind that hold air flow", () => {
  it("are not used, and said to be so by the number of the flight", () => {
    const speed = (_t: number, row: number): number => (row % 2 === 0 ? 2 : 8);
    // At 2 s a row the mean over a second leaves the speed as it is.
    const track = makeTrack(times(80, 2), {
      windSpeed_ms: speed,
      windFrom_deg: 77,
      groundSpeed_ms: speed,
      course_deg: (_t, row) => 90 * (row % 4),
    });
    const wind = choose(config(DECLARED), track, makeFlight(track, { index: 3 }));
    expect(wind.basis).toBe("declared");
    expect(wind.problems).toEqual([
      {
        severity: "warning",
        code: "wind-is-air-flow",
        message:
          "The wind columns are air flow past the aircraft in flight 3, not wind, and are not used: the reading follows the ground speed (correlation 1.00) and is near zero at a hover.",
        line: undefined,
      },
    ]);
    expect(choose(config(), track, makeFlight(track)).problems).toHaveLength(1);
  });
});

describe("a wind told by air speed and heading", () => {
  /** By turns north and east in a wind of 5 m/s from 53.13°, stronger by so much in the first minute than in the second. */
  function told(swing_ms: number, air_ms: number = 10) {
    const ground = (row: number): readonly [number, number] => {
      const swing = row < 60 ? -swing_ms : swing_ms;
      return row % 2 === 0 ? [air_ms - 3 + swing, swing - 4] : [swing - 3, air_ms - 4 + swing];
    };
    const track = makeTrack(times(238, 2), {
      airSpeed_ms: air_ms,
      heading_deg: (_t, row) => 90 * (row % 2),
      groundSpeed_ms: (_t, row) => Math.hypot(...ground(row)),
      course_deg: (_t, row) => (Math.atan2(ground(row)[1], ground(row)[0]) * 180) / Math.PI,
      height_m: 35,
    });
    return choose(config({ ...DECLARED, gust_ms: 9, shear: 0.2 }), track, makeFlight(track));
  }

  it("is one wind at the height it was told at, off by 2 m/s at the least", () => {
    const wind = told(0);
    expect(wind).toMatchObject({
      basis: "inferred",
      from: "air speed and heading against the velocity over the ground, one wind for the flight, ±0.0 m/s from minute to minute",
      reference_m: 35,
      shear: 0.2,
      gustOver_ms: undefined,
      leastOff_ms: 2,
      problems: [],
    });
    expect(wind.speed_ms).toHaveLength(120);
    for (const speed_ms of wind.speed_ms) expect(speed_ms).toBeCloseTo(5, 9);
    for (const from_deg of wind.from_deg) expect(from_deg).toBeCloseTo(53.130102354, 6);
  });

  it("is off by the 90 % point of a greater deviation", () => {
    expect(told(1.4).from).toContain("±1.4 m/s");
    expect(told(1.4).leastOff_ms).toBe(2);
    // At 20 m/s a fit may leave 4 m/s over: 2√2 is less.
    expect(told(2, 20).leastOff_ms).toBeCloseTo(2 * 1.2816, 9);
    expect(windOff_ms(told(2, 20), 3, 50)).toBeCloseTo(2 * 1.2816, 9);
    expect(windOff_ms(told(2, 20), 10, 50)).toBeCloseTo(3, 12);
  });
});

describe("windOff_ms", () => {
  const track = makeTrack(times(1));
  const declared = (gust_ms: number | undefined, shear = 0.2) =>
    choose(config({ speed_ms: 6, from_deg: 0, gust_ms, height_m: 10, shear }), track, makeFlight(track));

  it.each([
    [0, 2],
    [5, 2],
    [6.6, 2],
    [7, 2.1],
    [10, 3],
  ])("without a gust, a leg's wind of %d m/s may be off by %d", (leg_ms, off_ms) => {
    expect(windOff_ms(declared(undefined), leg_ms, 50)).toBeCloseTo(off_ms, 12);
  });

  it("with a gust, by the gust over the wind, at the height of the leg", () => {
    expect(windOff_ms(declared(9), 6, 10)).toBeCloseTo(3, 12);
    expect(windOff_ms(declared(9), 8, 100)).toBeCloseTo(3 * 10 ** 0.2, 12);
    expect(windOff_ms(declared(6), 6, 50)).toBe(0);
  });
});
