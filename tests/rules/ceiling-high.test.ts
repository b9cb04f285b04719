import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Replay } from "../../src/recovery/replay.js";
import { ceilingHigh } from "../../src/rules/ceiling-high.js";
import type { Conduct } from "../../src/rules/rule.js";
import { sayIn } from "../../src/rules/say.js";
import { energyBases } from "../../src/rules/shared.js";
import type { Site } from "../../src/site/site.js";
import { limitsOf } from "../../src/rules/rule.js";
import type { Given } from "../helpers/declared.js";
import { askConduct } from "../helpers/conduct.js";
import { at, type Row } from "../helpers/flights.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";
import { nothingKnown, openPlain, plainWithWall } from "../helpers/sites.js";
import { groundOf } from "../helpers/valleys.js";

interface Told {
  readonly distance_m?: number;
  readonly height_m?: number;
  readonly battery_pct?: number;
  readonly last_s?: number;
}

/** A hover east of the recovery point. */
function rows({ distance_m = 400, height_m = 30, battery_pct = 90, last_s = 20 }: Told): Row[] {
  return Array.from({ length: last_s + 1 }, (_, time_s) => ({
    time_s,
    ...at(time_s === 0 ? 0 : distance_m, 90),
    height_m: time_s === 0 ? 0 : height_m,
    battery_pct,
    airborne: 1,
  }));
}

const CALM = { speed_ms: 0, from_deg: 0, gust_ms: 0, height_m: 10, shear: 0 };
/** Everything declared, and no spread at all: the upper need is the middle one. */
const KNOWN: Given = {
  ...ALL_KNOWN,
  drainSpread_pct: 0,
  speeds: { recovery: 10, climb: 3, descent: 3, landing: 0.8 },
  wind: CALM,
};
const set = (recoveryHeight_m: number, more: Given = {}): Given => ({
  ...KNOWN,
  ...more,
  settings: { ...KNOWN.settings, recoveryHeight_m, ...more.settings },
});
const ask = (told: Told, given: Given): Conduct => askConduct(ceilingHigh, replayRows(rows(told), given));

