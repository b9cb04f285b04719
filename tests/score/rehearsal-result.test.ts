import { describe, expect, it } from "vitest";
import type { Replay } from "../../src/recovery/replay.js";
import { rehearsalText } from "../../src/reporters/rehearsal-text.js";
import { type Lack, momentRule } from "../../src/rules/rule.js";
import { VERDICT } from "../../src/rules/verdict.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { rehearsalResult, type RehearsalResult } from "../../src/score/rehearsal-result.js";
import type { Given } from "../helpers/declared.js";
import { at, type Row, trackOf } from "../helpers/flights.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { replayOf, replayRows } from "../helpers/replay.js";
import { LATE, LATE_FIXED, THIRSTY } from "../helpers/run.js";
import type { Leg, Site } from "../../src/site/site.js";
import { nothingKnown, openPlain, plainWithWall } from "../helpers/sites.js";

const LOOK = { color: 0, ascii: false, width: 80, units: "metric", quiet: false, explainScore: false } as const;
const of = (rows: readonly Row[], given: Given, k = 400): RehearsalResult =>
  rehearsalResult("invented.csv", auditFlight(replayRows(rows, given)), k);
const words = (rehearsal: RehearsalResult): string => rehearsalText(rehearsal, LOOK).replace(/\s+/g, " ");

describe("rehearsalResult", () => {
  it("has the numbers and verdicts of the audit at that moment", () => {
    const audit = auditFlight(replayRows(LATE_FIXED, THIRSTY));
    const result = rehearsalResult("a.csv", audit, 400);
    const { moments } = audit.judgement.replay;
    expect(result.need_pct.middle).toBeCloseTo(moments.needMiddle_pct[400] ?? 0, 6);
    expect(result.need_pct.upper).toBeCloseTo(moments.needUpper_pct[400] ?? 0, 6);
    expect(result.touchdown_pct.middle).toBeCloseTo(moments.touchdownMiddle_pct[400] ?? 0, 6);
    expect(result.verdicts).toMatchObject({ "reserve-short": "fail", "point-adrift": "clear" });
    expect(result.reasons["reserve-short"]).toMatch(/^4000 m out with /);
    expect(result.phases[0]?.start_s).toBe(400);
    expect(JSON.stringify(result)).not.toMatch(/NaN|Infinity/);
  });

  it("says where it meets what stands under the way", () => {
    // The wall stands 1 m east of the flight's own meridian, and the corridor reaches it.
    const result = of(LATE_FIXED, { ...THIRSTY, site: plainWithWall(8, 60) });
    expect(result.clearance).toMatchObject({ centre_m: -10, over: "wall" });
    expect(words(result)).toMatch(/Nearest to wall .*10 m too low on the centre line/);
  });

  it("never prints a number for what is not known", () => {
    const bare = of(
      LATE.map(({ battery_pct: _, height_m: __, ...row }) => row),
      {},
    );
    expect(bare).toMatchObject({ battery_pct: null, height_m: null, clearance: null, touchdown_pct: { middle: null } });
    expect(bare.verdicts["reserve-short"]).toBe("unknown");
    expect(bare.reasons["reserve-short"]).toMatch(/^Wants battery percent in the log/);
    const text = words(bare);
    expect(text).not.toMatch(/NaN|Infinity|undefined|null/);
    expect(text).toMatch(/height unknown, battery unknown/);
  });

  it("says so without a battery reading, and without ground", () => {
    const text = words(
      of(
        LATE.map(({ battery_pct: _, ...row }) => row),
        { ...ALL_KNOWN, site: nothingKnown() },
      ),
    );
    expect(text).toMatch(/what would be left is not known, for the battery is not/);
    expect(text).toMatch(/\? ground not known/);
  });

  it("says so where there is no headway", () => {
    const wind = { speed_ms: 25, from_deg: 180, gust_ms: undefined, height_m: 10, shear: 0.143 };
    const stalled = of(LATE_FIXED, { ...THIRSTY, speeds: { recovery: 10 }, wind });
    expect(stalled.need_pct).toEqual({
      middle: null,
      upper: null,
      upper_is: stalled.need_pct.upper_is,
      reason: "no_headway",
    });
    expect(stalled.phases.find(({ phase }) => phase === "transit")).toMatchObject({
      duration_s: null,
      energy_pct: null,
    });
    expect(words(stalled)).toMatch(/It makes no headway against the wind: no battery is enough\./);
    expect(words(stalled)).not.toMatch(/NaN|Infinity/);
  });
});

