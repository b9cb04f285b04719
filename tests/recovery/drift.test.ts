import { describe, expect, it } from "vitest";
import { VERDICT } from "../../src/rules/verdict.js";
import { judgeFlight } from "../../src/score/judge.js";
import { at, type Row } from "../helpers/flights.js";
import { replayRows } from "../helpers/replay.js";

const STEP_S = 0.5;
/** 3 cm over a whole metre a second, so that no sample falls on a limit. */
const WALK_MS = 1.03;

/** The aircraft keeps beside the operator, who walks off at constant speed. */
function walk(lasts_s: number): Row[] {
  return Array.from({ length: lasts_s / STEP_S + 1 }, (_, i) => {
    const time_s = i * STEP_S;
    const operator = at(WALK_MS * time_s, 0);
    return {
      time_s,
      ...at(WALK_MS * time_s, 0),
      height_m: i === 0 ? 0 : 20,
      airborne: 1,
      operatorLatitude_deg: operator.latitude_deg,
      operatorLongitude_deg: operator.longitude_deg,
    };
  });
}

function firstWith(codes: Uint8Array | undefined, code: number): number {
  return (codes?.indexOf(code) ?? Number.NaN) * STEP_S;
}

describe("an operator who walks away from the recovery point", () => {
  it("turns thin and fail at the exact sample", () => {
    const judged = judgeFlight(replayRows(walk(60)));
    const codes = judged.moments.find(({ rule }) => rule.id === "point-adrift")?.codes;
    // The first samples beyond 15 m and 30 m: equality is still good.
    expect(firstWith(codes, VERDICT.thin)).toBe(Math.ceil(15 / WALK_MS / STEP_S) * STEP_S);
    expect(firstWith(codes, VERDICT.fail)).toBe(Math.ceil(30 / WALK_MS / STEP_S) * STEP_S);
    expect(codes?.lastIndexOf(VERDICT.clear)).toBe((codes?.indexOf(VERDICT.thin) ?? 0) - 1);
    expect(codes?.lastIndexOf(VERDICT.thin)).toBe((codes?.indexOf(VERDICT.fail) ?? 0) - 1);
  });

  it("fails where the way home leads away from the operator, both being far", () => {
    // Recovery point 20 m one way, operator 20 m the other... of an aircraft between them: 40 m apart would fail anyway,
    // so the limit is moved out of the way.
    const rows = walk(30).map((row) => {
      const operator = at(20, 90);
      return {
        ...row,
        ...at(20, 0),
        operatorLatitude_deg: operator.latitude_deg,
        operatorLongitude_deg: operator.longitude_deg,
      };
    });
    const point = at(24, 270);
    const given = {
      recoveryPoints: [{ ...point, at_s: 0 }],
      policy: { "adrift.fail": 100, "adrift.thin": 15 },
    };
    const codes = judgeFlight(replayRows(rows, given)).moments.find(({ rule }) => rule.id === "point-adrift")?.codes;
    expect(codes?.[20]).toBe(VERDICT.fail);
    const beside = rows.map((row) => ({ ...row, ...at(10, 90) }));
    const near = judgeFlight(replayRows(beside, given)).moments.find(({ rule }) => rule.id === "point-adrift")?.codes;
    // 10 m from the operator: it would lead away, but the operator is at hand.
    expect(near?.[20]).toBe(VERDICT.thin);
  });
});
