import { describe, expect, it } from "vitest";
import { judgeFlight } from "../../src/score/judge.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { VERDICT } from "../../src/rules/verdict.js";
import { at, ORIGIN, outAndBack, type Row } from "../helpers/flights.js";
import { replayRows } from "../helpers/replay.js";
import { plainWithWall } from "../helpers/sites.js";
import type { Given } from "../helpers/declared.js";

const WALL_HEIGHT_M = 62;
const WALL_AT_M = 150;
const STEP_S = 0.5;
const SPEED_MS = 10;

/** Flies over a wall at 90 m, which is higher than the wall; the recovery height of 50 m is not. */
function rows(height_m: number): Row[] {
  return outAndBack({
    course_deg: 90,
    out_ms: SPEED_MS,
    outFor_s: 40,
    back_ms: SPEED_MS,
    height_m,
    battery_pct: 100,
    rate_pctPerMin: 5,
    step_s: STEP_S,
  });
}

const given = (recoveryHeight_m: number): Given => ({
  drain: { hover: 5, climb: 5, cruise: 5, descent: 5 },
  speeds: { recovery: 10, climb: 3, descent: 3, landing: 0.8 },
  settings: { recoveryHeight_m },
  wind: { speed_ms: 0, from_deg: 0, gust_ms: 0, height_m: 10, shear: 0 },
  operator: { kind: "position", ...ORIGIN },
  site: plainWithWall(at(WALL_AT_M, 90).longitude_deg, WALL_HEIGHT_M),
});

function codesOf(replay: ReturnType<typeof replayRows>): Uint8Array {
  const found = judgeFlight(replay).moments.find(({ rule }) => rule.id === "ceiling-low");
  if (found === undefined) throw new Error("no ceiling-low");
  return found.codes;
}

describe("a wall between the aircraft and the recovery point", () => {
  it("fails from the first sample beyond it to the last, with the exact clearance", () => {
    const replay = replayRows(rows(40), given(50));
    const failing = [...codesOf(replay).entries()].flatMap(([k, code]) => (code === VERDICT.fail ? [k] : []));
    // 15 s out at 10 m/s is the wall itself; back again 400 − 150 = 250 m after the turn at 40 s.
    expect(replay.moments.at_s[failing[0] ?? -1]).toBe(15);
    expect(replay.moments.at_s[failing[failing.length - 1] ?? -1]).toBe(65);
    expect(failing).toHaveLength(50 / STEP_S + 1);
    for (const k of failing) expect(replay.moments.clearanceCentre_m[k]).toBeCloseTo(50 - WALL_HEIGHT_M, 9);
    const { result } = auditFlight(replay);
    const [finding] = result.findings;
    expect(finding).toMatchObject({ rule: "ceiling-low", verdict: "fail", start_s: 15, end_s: 65, duration_s: 50.5 });
    expect(finding?.message).toBe("150 m out: the way home at 50 m runs 12 m under the top of wall.");
    expect(finding?.advice).toBe(
      "For this way home set a recovery height of at least 72 m, or stay on this side of wall.",
    );
    expect(result.score).toBeLessThanOrEqual(59);
  });

  it("gives no extra climb to a start above the recovery height", () => {
    const replay = replayRows(rows(66), given(50));
    const k = replay.moments.at_s.indexOf(30);
    expect(replay.moments.top_m[k]).toBe(66);
    expect(replay.moments.clearanceCentre_m[k]).toBeCloseTo(66 - WALL_HEIGHT_M, 9);
    const codes = codesOf(replay);
    expect(codes.includes(VERDICT.fail)).toBe(false);
    expect(codes[k]).toBe(VERDICT.thin);
    const finding = auditFlight(replay).result.findings.find(({ rule }) => rule === "ceiling-low");
    expect(finding?.message).toMatch(/level at 66 m since a start above the recovery height gets no extra climb/);
  });

  it("stays clear with exactly the wanted clearance: equality is good", () => {
    const codes = codesOf(replayRows(rows(40), given(WALL_HEIGHT_M + 10)));
    expect(codes.includes(VERDICT.thin)).toBe(false);
    expect(codes.includes(VERDICT.fail)).toBe(false);
    const under = codesOf(replayRows(rows(40), given(WALL_HEIGHT_M + 9.99)));
    expect(under.includes(VERDICT.thin)).toBe(true);
  });

  it("only skims where the leg's height equals the wall: not failing, thin", () => {
    const codes = codesOf(replayRows(rows(40), given(WALL_HEIGHT_M)));
    expect(codes.includes(VERDICT.fail)).toBe(false);
    expect(codes.includes(VERDICT.thin)).toBe(true);
    expect(codesOf(replayRows(rows(40), given(WALL_HEIGHT_M - 0.01))).includes(VERDICT.fail)).toBe(true);
  });

  it("takes a drifted height off the clearance for thin", () => {
    const flown = rows(40);
    const end_s = flown[flown.length - 1]?.time_s ?? 0;
    const drifted = flown.map((row) => (row.time_s === end_s ? { ...row, height_m: 2 } : row));
    drifted.push({ time_s: end_s + STEP_S, ...ORIGIN, height_m: 2, battery_pct: 90, airborne: 0 });
    const replay = replayRows(drifted, given(WALL_HEIGHT_M + 11));
    expect(replay.inputs.heights.drift_m).toBe(2);
    expect(codesOf(replay).includes(VERDICT.thin)).toBe(true);
    expect(codesOf(replayRows(rows(40), given(WALL_HEIGHT_M + 11))).includes(VERDICT.thin)).toBe(false);
  });
});
