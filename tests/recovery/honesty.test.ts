import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Channel } from "../../src/track/channels.js";
import { MOMENT_RULES } from "../../src/rules/index.js";
import { VERDICT } from "../../src/rules/verdict.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { judgeFlight } from "../../src/score/judge.js";
import { at, ORIGIN, outAndBack, type Row, trackOf } from "../helpers/flights.js";
import { replayOf, replayRows } from "../helpers/replay.js";
import { plainWithWall } from "../helpers/sites.js";

const PLAN = {
  course_deg: 90,
  out_ms: 8,
  outFor_s: 60,
  back_ms: 8,
  height_m: 40,
  battery_pct: 60,
  rate_pctPerMin: 8,
  step_s: 1,
};

describe("a bare track", () => {
  const flown = outAndBack(PLAN);
  const landed_s = 10 + (flown[flown.length - 1]?.time_s ?? 0);
  const standing = (from_s: number): Row[] => Array.from({ length: 10 }, (_, i) => ({ time_s: from_s + i, ...ORIGIN }));
  const bare: Row[] = [
    ...standing(0),
    ...flown.map(({ time_s, latitude_deg = 0, longitude_deg = 0 }) => ({
      time_s: time_s + 10,
      latitude_deg,
      longitude_deg,
    })),
    ...standing(landed_s + 1),
  ];

  it("says nothing of what it cannot know, and gives no score", () => {
    const { result, judgement } = auditFlight(replayRows(bare));
    for (const id of ["reserve-short", "ceiling-low", "point-adrift", "headwind-stall"]) {
      const codes = judgement.moments.find(({ rule }) => rule.id === id)?.codes ?? new Uint8Array([9]);
      expect(
        [...codes].every((code) => code === VERDICT.unknown),
        id,
      ).toBe(true);
      expect(result.not_assessed.find(({ rule }) => rule === id)).toMatchObject({ share: 1 });
    }
    expect(result.not_assessed.find(({ rule }) => rule === "reserve-short")?.missing).toContain(
      "battery percent in the log",
    );
    expect(result.not_assessed.find(({ rule }) => rule === "ceiling-low")?.missing).toEqual(
      expect.arrayContaining(["recovery height", "terrain", "obstacles"]),
    );
    expect(result.not_assessed.find(({ rule }) => rule === "point-adrift")?.missing).toContain(
      "the operator's position",
    );
    expect(result.score).toBeNull();
    expect(new Set(result.strip)).toEqual(new Set(["unknown"]));
    expect(result.coverage.share).toBe(0);
    expect(result.coverage_hints.length).toBeGreaterThan(0);
    expect(result.coverage_hints.length).toBeLessThanOrEqual(3);
    expect(result.findings).toEqual([]);
  });
});

describe("breaking one input of a moment", () => {
  const full: Row[] = outAndBack(PLAN).map((row) => ({
    ...row,
    satellites: 6 + (Math.floor(row.time_s / 7) % 9),
    hdop: 1 + (row.time_s % 11) / 2.5,
    fixType: Math.floor(row.time_s / 20) % 5 === 1 ? 2 : 3,
    operatorLatitude_deg: at(row.time_s / 3, 0).latitude_deg,
    operatorLongitude_deg: at(row.time_s / 3, 0).longitude_deg,
    windSpeed_ms: 5 + (row.time_s % 13) / 3,
    windFrom_deg: 270,
    recoveryLatitude_deg: ORIGIN.latitude_deg,
    recoveryLongitude_deg: ORIGIN.longitude_deg,
    recoveryHeight_m: 50,
  }));
  const given = {
    // The fit is held: rates are declared.
    drain: { hover: 8, climb: 9, cruise: 8, descent: 6 },
    speeds: { recovery: 9, climb: 3, descent: 3, landing: 0.8 },
    site: plainWithWall(at(200, 90).longitude_deg, 55),
  };
  const whole = judgeFlight(replayRows(full, given));
  const channels = Object.keys(full[0] ?? {}).filter((name) => name !== "time_s" && name !== "airborne") as Channel[];

  it("has verdicts of every kind to begin with", () => {
    const seen = new Set(whole.moments.flatMap(({ codes }) => [...codes]));
    expect(seen.has(VERDICT.clear) && seen.has(VERDICT.thin) && seen.has(VERDICT.fail)).toBe(true);
  });

  it("leaves that moment's verdicts as they were or makes them unknown, never better", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: full.length - 1 }),
        fc.subarray(channels, { minLength: 1 }),
        (k, broken) => {
          const rows = full.map((row, i) =>
            i === k ? { ...row, ...Object.fromEntries(broken.map((name) => [name, Number.NaN])) } : row,
          );
          const after = judgeFlight(replayOf(trackOf(rows), given));
          MOMENT_RULES.forEach((rule, r) => {
            const before = whole.moments[r]?.codes[k];
            const now = after.moments[r]?.codes[k];
            expect([before, VERDICT.unknown], `${rule.id} at ${k} without ${broken.join(", ")}`).toContain(now);
          });
        },
      ),
      { numRuns: 300 },
    );
  });
});

describe("moments before a recovery point is stored", () => {
  it("are unknown to every rule that flies there", () => {
    const rows = outAndBack(PLAN).map((row) => ({ ...row, satellites: row.time_s < 20 ? 7 : 14 }));
    const replay = replayRows(rows, { drain: { hover: 8, climb: 9, cruise: 8, descent: 6 } });
    expect(replay.inputs.point.setRow).toBe(20);
    const codes = judgeFlight(replay).moments.find(({ rule }) => rule.id === "reserve-short")?.codes;
    expect([...(codes?.subarray(0, 20) ?? [])].every((code) => code === VERDICT.unknown)).toBe(true);
    expect(codes?.[20]).not.toBe(VERDICT.unknown);
    const { findings } = auditFlight(replay).result;
    expect(findings.find(({ rule }) => rule === "point-late")).toMatchObject({ verdict: "fail" });
  });
});
