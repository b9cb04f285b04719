import { describe, expect, test } from "vitest";
import { judgeSignoff } from "../../src/score/judge-signoff.js";
import type { FlightResult } from "../../src/score/result.js";
import type { SignoffPolicy } from "../../src/score/signoff-record.js";
import { findingOf, flightOf, logWith } from "../helpers/results.js";

const POLICY: SignoffPolicy = {
  flights: 2,
  minutes: 20,
  score: 80,
  coverage: 0.8,
  must_be_clear: ["reserve-short"],
  within_s: 10 * 86_400,
  sites: 0,
  site_minutes: 0,
};
const AS_OF = "2026-05-20";

/** A flight of ten minutes on a day of May 2026 that meets everything; no two are alike. */
const good = (dayOfMay: number, given: Partial<FlightResult> = {}): FlightResult =>
  flightOf({
    start_utc: `2026-05-${String(dayOfMay).padStart(2, "0")}T10:00:00.000Z`,
    airborne_s: 600,
    distance_flown_m: 1000 + 100 * dayOfMay,
    score: 80,
    coverage: { share: 0.8, rules: { "reserve-short": 0.95 } },
    ...given,
  });

const judge = (flights: readonly FlightResult[], policy: Partial<SignoffPolicy> = {}, asOf = AS_OF) =>
  judgeSignoff(
    flights.map((flight, i) => logWith(`${i}.csv`, [flight])),
    { ...POLICY, ...policy },
    asOf,
  );

const unmet = (...[flights, policy, asOf]: Parameters<typeof judge>): string[] =>
  judge(flights, policy, asOf).requirements.flatMap(({ id, met }) => (met ? [] : [id]));

describe("each requirement, at its limit and beside it", () => {
  test("all met, exactly at every limit", () => {
    const outcome = judge([good(10), good(20)]);
    expect(outcome.passed).toBe(true);
    expect(outcome.requirements.map(({ id }) => id)).toEqual([
      "logs-read",
      "flights",
      "minutes",
      "score",
      "coverage",
      "must-be-clear",
      "within",
    ]);
    expect(outcome.logs.every(({ flights }) => flights.every(({ met }) => met))).toBe(true);
  });

  const third = good(19, { airborne_s: 1 });
  test.each<[string, readonly FlightResult[], string[]]>([
    ["a flight too few", [good(20, { airborne_s: 1200 })], ["flights"]],
    ["a second too little", [good(10), good(20, { airborne_s: 599 })], ["minutes"]],
    ["a point too low", [good(10), good(20), { ...third, score: 79 }], ["score"]],
    ["no score at all", [good(10), good(20), { ...third, score: null }], ["score"]],
    [
      "coverage a hair under",
      [good(10), good(20), { ...third, coverage: { share: 0.7999, rules: { "reserve-short": 1 } } }],
      ["coverage"],
    ],
    [
      "a thin finding of a rule",
      [good(10), good(20, { findings: [findingOf("reserve-short", "thin")] })],
      ["must-be-clear"],
    ],
    ["a fail of a rule", [good(10), good(20, { findings: [findingOf("reserve-short", "fail")] })], ["must-be-clear"]],
    [
      "unknown is not clear",
      [good(10), good(20, { coverage: { share: 1, rules: { "reserve-short": 0.9499 } } })],
      ["must-be-clear"],
    ],
    [
      "nor is what never arose",
      [good(10), good(20, { coverage: { share: 1, rules: { "reserve-short": null } } })],
      ["must-be-clear"],
    ],
    [
      "a finding of another rule is nothing to it",
      [good(10), good(20, { findings: [findingOf("fix-weak", "thin")] })],
      [],
    ],
    ["a day too old", [good(9), good(20)], ["within"]],
    ["a day too late", [good(10), good(21)], ["within"]],
    ["without a date", [good(10), good(20, { start_utc: null })], ["within"]],
  ])("%s", (_, flights, ids) => {
    expect(unmet(flights)).toEqual(ids);
  });

  test("no flight at all meets nothing by default", () => {
    expect(unmet([])).toEqual(["flights", "minutes"]);
  });

  test("a log that could not be read, and one without a flight", () => {
    const outcome = judgeSignoff([logWith("a.csv", [good(10), good(20)]), logWith("b.csv", [], null)], POLICY, AS_OF);
    expect(outcome.requirements[0]).toMatchObject({ id: "logs-read", met: false, found: 1, exceptions: ["b.csv"] });
    expect(judgeSignoff([logWith("a.csv", [good(10), good(20)]), logWith("b.csv", [])], POLICY, AS_OF).passed).toBe(
      true,
    );
  });

  test("what is not met names the flight and what was found", () => {
    const outcome = judgeSignoff([logWith("a.csv", [good(10), good(20, { score: 12 })])], POLICY, AS_OF);
    expect(outcome.requirements.find(({ id }) => id === "score")).toEqual({
      id: "score",
      rule: null,
      required: 80,
      found: 12,
      unit: "points",
      met: false,
      message: "Every flight has a score of at least 80.",
      exceptions: ["a.csv, flight 1: 12"],
    });
  });
});

