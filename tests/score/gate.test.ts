import { describe, expect, it } from "vitest";
import { DEFAULT_GATE, type GateOptions, type RunExtent, summarize } from "../../src/score/gate.js";
import type { FlightResult, LogResult } from "../../src/score/result.js";
import { findingOf as finding, flightOf as flight, logWith as log } from "../helpers/results.js";

const gate = (one: FlightResult, options: Partial<GateOptions> = {}) =>
  summarize([log("a.csv", [one])], { ...DEFAULT_GATE, ...options }).gate;
const codesOf = (one: FlightResult, options: Partial<GateOptions> = {}): string[] =>
  gate(one, options).reasons.map(({ code }) => code);

describe("gate without options", () => {
  it("lets a good flight and a thin one pass", () => {
    expect(gate(flight())).toEqual({ passed: true, reasons: [] });
    expect(gate(flight({ findings: [finding("reserve-short", "thin")] })).passed).toBe(true);
  });

  it("stops at a fail finding, naming each rule once", () => {
    const findings = [
      finding("ceiling-low", "fail"),
      finding("ceiling-low", "fail"),
      finding("fix-weak", "fail"),
      finding("point-late", "thin"),
    ];
    expect(gate(flight({ findings }))).toEqual({
      passed: false,
      reasons: [{ code: "fail-finding", message: "a.csv: fails ceiling-low, fix-weak." }],
    });
  });

  it("stops at a score that is missing for want of coverage", () => {
    const { passed, reasons } = gate(flight({ score: null, share: 0.2 }));
    expect(passed).toBe(false);
    expect(reasons).toEqual([{ code: "no-score", message: "a.csv: no score, since only 20 % could be assessed." }]);
  });

  it("does not ask for a score or a coverage of its own", () => {
    expect(codesOf(flight({ score: 0, share: 0.01 }))).toEqual([]);
  });
});

describe("gate with options", () => {
  it("--gate thin stops at a thin finding too", () => {
    const findings = [finding("reserve-short", "thin"), finding("fix-weak", "fail")];
    expect(codesOf(flight({ findings: findings.slice(0, 1) }), { gate: "thin" })).toEqual(["thin-finding"]);
    expect(codesOf(flight({ findings }), { gate: "thin" })).toEqual(["fail-finding", "thin-finding"]);
    expect(codesOf(flight(), { gate: "thin" })).toEqual([]);
  });

  it.each([
    [90, []],
    [90.5, ["score"]],
    [91, ["score"]],
    [0, []],
  ])("--min-score %d of a flight with 90", (minScore, expected) => {
    expect(codesOf(flight(), { minScore })).toEqual(expected);
  });

  it.each([
    [0.9, []],
    [0.91, ["coverage"]],
    [0, []],
  ])("--min-coverage %d of a flight with 0.9", (minCoverage, expected) => {
    expect(codesOf(flight(), { minCoverage })).toEqual(expected);
  });

  it("--min-coverage 0 lets a flight without a score pass, unless a score was wanted", () => {
    const unscored = flight({ score: null, share: 0.1 });
    expect(codesOf(unscored, { minCoverage: 0 })).toEqual([]);
    expect(codesOf(unscored, { minCoverage: 0, minScore: 0 })).toEqual(["score"]);
    expect(codesOf(unscored, { minCoverage: 0.05 })).toEqual(["no-score"]);
    expect(codesOf(unscored, { minCoverage: 0.5, minScore: 80 })).toEqual(["no-score", "coverage"]);
  });

  it("says by how much, and never that 80 % is less than 80 %", () => {
    expect(gate(flight({ share: 0.57 }), { minCoverage: 0.8 }).reasons[0]?.message).toBe(
      "a.csv: coverage 57 %, wanted 80 %.",
    );
    expect(gate(flight({ share: 0.7999 }), { minCoverage: 0.8 }).reasons[0]?.message).toBe(
      "a.csv: coverage 79 %, wanted 80 %.",
    );
    expect(gate(flight({ share: 0.8 }), { minCoverage: 0.8001 }).reasons[0]?.message).toBe(
      "a.csv: coverage 80 %, wanted 80.01 %.",
    );
    expect(gate(flight({ score: 80 }), { minScore: 85 }).reasons[0]?.message).toBe("a.csv: score 80, wanted 85.");
  });

  it("adds decimals up to the sixth until the two differ and neither reads as more than it is", () => {
    const said = (share: number, minCoverage: number): string | undefined =>
      gate(flight({ share }), { minCoverage }).reasons[0]?.message;
    expect(said(0.5, 0.555)).toBe("a.csv: coverage 50 %, wanted 55.5 %.");
    expect(said(0.8, 0.80000001)).toBe("a.csv: coverage 80 %, wanted 80.000001 %.");
    expect(said(0.8, 0.8000000001)).toBe("a.csv: coverage 80 %, wanted 80 %.");
    expect(said(0.333, 1 / 3)).toBe("a.csv: coverage 33.3 %, wanted 33.333333 %.");
    expect(said(0.29, 0.3)).toBe("a.csv: coverage 29 %, wanted 30 %.");
  });

  it("names thin rules and missing scores in full", () => {
    const thin = [finding("fix-weak", "thin"), finding("point-late", "thin"), finding("fix-weak", "thin")];
    expect(gate(flight({ findings: thin }), { gate: "thin" }).reasons).toEqual([
      { code: "thin-finding", message: "a.csv: thin under fix-weak, point-late." },
    ]);
    expect(gate(flight({ score: null }), { minCoverage: 0, minScore: 50 }).reasons).toEqual([
      { code: "score", message: "a.csv: no score, wanted 50." },
    ]);
    // 0.9999 of it is not all of it; 0.29 × 100 ends a hair under 29 in doubles.
    expect(gate(flight({ score: null, share: 0.9999 })).reasons[0]?.message).toContain("only 99 %");
    expect(gate(flight({ score: null, share: 0.29 })).reasons[0]?.message).toContain("only 29 %");
    expect(codesOf(flight({ score: null, share: 1 }), { minScore: 50 })).toEqual(["no-score"]);
    expect(codesOf(flight(), { minCoverage: 0, minScore: 50 })).toEqual([]);
  });

  it("gives every reason of every flight, and says which flight where a log has several", () => {
    const bad = flight({ index: 2, score: 20, findings: [finding("reserve-short", "fail")] });
    const { reasons } = summarize([log("a.csv", [flight(), bad]), log("b.csv", [flight({ score: 10 })])], {
      ...DEFAULT_GATE,
      minScore: 50,
    }).gate;
    expect(reasons.map(({ message }) => message)).toEqual([
      "a.csv, flight 2: fails reserve-short.",
      "a.csv, flight 2: score 20, wanted 50.",
      "b.csv: score 10, wanted 50.",
    ]);
  });
});