describe("ceiling-high, by the law", () => {
  it.each([
    ["under the limit", 119.9, {}, "clear"],
    ["at the limit", 120, {}, "clear"],
    ["over the limit", 120.1, {}, "thin"],
    ["far over the limit, which never fails", 500, {}, "thin"],
    ["under it, but the flight is over it", 50, { height_m: 121 }, "thin"],
    ["under it, and the flight is at it", 50, { height_m: 120 }, "clear"],
    ["over it, at hand where nothing climbs", 200, { distance_m: 10 }, "clear"],
  ] as const)("over a plain, %s", (_, height_m, told, verdict) => {
    expect(ask(told, set(height_m)).verdict).toBe(verdict);
  });

  it("takes the limit from the policy", () => {
    expect(ask({}, set(60, { policy: { legal_height: 59 } })).verdict).toBe("thin");
    expect(ask({}, set(60, { policy: { legal_height: 60 } })).verdict).toBe("clear");
  });

  it("wants it for as long as a finding lasts", () => {
    const spike = rows({}).map((row) => (row.time_s === 10 ? { ...row, height_m: 130 } : row));
    expect(askConduct(ceilingHigh, replayRows(spike, set(50))).verdict).toBe("thin");
    const replay = replayRows(spike, set(50, { policy: { shortest_stretch: 1.1 } }));
    expect(askConduct(ceilingHigh, replay).verdict).toBe("clear");
  });

  /** 200 m up at the recovery point, and a straight valley 80 m lower whose bed runs 0.003° east of it. */
  const valley = groundOf((east_deg) => (Math.abs(east_deg - 0.003) < 1e-9 ? 120 : 200));

  it("sees a valley that a level way home crosses, exactly", () => {
    // The bed is the lowest node line: 40 m over the ground at home are 120 over it.
    expect(ask({}, set(40, { site: valley })).verdict).toBe("clear");
    const { verdict, finding } = ask({}, set(41, { site: valley }));
    expect(verdict).toBe("thin");
    expect(finding).toEqual({
      first: 1,
      last: 20,
      at: 1,
      value: expect.closeTo(121, 6) as number,
      limit: 120,
      message:
        "400 m out: a recovery, at 41 m over the recovery point, flies up to 121 m over the ground (legal height 120 m). " +
        "The way home is level and the ground falls away, 80 m below that at the recovery point.",
      advice: "Set a recovery height of at most 40 m here; 10 m clears everything on these ways home.",
      evidence: {
        over_ground_m: expect.closeTo(121, 6) as number,
        latitude_deg: expect.closeTo(47, 4) as number,
        longitude_deg: expect.closeTo(8.003, 9) as number,
        ground_below_recovery_point_m: expect.closeTo(80, 6) as number,
        leg_height_m: 41,
        recovery_height_m: 41,
        most_recovery_height_m: expect.closeTo(40, 6) as number,
        least_recovery_height_m: expect.closeTo(10, 6) as number,
        exceeds_s: 20,
      },
    });
  });

  it("counts the height over the ground at take-off where the setting does", () => {
    const above = { settings: { recoveryHeightAbove: "take-off" } } as const;
    // The recovery point is 50 m up a slope east of take-off, and the aircraft hovers in between.
    const slope = groundOf((east_deg) => 100 + 10_000 * east_deg);
    const given = { site: slope, recoveryPoints: [{ latitude_deg: 47, longitude_deg: 8.005, at_s: 0 }], ...above };
    // The first moment is at take-off, the lowest ground of all.
    expect(ask({ distance_m: 200 }, set(120, given)).verdict).toBe("clear");
    expect(ask({ distance_m: 200 }, set(120.1, given)).verdict).toBe("thin");
    const counted = { ...given, settings: { recoveryHeightAbove: "recovery-point" } } as const;
    expect(ask({ distance_m: 200 }, set(70, counted)).verdict).toBe("clear");
    expect(ask({ distance_m: 200 }, set(70.1, counted)).verdict).toBe("thin");
  });

  it("says so where no one height clears the way and is legal", () => {
    // A ridge at 0.002° and a bed at 0.003°, 150 m apart in height.
    const cut = groundOf((east_deg) => {
      if (Math.abs(east_deg - 0.003) < 1e-9) return 100;
      return Math.abs(east_deg - 0.002) < 1e-9 ? 250 : 200;
    });
    const { finding } = ask({}, set(60, { site: cut }));
    expect(finding?.advice).toMatch(
      /^No one height is both: at least 60 m clears these ways home, at most 20 m stays legal\./,
    );
  });

  it("says how high to set it where nobody knows what stands on the way, or where both limits meet", () => {
    const bare = ask({}, set(130, { site: groundOf(() => 200, { obstacles: false }) })).finding;
    expect(bare?.advice).toBe("Set a recovery height of at most 120 m here, if that clears what stands on the way.");
    expect(bare?.evidence["least_recovery_height_m"]).toBe(null);
    const meet = ask({}, set(41, { site: valley, policy: { legal_height: 90 } })).finding;
    expect(meet?.advice).toBe("Set a recovery height of at most 10 m here; 10 m clears everything on these ways home.");
  });

  it("speaks of ground that falls away from 5 m on", () => {
    const fall = (fall_m: number): string =>
      ask({}, set(130, { site: groundOf((east_deg) => (Math.abs(east_deg - 0.003) < 1e-9 ? 200 - fall_m : 200)) }))
        .finding?.message ?? "";
    expect(fall(4.99)).toBe(
      "400 m out: a recovery, at 130 m over the recovery point, flies up to 135 m over the ground (legal height 120 m).",
    );
    expect(fall(5)).toMatch(
      / The way home is level and the ground falls away, 5 m below that at the recovery point\.$/,
    );
  });

  it.each([
    ["take-off", 200, 200, 130.5, false],
    ["take-off", 200, 200, 130.6, true],
    ["take-off", 150, 200, 131, true],
    ["take-off", 150, 200, 130.5, false],
    ["take-off", 250, 200, 131, true],
    ["take-off", 250, 200, 130.5, false],
    ["recovery-point", 150, 200, 181, true],
    ["recovery-point", 150, 200, 180, false],
    ["recovery-point", 250, 200, 81, true],
    ["recovery-point", 250, 200, 80, false],
  ] as const)(
    "counts from %s, on ground at %i m, with the point at %i m: flying at %s m is over it: %s",
    (recoveryHeightAbove, takeoff_m, point_m, height_m, isAbove) => {
      // Take-off at the origin, the recovery point some 380 m east of it.
      const site = groundOf((east_deg) => (east_deg > 0.0045 ? point_m : takeoff_m));
      const recoveryPoints = [{ ...at(456, 90), at_s: 0 }];
      const more = { site, recoveryPoints, settings: { recoveryHeightAbove }, policy: { legal_height: 1 } };
      const { finding } = ask({ distance_m: 100, height_m, battery_pct: 100 }, set(130, more));
      expect(finding?.advice).toMatch(isAbove ? /^Fly no higher than/ : /^(Set a recovery height|No one height)/);
    },
  );

  it("wants more than no time at all", () => {
    const none = { policy: { shortest_stretch: 0 } };
    expect(ask({}, set(50, none))).toEqual({ verdict: "clear" });
    expect(ask({}, set(130, none)).verdict).toBe("thin");
  });

  it("does not ask the law where take-off is not tied to the terrain, or no terrain is there", () => {
    const judged = (site: Site, isTied: boolean): Conduct => {
      const replay = replayRows(rows({}), set(500, { site }));
      const heights = { ...replay.inputs.heights, isTied };
      return askConduct(ceilingHigh, { ...replay, inputs: { ...replay.inputs, heights } });
    };
    expect(judged(openPlain(), true).verdict).toBe("thin");
    expect(judged(openPlain(), false).verdict).toBe("unknown");
    expect(judged({ ...openPlain(), hasTerrain: false }, true).verdict).toBe("unknown");
  });

  it("tells a flight over the recovery height to fly lower", () => {
    const { finding } = ask({ height_m: 130 }, set(50));
    expect(finding?.message).toMatch(/level at 130 m over the recovery point since a start above the recovery height/);
    expect(finding?.advice).toMatch(/^Fly no higher than 120 m above take-off here/);
  });

  it.each([
    ["the recovery height is only assumed", { ...KNOWN, settings: {} }],
    ["there is no terrain", set(200, { site: nothingKnown() })],
    [
      "the ways home leave the terrain",
      set(50, { site: { ...openPlain(), lowestGround: (leg, out) => nothingKnown().lowestGround(leg, out) } }),
    ],
  ])("is unknown where %s", (_, given) => {
    const { verdict, lacks } = ask({}, given);
    expect(verdict).toBe("unknown");
    const ground = [
      "recovery-height",
      "terrain",
      "obstacles",
      "terrain-here",
      "way-length",
      "recovery-point",
      "height",
    ];
    expect(lacks?.slice(0, 7)).toEqual(ground);
    expect(lacks?.slice(7)).toEqual("recoveryHeight_m" in (given.settings ?? {}) ? ["battery"] : []);
  });

  it("does not ask more of ground that is unknown for less than a finding", () => {
    const odd = rows({}).map((row) => (row.time_s === 10 ? { ...row, height_m: Number.NaN } : row));
    const given = set(50, { policy: { shortest_stretch: 1.1 } });
    expect(askConduct(ceilingHigh, replayRows(odd, given)).verdict).toBe("clear");
    expect(askConduct(ceilingHigh, replayRows(odd, set(50))).verdict).toBe("unknown");
  });
});

