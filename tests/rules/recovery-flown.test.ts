import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { findFlownRecoveries } from "../../src/recovery/flown.js";
import { replayFlight } from "../../src/recovery/replay-flight.js";
import type { Replay } from "../../src/recovery/replay.js";
import { recoveryFlown } from "../../src/rules/recovery-flown.js";
import { energyBases } from "../../src/rules/shared.js";
import { findFlights } from "../../src/track/flights.js";
import { askConduct } from "../helpers/conduct.js";
import { type Given, settingOf } from "../helpers/declared.js";
import { at, ORIGIN, type Row, trackOf } from "../helpers/flights.js";
import { BEGINS_S, flownHome as flight, FLOWN, type Going, LASTS_S, NEED_PCT } from "../helpers/flown.js";

function replay(rows: readonly Row[], given: Given = FLOWN, modes?: readonly string[]): Replay {
  const setting = settingOf(given);
  const bare = trackOf(rows);
  const words = ["", ...new Set(modes ?? [])];
  const track =
    modes === undefined
      ? bare
      : { ...bare, mode: { words, codes: Uint16Array.from(modes, (mode) => words.indexOf(mode)) } };
  const found = findFlights(track, { longestGap_s: 5, shortestFlight_s: 10 });
  const [first] = found.flights;
  if (first === undefined) throw new Error("the rows of this test hold no flight");
  return replayFlight(setting, track, first, found.motion);
}

/** The upper estimate of the whole: 10 % spread and the spreads of the speeds at 90 %, by the replay itself. */
const UPPER_PCT = replay(flight()).moments.needUpper_pct[BEGINS_S] ?? Number.NaN;

