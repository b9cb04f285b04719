import { describe, expect, it } from "vitest";
import { recordGap } from "../../src/rules/record-gap.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { askConduct } from "../helpers/conduct.js";
import { at, ORIGIN, type Row } from "../helpers/flights.js";
import { replayRows } from "../helpers/replay.js";

/** Hovers at 30 m from second 0 to `last`, without the seconds in (from, to); on the ground afterwards. */
function rows(last: number, from = 0, to = 0): Row[] {
  const flown = Array.from({ length: last + 1 }, (_, time_s) => ({
    time_s,
    ...at(100, 0),
    height_m: time_s === 0 ? 0 : 30,
    battery_pct: 80,
    airborne: 1,
  })).filter(({ time_s }) => !(time_s > from && time_s < to));
  return [...flown, { time_s: last + 1, ...at(100, 0), height_m: 0, battery_pct: 80, airborne: 0 }];
}
const GIVEN = { recoveryPoints: [{ ...ORIGIN, at_s: 0 }] };

describe("record-gap", () => {
  it.each([
    ["no gap", rows(400), "clear"],
    ["five seconds is no gap", rows(400, 100, 105), "clear"],
    // 6 s from row to row, one step of which the moment before the gap stands for: 5 of 251 s.
    ["a gap of just under 2 %", rows(250, 100, 106), "clear"],
    ["a gap of just over 2 %", rows(248, 100, 106), "thin"],
    ["a gap of just under 20 %", rows(249, 100, 151), "thin"],
    ["a gap of just over 20 %", rows(244, 100, 151), "fail"],
  ] as const)("%s", (_, given, verdict) => {
    expect(askConduct(recordGap, replayRows(given, GIVEN)).verdict).toBe(verdict);
  });

  it("never stands a moment for a gap", () => {
    const replay = replayRows(rows(250, 100, 160), GIVEN);
    const k = replay.moments.at_s.indexOf(100);
    expect(replay.moments.weight_s[k]).toBe(1);
    expect(replay.moments.at_s[k + 1]).toBe(160);
  });

  it("says first that the record ends in the air, how far out and at what battery", () => {
    const cut = rows(60).slice(0, -1);
    const found = askConduct(recordGap, replayRows(cut, GIVEN));
    expect(found.verdict).toBe("thin");
    expect(found.finding?.message).toBe("The record ends in the air, 100 m out with 80 %.");
    const { result } = auditFlight(replayRows(cut, GIVEN));
    expect(result.findings.find(({ rule }) => rule === "record-gap")?.evidence).toMatchObject({ ends_in_air: "yes" });
  });

  it("points at the longest gap", () => {
    const { finding } = askConduct(recordGap, replayRows(rows(200, 100, 140), GIVEN));
    expect(finding?.message).toBe("19 % of the flight is not in the record.");
    expect(finding?.value).toBeCloseTo(39 / 201, 12);
  });

  it("takes a share just at a limit", () => {
    const replay = (policy: Readonly<Record<string, number>>) => replayRows(rows(200, 100, 140), { ...GIVEN, policy });
    const share = askConduct(recordGap, replay({})).finding?.value ?? Number.NaN;
    expect(askConduct(recordGap, replay({ "record_gap.thin": share })).verdict).toBe("clear");
    expect(askConduct(recordGap, replay({ "record_gap.fail": share }))).toMatchObject({
      verdict: "thin",
      finding: { limit: 0.02 },
    });
    expect(askConduct(recordGap, replay({ "record_gap.fail": share - 1e-9 }))).toMatchObject({
      verdict: "fail",
      finding: { limit: share - 1e-9 },
    });
  });

  it("points at the longest of several gaps, wherever the flight begins in the log", () => {
    const later = (given: readonly Row[]): Row[] => [
      ...Array.from({ length: 30 }, (_, time_s) => ({
        time_s,
        ...at(100, 0),
        height_m: 0,
        battery_pct: 80,
        airborne: 0,
      })),
      ...given.map((row) => ({ ...row, time_s: row.time_s + 30 })),
    ];
    const gaps = later(rows(200, 100, 140)).filter(
      ({ time_s }) => !(time_s > 50 && time_s < 60) && !(time_s > 190 && time_s < 200),
    );
    const { verdict, finding } = askConduct(recordGap, replayRows(gaps, GIVEN));
    const before = gaps.findIndex(({ time_s }) => time_s === 130);
    expect(verdict).toBe("fail");
    expect(finding).toMatchObject({
      first: before,
      last: before + 1,
      at: before,
      limit: 0.2,
      advice: "Find out why the recorder loses data; nothing can be said of what it missed.",
      evidence: { ends_in_air: "no", distance_at_end_m: expect.closeTo(100, 6) as number, battery_at_end_pct: 80 },
    });
    expect(finding?.value).toBeCloseTo((39 + 9 + 9) / 201, 12);
  });

  it("holds a record that ends in the air against nothing but its end", () => {
    const cut = askConduct(recordGap, replayRows(rows(60).slice(0, -1), GIVEN)).finding;
    expect(cut).toMatchObject({ first: 60, last: 60, at: 60, limit: 0, unit: "m" });
    expect(cut?.value).toBeCloseTo(100, 6);
    expect(cut?.advice).toMatch(/^Find out why the record stops there/);
    const blank = rows(60).map((row) => (row.time_s < 60 ? row : { ...row, battery_pct: Number.NaN }));
    const nowhere = askConduct(recordGap, replayRows(blank.slice(0, -1), {})).finding;
    expect(nowhere?.message).toMatch(/^The record ends in the air, at an unknown distance\.$|, 0 m out\.$/);
    expect(nowhere?.evidence["battery_at_end_pct"]).toBe(null);
    const both = askConduct(recordGap, replayRows(rows(60, 20, 50).slice(0, -1), GIVEN)).finding;
    expect(both?.message).toBe(
      "The record ends in the air, 100 m out with 80 %. 48 % of the flight is not in the record.",
    );
    expect(both).toMatchObject({ at: both?.last, limit: 0.2 });
    expect(recordGap.bases(replayRows(rows(60), GIVEN))).toEqual(["measured"]);
  });

  it("takes its limits from the policy", () => {
    const ask = (policy: Readonly<Record<string, number>>): string =>
      askConduct(recordGap, replayRows(rows(250, 100, 151), { ...GIVEN, policy })).verdict;
    expect(ask({})).toBe("thin");
    expect(ask({ "record_gap.fail": 0.19 })).toBe("fail");
    expect(ask({ "record_gap.thin": 0.2 })).toBe("clear");
  });
});