describe("ceiling-high, by the battery", () => {
  /** From 30 m at 400 m: climb to 100 and down costs far more than to 30. */
  const near = { distance_m: 400, battery_pct: 34 };
  const wall = (height_m: number) => ({ site: plainWithWall(at(200, 90).longitude_deg, height_m) });

  it("finds a height that costs the reserve, and says what the least would leave", () => {
    const { verdict, finding } = ask(near, set(100, wall(40)));
    expect(verdict).toBe("thin");
    expect(finding?.unit).toBe("%");
    expect(finding?.limit).toBe(25);
    expect(finding?.evidence["least_recovery_height_m"]).toBe(50);
    expect(finding?.value).toBeLessThan(25);
    expect(finding?.evidence["touchdown_at_least_height_pct"]).toBeGreaterThan(25);
    expect(finding?.advice).toBe("Set at least 50 m here, and not much more; or set off with more battery.");
  });

  it.each([
    ["the reserve is kept", { ...near, battery_pct: 40 }, set(100, wall(40)), "clear"],
    ["the least height would not keep it either", { ...near, battery_pct: 28 }, set(100, wall(40)), "clear"],
    ["what stands on the way wants that height", near, set(100, wall(90)), "clear"],
    ["the way is not clear at that height", near, set(100, wall(95)), "clear"],
    ["the flight is above the height anyway", { ...near, height_m: 100 }, set(100, wall(40)), "clear"],
    ["nobody knows what stands there", near, set(100, { site: { ...openPlain(), hasObstacles: false } }), "unknown"],
    ["there is no battery to speak of", { ...near, battery_pct: Number.NaN }, set(100, wall(40)), "unknown"],
    ["reserve-short is off", near, set(100, { ...wall(40), rulesOff: { "reserve-short": "no" } }), "unknown"],
  ] as const)("says no more where %s", (_, told, given, verdict) => {
    expect(ask(told, given).verdict).toBe(verdict);
  });

  it("points at the gravest moment, by the rows of the log", () => {
    // Ten seconds on the ground; then the farthest, and so the dearest, way home in the middle of the flight.
    const trip = Array.from({ length: 40 }, (_, time_s) => ({
      time_s,
      ...at(time_s < 10 ? 0 : 400 - 2 * Math.abs(time_s - 25), 90),
      height_m: time_s < 10 ? 0 : 30,
      battery_pct: 34,
      airborne: time_s < 10 ? 0 : 1,
    }));
    const { finding } = askConduct(ceilingHigh, replayRows(trip, set(100, wall(40))));
    expect(finding).toMatchObject({ first: 25, last: 25, at: 25, unit: "%" });
    expect(finding?.evidence["distance_m"]).toBeCloseTo(400, 6);
    expect(finding?.message).toMatch(/^The recovery height of 100 m costs the battery it should protect: at 00:25 /);
  });

  it("says no more where the reserve is short for less than a finding lasts", () => {
    const dip = rows(near).map((row) => (row.time_s === 20 ? row : { ...row, battery_pct: 60 }));
    const judged = (shortest_stretch: number): string =>
      askConduct(ceilingHigh, replayRows(dip, set(100, { ...wall(40), policy: { shortest_stretch } }))).verdict;
    expect([judged(1), judged(1.1)]).toEqual(["thin", "clear"]);
  });

  it("is clear where nothing lasts at all, however short a finding may be", () => {
    const told = { ...near, battery_pct: 90 };
    expect(ask(told, set(100, { ...wall(40), policy: { shortest_stretch: 0 } })).verdict).toBe("clear");
  });

  it("is unknown where nobody asks about the ways home", () => {
    const off = { ...wall(40), rulesOff: { "ceiling-low": "no" } };
    expect(ask(near, set(100, off)).verdict).toBe("unknown");
  });

  it("rests on the height, where it counts from, and the energy", () => {
    const replay = replayRows(rows(near), set(100, wall(40)));
    expect(ceilingHigh.bases(replay).slice(0, 2)).toEqual(["declared", "measured"]);
    expect(ceilingHigh.bases(replay).slice(2)).toEqual(energyBases(replay));
  });

  it("turns a fail into less than a fail", () => {
    const { verdict, finding } = ask({ ...near, battery_pct: 18.5 }, set(100, wall(40)));
    // By hand: 6 s hover, 400 m at 10 m/s, then 70 m up and 95 down, or 20 up and 45 down, 5 m at 0.8 m/s.
    const touchdown = (up_m: number, down_m: number): number =>
      18.5 - (5 * 0.1 + (6 * (up_m / 3)) / 60 + (5 * 40) / 60 + (4 * (down_m / 3 + 5 / 0.8)) / 60);
    expect(finding?.value).toBeCloseTo(touchdown(70, 95), 6);
    expect(finding?.evidence["touchdown_at_least_height_pct"]).toBeCloseTo(touchdown(20, 45), 6);
    expect(verdict).toBe("thin");
    expect(finding?.limit).toBe(10);
    expect(finding?.message).toMatch(/lands with 9\.\d % \(floor 10\.?0? %\)/);
  });
});