const SPOT = at(600, 90);
/** A hover 600 m east of the point, at 20 m. */
const HOVER: readonly Row[] = Array.from({ length: 60 }, (_, time_s) => ({
  time_s,
  ...SPOT,
  height_m: time_s === 0 ? 0 : 20,
  battery_pct: 80,
  airborne: 1,
}));
const CALM: Given = {
  ...ALL_KNOWN,
  speeds: { recovery: 10, climb: 3, descent: 4, landing: 0.8 },
  wind: { speed_ms: 0, from_deg: 0, gust_ms: undefined, height_m: 10, shear: 0.143 },
};
const K = 30;

/** The rehearsal of the hover's middle, with something of its replay changed after it was judged. */
function hovering(change: (replay: Replay) => Replay = (replay) => replay, given: Given = CALM): RehearsalResult {
  const audit = auditFlight(replayRows(HOVER, given));
  const replay = change(audit.judgement.replay);
  return rehearsalResult("a.csv", { ...audit, judgement: { ...audit.judgement, replay } }, K);
}

describe("a rehearsal that can be worked out by hand", () => {
  it("has every number of it", () => {
    // Drain of ALL_KNOWN: hover 5, climb 6, cruise 5, descent 4 %/min.
    expect(hovering()).toMatchObject({
      format: "homeleg-rehearsal",
      format_version: 1,
      path: "a.csv",
      flight: 1,
      at_s: 30,
      at_utc: null,
      at_hand: false,
      from: {
        latitude_deg: expect.closeTo(SPOT.latitude_deg, 9) as number,
        longitude_deg: expect.closeTo(SPOT.longitude_deg, 9) as number,
      },
      recovery_point: { latitude_deg: 47, longitude_deg: 8 },
      height_m: 20,
      leg_height_m: 50,
      distance_m: 600,
      battery_pct: 80,
      wind: { speed_ms: 0, from_deg: 0, basis: "declared" },
      phases: [
        { phase: "delay", start_s: 30, duration_s: 6, distance_m: 0, height_m: 20, energy_pct: 0.5 },
        { phase: "climb", start_s: 36, duration_s: 10, distance_m: 0, height_m: 50, energy_pct: 1 },
        { phase: "transit", start_s: 46, duration_s: 60, distance_m: 600, height_m: 50, ground_speed_ms: 10 },
        { phase: "descent", start_s: 106, duration_s: 11.25, height_m: 5, energy_pct: 0.75 },
        { phase: "landing", start_s: 117.25, duration_s: 6.25, height_m: 0, energy_pct: 0.416667 },
      ],
      need_pct: { middle: 7.666667, upper_is: "level" },
      touchdown_pct: { middle: 72.333333 },
      limits: { touchdown_floor_pct: 10, touchdown_reserve_pct: 25, clearance_m: 10, corridor_m: 8 },
    });
  });

  it("gives no reason where there is headway", () => {
    expect(hovering().need_pct).not.toHaveProperty("reason");
  });

  it("has the time by UTC where the log has one", () => {
    const replay = replayOf(trackOf(HOVER, { startUtc_s: Date.UTC(2026, 4, 20, 10) / 1000 }), CALM);
    expect(rehearsalResult("a.csv", auditFlight(replay), K).at_utc).toBe("2026-05-20T10:00:30.000Z");
  });

  it.each(["latitude_deg", "longitude_deg"] as const)("has no place of which the %s is not known", (column) => {
    const lost = hovering((replay) => {
      const here = new Float64Array(replay.moments[column]).fill(Number.NaN, K, K + 1);
      const point = { ...replay.inputs.point, [column]: here };
      const moments = { ...replay.moments, [column]: here };
      return { ...replay, moments, inputs: { ...replay.inputs, point } };
    });
    expect([lost.from, lost.recovery_point]).toEqual([null, null]);
  });
});

describe("what a rehearsal meets", () => {
  const meets = (over: number, obstacleNames: readonly string[] = []): RehearsalResult["clearance"] =>
    hovering(({ setting, ...replay }) => {
      const legClearance: Site["legClearance"] = (leg, out) => {
        Object.assign(out, { ...leg.to, centre_m: 7, corridor_m: 4, over });
      };
      return { ...replay, setting: { ...setting, site: { ...setting.site, obstacleNames, legClearance } } };
    }).clearance;
  const place = { centre_m: 7, corridor_m: 4, latitude_deg: 47, longitude_deg: 8, along_m: 600 };

  it("is the ground or an obstacle, by name where it has one, and how far along", () => {
    expect(meets(-1)).toEqual({ ...place, over: "the ground" });
    expect(meets(0, ["wall", "mast"])).toEqual({ ...place, over: "wall" });
    expect(meets(1, ["wall", "mast"])).toEqual({ ...place, over: "mast" });
    expect(meets(2)).toEqual({ ...place, over: "an obstacle" });
  });
});