describe("recovery-flown", () => {
  it("knows its own arithmetic", () => {
    const [one] = findFlownRecoveries(replay(flight()));
    expect(one?.predicted.time_s).toBeCloseTo(LASTS_S, 6);
    expect(one?.predicted.needMiddle_pct).toBeCloseTo(NEED_PCT, 6);
    expect(one?.predicted.height_m).toBe(50);
    expect(one?.actual).toMatchObject({ time_s: LASTS_S, height_m: 50 });
    expect(one?.actual.used_pct).toBeCloseTo(NEED_PCT, 6);
    expect(one?.actual.pathRatio).toBeCloseTo(1, 6);
    expect(one).toMatchObject({ basis: "measured", ended: "landed", isAtHand: false });
    expect(UPPER_PCT).toBeGreaterThan(NEED_PCT * 1.1);
  });

  it.each([
    ["as rehearsed", {}, "clear"],
    ["with less than rehearsed", { used_pct: 2 }, "clear"],
    ["with just under the upper estimate", { used_pct: UPPER_PCT - 1e-6 }, "clear"],
    ["with just over the upper estimate", { used_pct: UPPER_PCT + 1e-6 }, "thin"],
    ["to 29.9 m beside the point", { off_m: 29.9 }, "clear"],
    ["to 30.1 m beside the point", { off_m: 30.1 }, "fail"],
    ["dear and astray", { used_pct: 9, off_m: 31 }, "fail"],
    ["dear, and taken over after half of it", { used_pct: 9, takenOver_s: 30 }, "thin"],
    ["until the pilot took over 100 m out", { takenOver_s: 30 }, "clear"],
    ["for under 5 s", { used_pct: 9, off_m: 40, takenOver_s: 4 }, "n/a"],
    ["for 5 s", { used_pct: 40, takenOver_s: 5 }, "thin"],
  ] as const)("flown %s is %s", (_, going, verdict) => {
    expect(askConduct(recoveryFlown, replay(flight(going))).verdict).toBe(verdict);
  });

  it("judges only the end of one that began at hand", () => {
    expect(askConduct(recoveryFlown, replay(flight({ from_m: 10, used_pct: 20 }))).verdict).toBe("clear");
    expect(askConduct(recoveryFlown, replay(flight({ from_m: 20, used_pct: 20 }))).verdict).toBe("thin");
  });

  it("is unknown without a battery, or a recovery point", () => {
    const lost = flight().map(({ battery_pct: _, ...row }) => row);
    expect(askConduct(recoveryFlown, replay(lost)).verdict).toBe("unknown");
    const astray = flight({ off_m: 40 }).map(({ battery_pct: _, ...row }) => row);
    expect(askConduct(recoveryFlown, replay(astray)).verdict).toBe("fail");
    const none = { ...FLOWN, recoveryPoints: [{ ...ORIGIN, at_s: 1e6 }] };
    expect(askConduct(recoveryFlown, replay(flight(), none)).verdict).toBe("unknown");
  });

  it("takes declared mode words in any case, and a flag before them", () => {
    const rows = flight({ flag: false, used_pct: 9 });
    const modes = rows.map(({ time_s }) => (time_s >= BEGINS_S ? "Homing " : "manual"));
    const declared = { ...FLOWN, settings: { ...FLOWN.settings, recoveryModes: ["homing"] } };
    const told = replay(rows, declared, modes);
    expect(told.inputs.flown?.basis).toBe("declared");
    expect(askConduct(recoveryFlown, told).verdict).toBe("thin");
    const other = { ...FLOWN, settings: { ...FLOWN.settings, recoveryModes: ["hom"] } };
    expect(askConduct(recoveryFlown, replay(rows, other, modes)).verdict).toBe("n/a");
    const flagged = flight({ used_pct: 9, takenOver_s: 20 });
    expect(findFlownRecoveries(replay(flagged, declared, modes))).toMatchObject([{ basis: "measured", last: 120 }]);
    // A flag that never is set says nothing: the words are asked.
    const unset = flight({ used_pct: 9 }).map((row) => ({ ...row, recoveryActive: 0 }));
    expect(findFlownRecoveries(replay(unset, declared, modes))).toMatchObject([{ basis: "declared" }]);
  });

  it("holds a word over rows without one, and joins what blinks for up to three seconds", () => {
    const slow = flight().map((row) => (row.time_s % 5 === 0 ? row : { ...row, recoveryActive: Number.NaN }));
    expect(findFlownRecoveries(replay(slow))).toMatchObject([{ first: BEGINS_S, last: BEGINS_S + LASTS_S }]);
    const blinks = (seconds: number): Row[] =>
      flight().map((row) => (row.time_s >= 120 && row.time_s < 120 + seconds ? { ...row, recoveryActive: 0 } : row));
    expect(findFlownRecoveries(replay(blinks(2)))).toHaveLength(1);
    expect(findFlownRecoveries(replay(blinks(3)))).toHaveLength(2);
  });

  it("shows one that only has the shape of a recovery, and never scores it", () => {
    const shape = replay(flight({ flag: false, used_pct: 20 }));
    expect(findFlownRecoveries(shape)).toMatchObject([{ basis: "inferred", first: BEGINS_S, ended: "landed" }]);
    expect(askConduct(recoveryFlown, shape)).toEqual({ verdict: "n/a" });
    // A minute of hovering at the recovery height before it sets off is no part of it.
    const wait = (row: Row): Row[] => (row.time_s < 100 ? [{ ...row, height_m: row.time_s === 0 ? 0 : 50 }] : []);
    const late = flight({ flag: false }).flatMap((row) =>
      row.time_s < 110 ? wait(row) : [{ ...row, time_s: row.time_s - 10 }],
    );
    expect(findFlownRecoveries(replay(late))).toMatchObject([{ basis: "inferred", first: 100 }]);
    const low = { ...FLOWN, settings: { ...FLOWN.settings, recoveryHeight_m: 60 } };
    expect(findFlownRecoveries(replay(flight({ flag: false }), low))).toEqual([]);
    const { recoveryHeight_m: _, ...unset } = FLOWN.settings ?? {};
    expect(findFlownRecoveries(replay(flight({ flag: false }), { ...FLOWN, settings: unset }))).toEqual([]);
    expect(findFlownRecoveries(replay(flight({ flag: false, off_m: 16 })))).toEqual([]);
    expect(findFlownRecoveries(replay(flight({ flag: false, from_m: 60 })))).toEqual([]);
    const bent = flight({ flag: false }).map((row) =>
      row.time_s > 110 && row.time_s < 125 ? { ...row, latitude_deg: (row.latitude_deg ?? 0) + 0.0006 } : row,
    );
    expect(findFlownRecoveries(replay(bent))).toEqual([]);
  });

  /** Hovers 300 m out with the flag up twice, and uses so much in the one and the other. */
  function twice(first_pct: number, second_pct: number): Row[] {
    return Array.from({ length: 120 }, (_, time_s) => ({
      time_s,
      ...at(300, 90),
      height_m: time_s === 0 ? 0 : 50,
      battery_pct:
        90 -
        first_pct * Math.min(1, Math.max(0, (time_s - 20) / 20)) -
        second_pct * Math.min(1, Math.max(0, (time_s - 60) / 20)),
      airborne: 1,
      recoveryActive: (time_s >= 20 && time_s <= 40) || (time_s >= 60 && time_s <= 80) ? 1 : 0,
    }));
  }

  it("tells the dearer of two, the first of two alike", () => {
    const at_ = (first: number, second: number): number | undefined =>
      askConduct(recoveryFlown, replay(twice(first, second))).finding?.at;
    expect([at_(10, 20), at_(20, 10), at_(0, 10)]).toEqual([60, 20, 60]);
  });

  it("is unknown where one of two is", () => {
    const blank = twice(0, 0).map((row) => (row.time_s === 60 ? { ...row, battery_pct: Number.NaN } : row));
    expect(askConduct(recoveryFlown, replay(twice(0, 0))).verdict).toBe("clear");
    expect(askConduct(recoveryFlown, replay(blank))).toEqual({
      verdict: "unknown",
      lacks: ["battery", "recovery-point", "height", "wind"],
    });
  });

  it("is unknown where it landed nobody knows where, but not where that is only where it was taken over", () => {
    const lose = (from_s: number, going: Going): Row[] =>
      flight(going).map((row) =>
        row.time_s >= from_s && row.time_s <= BEGINS_S + LASTS_S + 1
          ? { ...row, latitude_deg: Number.NaN, longitude_deg: Number.NaN }
          : row,
      );
    const landed = replay(lose(BEGINS_S + LASTS_S - 20, {}));
    expect(findFlownRecoveries(landed)[0]?.ended).toBe("landed");
    expect(askConduct(recoveryFlown, landed).verdict).toBe("unknown");
  });

  it("holds what was used, and where it landed, against the very limit", () => {
    const [one] = findFlownRecoveries(replay(flight({ off_m: 20 })));
    const { endedFromPoint_m } = one?.actual ?? { endedFromPoint_m: Number.NaN };
    const within = (limit_m: number): string =>
      askConduct(recoveryFlown, replay(flight({ off_m: 20 }), { ...FLOWN, policy: { "adrift.fail": limit_m } }))
        .verdict;
    expect([within(endedFromPoint_m), within(endedFromPoint_m - 1e-9)]).toEqual(["clear", "fail"]);
  });

  it("gives every number of both as evidence", () => {
    const { finding } = askConduct(recoveryFlown, replay(flight({ used_pct: 9 })));
    expect(finding?.evidence).toEqual({
      ended: "landed",
      predicted_time_s: expect.closeTo(LASTS_S, 6) as number,
      actual_time_s: LASTS_S,
      need_middle_pct: expect.closeTo(NEED_PCT, 6) as number,
      need_upper_pct: expect.closeTo(UPPER_PCT, 6) as number,
      used_pct: expect.closeTo(9, 6) as number,
      predicted_height_m: 50,
      actual_height_m: 50,
      ended_m_from_point: expect.closeTo(0, 6) as number,
      path_ratio: expect.closeTo(1, 6) as number,
    });
    const none = { ...FLOWN, recoveryPoints: [{ ...ORIGIN, at_s: 130 }] };
    const late = askConduct(recoveryFlown, replay(flight({ off_m: 40 }), none));
    expect(late.finding?.message).toMatch(/^A recovery was flown from 01:40 and landed 40 m from/);
    expect(late.finding?.evidence).toMatchObject({ need_middle_pct: null });
    const told = replay(flight());
    expect(recoveryFlown.bases(told)).toEqual(["measured", ...energyBases(told)]);
  });

  it("spells both findings out", () => {
    const dear = askConduct(recoveryFlown, replay(flight({ used_pct: 9 }))).finding;
    expect(dear?.message).toMatch(
      /^A recovery was flown from 01:40, 300 m out, and used 9 %, more than the upper estimate of 7 % \(1 min 00 s flown, 1 min 00 s rehearsed\)\.$/,
    );
    expect(dear).toMatchObject({ at: BEGINS_S, first: BEGINS_S, last: BEGINS_S + LASTS_S });
    expect(dear?.value).toBeCloseTo(-3, 6);
    expect(dear?.limit).toBeCloseTo(NEED_PCT - UPPER_PCT, 9);
    const astray = askConduct(recoveryFlown, replay(flight({ off_m: 44 }))).finding;
    expect(astray?.message).toBe(
      "A recovery was flown from 01:40, 344 m out, and landed 44 m from the recovery point (limit 30 m).",
    );
    expect(astray).toMatchObject({ limit: 30, unit: "m", at: BEGINS_S + LASTS_S });
  });

  it("using more never makes the verdict better", () => {
    const RANK = { clear: 0, thin: 1, fail: 2, unknown: 3, "n/a": 3 };
    const rank = (used_pct: number): number => RANK[askConduct(recoveryFlown, replay(flight({ used_pct }))).verdict];
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 60 }), (a, b) => {
        expect(rank(Math.max(a, b) / 2)).toBeGreaterThanOrEqual(rank(Math.min(a, b) / 2));
      }),
      { numRuns: 20 },
    );
  });
});