describe("gate of what could not be audited", () => {
  const codesOfRun = (logs: readonly LogResult[], options: Partial<GateOptions> = {}): string[] =>
    summarize(logs, { ...DEFAULT_GATE, ...options }).gate.reasons.map(({ code }) => code);

  it("stops at a log that could not be read, by name, even beside a good one", () => {
    const { gate: outcome } = summarize([log("good.csv", [flight()]), log("bad.csv", [], null)]);
    expect(outcome).toEqual({
      passed: false,
      reasons: [{ code: "unreadable", message: "bad.csv: could not be read." }],
    });
  });

  it("stops where no moment of the run was judged, but not for one log without a flight", () => {
    expect(codesOfRun([log("a.csv", [])])).toEqual(["nothing-judged"]);
    expect(codesOfRun([log("a.csv", [flight({ recoverable_share: null })])])).toEqual(["nothing-judged"]);
    expect(codesOfRun([log("a.csv", []), log("b.csv", [flight({ recoverable_share: 0 })])])).toEqual([]);
    expect(codesOfRun([log("a.csv", [])], { minCoverage: 0 })).toEqual(["nothing-judged"]);
  });
});

describe("gate of a run that is not all there", () => {
  const reasonsOf = (logs: readonly LogResult[], extent: RunExtent) => summarize(logs, DEFAULT_GATE, extent).gate;

  it("never passes a run that was interrupted", () => {
    expect(reasonsOf([log("a.csv", [flight()])], { interruptedAfter: "1 of 3" })).toEqual({
      passed: false,
      reasons: [{ code: "interrupted", message: "The run was interrupted after 1 of 3 logs." }],
    });
  });

  it("passes a part without logs, but not one whose logs judged nothing", () => {
    expect(reasonsOf([], { isShard: true })).toEqual({ passed: true, reasons: [] });
    expect(reasonsOf([log("a.csv", [])], { isShard: true }).reasons.map(({ code }) => code)).toEqual([
      "nothing-judged",
    ]);
    expect(reasonsOf([], { isShard: false }).passed).toBe(false);
  });
});

describe("the run in numbers", () => {
  it("sums logs and flights up", () => {
    const logs = [
      log("a.csv", [flight({ score: 90, fail_s: 2.5, airborne_s: 60, findings: [finding("fix-weak", "thin")] })]),
      log(
        "b.gpx",
        [flight({ score: 40, fail_s: 10 }), flight({ index: 2, score: null }), flight({ index: 3, score: 71 })],
        "gpx",
      ),
      log("c.csv", [], null),
      log("d.csv", []),
    ];
    expect(summarize(logs)).toMatchObject({
      logs: 4,
      logs_unreadable: 1,
      flights: 4,
      airborne_s: 360,
      score_min: 40,
      score_median: 71,
      fail_s: 12.5,
      findings: 1,
    });
  });

  it("has no score where no flight has, not 0", () => {
    expect(summarize([])).toEqual({
      logs: 0,
      logs_unreadable: 0,
      flights: 0,
      airborne_s: 0,
      score_min: null,
      score_median: null,
      fail_s: 0,
      findings: 0,
      gate: { passed: false, reasons: [{ code: "nothing-judged", message: "No moment of the run could be judged." }] },
    });
    expect(summarize([log("a.csv", [flight({ score: null })])])).toMatchObject({ score_min: null, score_median: null });
  });

  it("means the two middle scores of an even number", () => {
    expect(summarize([log("a.csv", [flight({ score: 90 }), flight({ score: 45 })])]).score_median).toBe(67.5);
  });
});