describe("ceiling-high", () => {
  it("never fails, and never gets better by a greater height where the battery is no matter", () => {
    const order = ["clear", "thin"];
    fc.assert(
      fc.property(
        fc.integer({ min: 10, max: 300 }),
        fc.integer({ min: 0, max: 200 }),
        fc.integer({ min: 0, max: 80 }),
        (height_m, more_m, fall_m) => {
          const site = groundOf((east_deg) => 200 - (east_deg > 0.0015 ? fall_m : 0));
          const verdict = (set_m: number): number =>
            order.indexOf(ask({ battery_pct: 100, last_s: 12 }, set(set_m, { site })).verdict);
          expect(verdict(height_m)).toBeGreaterThanOrEqual(0);
          expect(verdict(height_m + more_m)).toBeGreaterThanOrEqual(verdict(height_m));
        },
      ),
      { numRuns: 30 },
    );
  });

  it("speaks the units asked for", () => {
    const replay: Replay = replayRows(rows({}), set(130));
    const worst = new Uint8Array(replay.length);
    const { finding } = ceilingHigh.judge(replay, limitsOf(ceilingHigh, replay.setting.policy), sayIn("imperial"), {
      worst,
      codesOf: () => undefined,
    });
    expect(finding?.message).toMatch(/flies up to 427 ft over the ground \(legal height 394 ft\)/);
  });
});