describe("the reason of a rule", () => {
  const { notAsked, unknown, clear, thinAssumed, thin, fail } = VERDICT;
  /** What is said where a rule of this id gave this code, and its verdict. */
  function said(code: number, lacks: readonly Lack[] = [], rulesOff: Readonly<Record<string, string>> = {}) {
    const rule = momentRule({
      id: "low",
      question: "Is it enough?",
      unit: "%",
      needs: ["battery_pct"],
      limits: { least: "clearance" },
      judge: () => "clear",
      badness: () => 0,
      describe: ({ battery_pct }, { least }, { k, verdict, say }) => ({
        value: battery_pct,
        limit: least,
        message: `${verdict} at ${k}: ${battery_pct} % of ${say.length(least)}.`,
        advice: "",
        evidence: {},
      }),
      bases: () => [],
      lacks: () => lacks,
    });
    const audit = auditFlight(replayRows(HOVER, { ...CALM, rulesOff }));
    const moments = [{ rule, codes: new Uint8Array(60).fill(code, K, K + 1) }];
    const { verdicts, reasons } = rehearsalResult("a.csv", { ...audit, judgement: { ...audit.judgement, moments } }, K);
    return [verdicts["low"], reasons["low"]];
  }

  it("is what its finding would say", () => {
    expect(said(thin)).toEqual(["thin", "thin at 30: 80 % of 10 m."]);
    expect(said(fail)).toEqual(["fail", "fail at 30: 80 % of 10 m."]);
    expect(said(thinAssumed)).toEqual(["thin", "thin at 30: 80 % of 10 m. By an assumption alone."]);
  });

  it("is its question where that is answered or does not arise", () => {
    expect(said(clear)).toEqual(["clear", "Is it enough? Yes."]);
    expect(said(notAsked)).toEqual(["n/a", "The question does not arise here."]);
  });

  it("is what an unknown wants, or that it is switched off", () => {
    expect(said(unknown, ["voltage", "lost-link-action"])[1]).toBe("Wants voltage in the log; lost-link action.");
    expect(said(unknown)).toEqual(["unknown", "Wants readings that the log lacks at this moment."]);
    expect(said(unknown, [], { low: "it rains" })).toEqual(["unknown", "Switched off: it rains"]);
  });
});

describe("the profile under a rehearsal", () => {
  const GROUND_M = 400;
  const asked: { readonly leg: Leg; readonly samples: number }[] = [];
  /** Three stretches, the ground 3 m over the point's and a wall on the second of them. */
  const rising: Site = {
    ...openPlain(),
    profile: (leg, samples) => {
      asked.push({ leg, samples });
      return {
        along_m: Float64Array.of(100, 300, 500),
        latitude_deg: new Float64Array(3),
        longitude_deg: new Float64Array(3),
        ground_m: Float64Array.of(GROUND_M + 3, Number.NaN, GROUND_M - 1),
        obstacleTop_m: Float64Array.of(Number.NaN, GROUND_M + 20, Number.NaN),
        hasUnknownTop: Uint8Array.of(0, 0, 1),
      };
    },
  };
  const profile = (site: Partial<Site>, isTied: boolean, more: (replay: Replay) => Replay = (replay) => replay) =>
    hovering((replay) => {
      const heights = { ...replay.inputs.heights, isTied, takeoffGround_m: GROUND_M };
      replay.pointGround_m.fill(GROUND_M);
      const setting = { ...replay.setting, site: { ...rising, ...site } };
      return more({ ...replay, setting, inputs: { ...replay.inputs, heights } });
    }).profile;
  const TOPS = [null, 20, null];

  it("is above the ground at the recovery point, along the leg at its height", () => {
    asked.length = 0;
    expect(profile({}, true)).toEqual({
      along_m: [100, 300, 500],
      ground_m: [3, null, -1],
      obstacle_top_m: TOPS,
      obstacle_unknown: [false, false, true],
    });
    const to = { latitude_deg: 47, longitude_deg: 8 };
    expect(asked).toEqual([
      { leg: { from: SPOT, to, path_m: GROUND_M + 50, corridor_m: 0, knownOnly: false }, samples: 160 },
    ]);
  });

  it("has what stands there alone where no terrain is declared", () => {
    const bare = { hasTerrain: false, hasObstacles: true };
    expect(profile(bare, false)).toEqual({
      along_m: [100, 300, 500],
      ground_m: [null, null, null],
      obstacle_top_m: TOPS,
      obstacle_unknown: [false, false, true],
    });
    expect(profile({ ...bare, hasObstacles: false }, false)).toBeNull();
  });

  it("is none where the terrain is not tied to take-off, or the way is not known or none", () => {
    expect(profile({}, false)).toBeNull();
    const from = (distance_m: number) => (replay: Replay) => {
      replay.moments.distance_m.fill(distance_m);
      return replay;
    };
    expect(profile({}, true, from(Number.NaN))).toBeNull();
    expect(profile({}, true, from(5))).toBeNull();
    expect(profile({}, true, from(16))).not.toBeNull();
  });
});