describe("sites", () => {
  const at = (day: number, latitude_deg: number, minutes: number): FlightResult =>
    good(day, {
      airborne_s: minutes * 60,
      recovery_point: { latitude_deg, longitude_deg: 8, basis: "inferred", set_at_s: 0 },
    });
  // A hundredth of a degree of latitude is 1.1 km.
  const flights = [at(12, 47, 10), at(13, 47.001, 5), at(14, 47.01, 12)];

  test("nearer than a kilometre is one site", () => {
    expect(judge(flights).sites).toEqual([
      { latitude_deg: 47, longitude_deg: 8, flights: 2, minutes: 15 },
      { latitude_deg: 47.01, longitude_deg: 8, flights: 1, minutes: 12 },
    ]);
    expect(unmet(flights, { sites: 2 })).toEqual([]);
    expect(unmet(flights, { sites: 3 })).toEqual(["sites"]);
  });

  test("minutes at each of as many sites as asked for", () => {
    expect(unmet(flights, { site_minutes: 15 })).toEqual([]);
    expect(unmet(flights, { sites: 2, site_minutes: 12 })).toEqual([]);
    expect(unmet(flights, { sites: 2, site_minutes: 12.1 })).toEqual(["site-minutes"]);
  });
});

describe("copies count once", () => {
  test("the same hours in another log", () => {
    const outcome = judge([good(20), good(20, { airborne_s: 590, distance_flown_m: 1 })]);
    expect(outcome.totals).toEqual({ logs: 2, flights: 1, copies: 1, minutes: 10 });
    expect(outcome.logs[1]?.flights[0]).toMatchObject({ copy_of: "0.csv", met: false });
    expect(outcome.passed).toBe(false);
  });

  test("overlapping by as much as two recordings of neighbouring flights may", () => {
    const next = good(20, { start_utc: "2026-05-20T10:09:57.000Z", distance_flown_m: 1 });
    expect(judge([good(20), next]).totals.copies).toBe(0);
    expect(judge([good(20), { ...next, start_utc: "2026-05-20T10:09:56.900Z" }]).totals.copies).toBe(1);
  });

  test("the same samples under another date", () => {
    expect(judge([good(20), { ...good(20), start_utc: "2026-05-19T10:00:00.000Z" }]).totals.copies).toBe(1);
  });

  test("a planned flight flown twice is two", () => {
    const again = { ...good(20), start_utc: "2026-05-19T10:00:00.000Z", airborne_s: 600.3 };
    expect(judge([good(20), again]).totals.copies).toBe(0);
  });

  test("without a date, another format of the same flight", () => {
    const shape = { farthest_m: 300, highest_m: 50, battery_start_pct: 97, battery_end_pct: 60 };
    const first = good(20, shape);
    const exported = good(20, {
      ...shape,
      start_utc: null,
      airborne_s: 602,
      distance_flown_m: 2970,
      battery_end_pct: null,
    });
    expect(judge([first, exported]).totals.copies).toBe(1);
    expect(judge([first, { ...exported, farthest_m: 307 }]).totals.copies).toBe(0);
    expect(judge([first, { ...exported, battery_start_pct: 99 }]).totals.copies).toBe(0);
  });
});
