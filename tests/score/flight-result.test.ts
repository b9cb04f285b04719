import { describe, expect, it } from "vitest";
import { CONDUCT_RULES, MOMENT_RULES } from "../../src/rules/index.js";
import { conductRule, momentRule } from "../../src/rules/rule.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { outAndBack } from "../helpers/flights.js";
import { ALL_KNOWN, shortReplay, withMoment } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";
import { found, judged, said } from "../helpers/rules.js";

const BOOM = new Error("boom");
const crashing = momentRule({
  id: "test-crash",
  question: "Does it crash?",
  unit: "1",
  needs: ["at_s"],
  limits: {},
  judge: ({ at_s }) => {
    if (at_s > 5) throw BOOM;
    return "clear";
  },
  badness: () => 0,
  describe: () => ({ value: 0, limit: 0, message: "", advice: "", evidence: {} }),
  bases: () => [],
  lacks: () => [],
});
const mute = momentRule({
  id: "test-mute",
  question: "Can it describe?",
  unit: "1",
  needs: ["at_s"],
  limits: {},
  judge: () => "fail",
  badness: () => 0,
  describe: () => {
    throw BOOM;
  },
  bases: () => [],
  lacks: () => [],
});
const crashingConduct = conductRule({
  id: "test-conduct",
  question: "Does it crash?",
  unit: "1",
  limits: {},
  judge: () => {
    throw BOOM;
  },
  bases: () => [],
});

describe("a rule that crashes", () => {
  it("is named, counts as unknown, and the others go on", () => {
    const rules = {
      moment: [...MOMENT_RULES, crashing, mute],
      conduct: [...CONDUCT_RULES, crashingConduct],
    };
    const { result, judgement } = auditFlight(shortReplay(), rules);
    expect([...judgement.crashes.keys()].sort()).toEqual(["test-conduct", "test-crash", "test-mute"]);
    expect(judgement.crashes.get("test-mute")).toBe(BOOM);
    const missing = ["the rule crashed; please report it"];
    for (const rule of ["test-crash", "test-mute", "test-conduct"]) {
      expect(result.not_assessed).toContainEqual({ rule, missing, share: 1 });
    }
    expect(result.score).toBe(auditFlight(shortReplay()).result.score);
  });
});

describe("findings", () => {
  it("are not made of a single odd row, which still costs its share", () => {
    const rows = Array.from({ length: 401 }, (_, i) => ({
      time_s: i / 10,
      latitude_deg: 47,
      longitude_deg: 8,
      height_m: i === 0 ? 0 : 20,
      satellites: 15,
      battery_pct: 90,
      airborne: 1,
    }));
    rows.forEach((row, i) => {
      if (i >= 100 && i < 109) row.satellites = 6;
    });
    const short = auditFlight(replayRows(rows, { ...ALL_KNOWN })).result;
    expect(short.findings.filter(({ rule }) => rule === "fix-weak")).toEqual([]);
    expect(short.points_lost["fix-weak"]).toBeGreaterThan(0);
    const one = rows.map((row, i) => (i === 109 ? { ...row, satellites: 6 } : row));
    const found = auditFlight(replayRows(one, { ...ALL_KNOWN })).result.findings.filter(
      ({ rule }) => rule === "fix-weak",
    );
    expect(found).toMatchObject([{ verdict: "thin", start_s: 10, end_s: 10.9, duration_s: 1 }]);
  });

  it("merge within 3 s, share an episode where they adjoin, and take the true worst", () => {
    const replay = shortReplay(60);
    const satellites = (k: number): number =>
      k >= 10 && k < 14 ? 7 : k >= 14 && k < 18 ? 3 : k >= 18 && k < 22 ? 5 : k >= 40 && k < 44 ? 6 : 15;
    for (let k = 0; k < 60; k += 1) withMoment(replay, k, { satellites: satellites(k) });
    const found = auditFlight(replay).result.findings.filter(({ rule }) => rule === "fix-weak");
    expect(found.map(({ verdict, start_s, end_s, episode }) => ({ verdict, start_s, end_s, episode }))).toEqual([
      { verdict: "thin", start_s: 10, end_s: 13, episode: found[0]?.episode },
      { verdict: "fail", start_s: 14, end_s: 17, episode: found[0]?.episode },
      { verdict: "thin", start_s: 18, end_s: 21, episode: found[0]?.episode },
      { verdict: "thin", start_s: 40, end_s: 43, episode: (found[0]?.episode ?? 0) + 1 },
    ]);
    expect(found[2]?.worst.value).toBe(5);
  });

  it("of one cause bill once and name each other", () => {
    const rows = outAndBack({
      course_deg: 0,
      out_ms: 10,
      outFor_s: 450,
      back_ms: 10,
      height_m: 40,
      battery_pct: 100,
      rate_pctPerMin: 6,
      step_s: 1,
    });
    const { result } = auditFlight(
      replayRows(rows, {
        drain: { hover: 6, climb: 6, cruise: 6, descent: 6 },
        speeds: { recovery: 10, climb: 3, descent: 3, landing: 0.8 },
        settings: { recoveryHeight_m: 40 },
        wind: { speed_ms: 0, from_deg: 0, gust_ms: 0, height_m: 10, shear: 0 },
        operator: { kind: "at-takeoff" },
        site: ALL_KNOWN.site ?? shortReplay().setting.site,
      }),
    );
    const billed = ["reserve-short", "turnback-late", "reserve-floor"].filter(
      (id) => (result.points_lost[id] ?? 0) > 0,
    );
    expect(billed).toEqual(["reserve-short"]);
    const dearest = result.findings.find(({ rule }) => rule === "reserve-short");
    expect(dearest?.related).toEqual(["turnback-late", "reserve-floor"]);
    const sum = Object.values(result.points_lost).reduce((total, points) => total + points, 0);
    expect(sum).toBeCloseTo(100 - (result.score ?? Number.NaN), 4);
    expect(result.turnback).toMatchObject({ passed: true });
  });
});

