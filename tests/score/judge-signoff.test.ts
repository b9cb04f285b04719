import { describe, expect, test } from "vitest";
import { judgeSignoff } from "../../src/score/judge-signoff.js";
import type { FlightResult, LogResult } from "../../src/score/result.js";
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

describe("what the record says", () => {
  const late = good(21, { score: null, coverage: { share: 0.75049, rules: { "reserve-short": null } } });
  const old = good(1, { score: 70, coverage: { share: 0.5, rules: { "reserve-short": 0.9 } } });
  const thin = good(15, { findings: [findingOf("reserve-short", "thin"), findingOf("fix-weak", "fail")] });
  const failing = good(16, { findings: [findingOf("reserve-short", "thin"), findingOf("reserve-short", "fail")] });
  const undated = good(3, { start_utc: null, airborne_s: 61 });
  const requirement = (id: string) =>
    judge([late, old, thin, failing, undated], { flights: 6, minutes: 50 }).requirements.find((one) => one.id === id);

  test("the sums", () => {
    expect(requirement("logs-read")).toEqual({
      id: "logs-read",
      rule: null,
      required: 5,
      found: 5,
      unit: "logs",
      met: true,
      message: "All 5 logs could be read.",
      exceptions: [],
    });
    expect(requirement("flights")).toEqual({
      id: "flights",
      rule: null,
      required: 6,
      found: 5,
      unit: "flights",
      met: false,
      message: "5 flights; asked for: 6.",
      exceptions: [],
    });
    expect(requirement("minutes")).toEqual({
      id: "minutes",
      rule: null,
      required: 50,
      found: 41.016667,
      unit: "min",
      met: false,
      message: "41 minutes in the air; asked for: 50.",
      exceptions: [],
    });
  });

  test("each flight that is not good enough, with what was found", () => {
    expect(requirement("score")).toMatchObject({ found: null, exceptions: ["0.csv: no score", "1.csv: 70"] });
    expect(requirement("coverage")).toEqual({
      id: "coverage",
      rule: null,
      required: 0.8,
      found: 0.5,
      unit: "1",
      met: false,
      message: "At least 80 % of every flight could be assessed.",
      exceptions: ["0.csv: 75 %", "1.csv: 50 %"],
    });
    expect(requirement("must-be-clear")).toEqual({
      id: "must-be-clear",
      rule: "reserve-short",
      required: 5,
      found: 1,
      unit: "flights",
      met: false,
      message: "reserve-short is clear in every flight.",
      exceptions: [
        "0.csv: the question never arose",
        "1.csv: not assessed for 95 % of the time",
        "2.csv: thin",
        "3.csv: fails",
      ],
    });
    expect(requirement("within")).toEqual({
      id: "within",
      rule: null,
      required: 864_000,
      found: null,
      unit: "s",
      met: false,
      message: "Every flight was within 10 days up to 2026-05-20.",
      exceptions: ["0.csv: later than that day", "1.csv: on 2026-05-01", "4.csv: no date"],
    });
  });

  test("the age of the oldest, and the least of the scores and shares", () => {
    const { requirements } = judge([good(19, { score: 99 }), good(12, { score: 85 }), good(20)]);
    // From ten o'clock on the 12th to the end of the 20th.
    expect(requirements.find(({ id }) => id === "within")?.found).toBe((8 * 24 + 14) * 3600);
    expect(requirements.find(({ id }) => id === "score")?.found).toBe(80);
    expect(judge([]).requirements.map(({ found }) => found)).toEqual([0, 0, 0, null, null, 0, null]);
  });

  test("the ends of the days that count", () => {
    const on = (start_utc: string): string[] => unmet([good(15), good(20, { start_utc })]);
    expect(on("2026-05-20T23:59:59.999Z")).toEqual([]);
    expect(on("2026-05-21T00:00:00.000Z")).toEqual(["within"]);
    expect(on("2026-05-10T00:00:00.000Z")).toEqual([]);
    expect(on("2026-05-09T23:59:59.999Z")).toEqual(["within"]);
  });

  test("one log, one day, and a part of a day", () => {
    const said = (policy: Partial<SignoffPolicy>) =>
      judge([good(20)], policy).requirements.map(({ message }) => message);
    expect(said({ within_s: 86_400 }).at(-1)).toBe("Every flight was within 1 day up to 2026-05-20.");
    expect(said({ within_s: 130_000 }).at(-1)).toBe("Every flight was within 1.5 days up to 2026-05-20.");
    expect(said({}).slice(0, 2)).toEqual(["The log could be read.", "1 flight; asked for: 2."]);
    const unread = judgeSignoff([logWith("a.csv", [], null)], POLICY, AS_OF);
    expect(unread.requirements[0]?.message).toBe("Not every log could be read.");
  });

  test("each log and flight", () => {
    const inputs = {
      "wind.speed": { value: 1, unit: "m/s", basis: "assumed", from: "" },
    } as unknown as FlightResult["inputs"];
    const first = good(20, { inputs, findings: [findingOf("fix-weak", "thin")] });
    const bad = { ...logWith("b.csv", [], null), problems: [{ message: "No rows." }] } as unknown as LogResult;
    const { logs } = judgeSignoff(
      [logWith("a.csv", [first]), bad, logWith("c.csv", [], null), logWith("d.csv", [good(19), good(21)])],
      POLICY,
      AS_OF,
    );
    expect(logs[0]).toEqual({
      path: "a.csv",
      sha256: "",
      bytes: 0,
      unread: null,
      flights: [
        {
          index: 1,
          start_utc: "2026-05-20T10:00:00.000Z",
          airborne_s: 600,
          score: 80,
          coverage: 0.8,
          must_be_clear: { "reserve-short": "clear" },
          findings: [{ rule: "fix-weak", verdict: "thin", duration_s: 1 }],
          assumed: ["wind.speed", "aircraft.drain"],
          copy_of: null,
          met: true,
        },
      ],
    });
    expect(logs.map(({ unread }) => unread)).toEqual([null, "No rows.", "It could not be read.", null]);
    expect(logs[3]?.flights.map(({ met }) => met)).toEqual([true, false]);
  });

  test("a flight that misses one thing alone is not met", () => {
    const met = (given: Partial<FlightResult>, day = 20) => judge([good(day, given)]).logs[0]?.flights[0]?.met;
    expect(met({})).toBe(true);
    expect(met({ score: 79 })).toBe(false);
    expect(met({ coverage: { share: 0.79, rules: { "reserve-short": 1 } } })).toBe(false);
    expect(met({ coverage: { share: 1, rules: {} } })).toBe(false);
    expect(met({}, 9)).toBe(false);
  });

  test("a copy is named by its log, and by its flight where the log has several", () => {
    const [a, b] = [good(19), good(20)];
    const { logs } = judgeSignoff(
      [logWith("a.csv", [a, { ...b, index: 2 }]), logWith("b.csv", [{ ...b }])],
      POLICY,
      AS_OF,
    );
    expect(logs[1]?.flights[0]?.copy_of).toBe("a.csv, flight 2");
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