describe("a slow log", () => {
  const rows = Array.from({ length: 40 }, (_, i) => ({
    time_s: i * 5,
    latitude_deg: 47,
    longitude_deg: 8,
    height_m: i === 0 ? 0 : 20,
    satellites: i >= 10 && i < 20 ? 6 : i >= 20 && i < 25 ? 3 : 15,
    battery_pct: 90,
    airborne: 1,
  }));

  it("fills the strip, each moment for the time it stands for", () => {
    const { result } = auditFlight(replayRows(rows, ALL_KNOWN));
    expect(result.strip).not.toContain("unknown");
    expect(result.strip.filter((part) => part === "fail").length).toBeGreaterThanOrEqual(12);
    expect(result.strip.slice(26, 49).every((part) => part === "thin")).toBe(true);
  });

  it("has one episode where neighbouring rows go from thin to fail", () => {
    const found = auditFlight(replayRows(rows, ALL_KNOWN)).result.findings.filter(({ rule }) => rule === "fix-weak");
    expect(found.map(({ verdict }) => verdict)).toEqual(["thin", "fail"]);
    expect(found[0]?.episode).toBe(found[1]?.episode);
  });
});

describe("the result", () => {
  it("holds no number that JSON cannot write", () => {
    const rows = outAndBack({
      course_deg: 0,
      out_ms: 10,
      outFor_s: 60,
      back_ms: 10,
      height_m: 40,
      battery_pct: 90,
      rate_pctPerMin: 6,
      step_s: 1,
    });
    const wind = { speed_ms: 20, from_deg: 180, gust_ms: undefined, height_m: 10, shear: 0 };
    const { result } = auditFlight(replayRows(rows, { ...ALL_KNOWN, wind, speeds: { recovery: 10 } }));
    const stall = result.findings.find(({ rule, verdict }) => rule === "reserve-short" && verdict === "fail");
    expect(stall?.worst.value).toBeNull();
    expect(stall?.evidence).toMatchObject({ need_middle_pct: null, reason: "no_headway" });
    const numbers: number[] = [];
    JSON.stringify(result, (_, value: unknown) => {
      if (typeof value === "number") numbers.push(value);
      return value;
    });
    expect(numbers.length).toBeGreaterThan(50);
    for (const value of numbers) expect(Number.isFinite(value) && !Object.is(value, -0)).toBe(true);
  });

  it("is the same, byte for byte, every time", () => {
    const once = (): string => JSON.stringify(auditFlight(shortReplay(300)).result);
    expect(once()).toBe(once());
  });
});

describe("a rule that cannot tell its finding", () => {
  it("is unknown alone, and keeps what was caught before", () => {
    const { result, judgement } = auditFlight(shortReplay(), {
      moment: [said("low", () => "fail"), mute],
      conduct: [crashingConduct],
    });
    expect(result.findings.map(({ rule }) => rule)).toEqual(["low"]);
    expect(result.coverage.rules).toEqual({ low: 1, "test-mute": 0, "test-conduct": 0 });
    expect([...judgement.crashes]).toEqual([
      ["test-conduct", BOOM],
      ["test-mute", BOOM],
    ]);
  });

  it("is told from a fault of the engine, which is not swallowed", () => {
    const wrong = judged("wrong", { verdict: "clear", finding: found });
    expect(() => auditFlight(shortReplay(), { moment: [], conduct: [wrong] })).toThrow("wrong gives a finding");
  });
});
