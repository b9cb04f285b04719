import { describe, expect, it } from "vitest";
import { pointAdrift } from "../../src/rules/point-adrift.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { ALL_KNOWN, ask, shortReplay, tell, withMoment } from "../helpers/moments.js";

const stray = (adrift: number, leads = 0, out = 100, operator = 100): Record<string, number> => ({
  adrift_m: adrift,
  leadsAway_deg: leads,
  distance_m: out,
  operatorDistance_m: operator,
});

describe("point-adrift", () => {
  it.each([
    ["beside the operator", stray(0), "clear"],
    ["just at the thin limit", stray(15), "clear"],
    ["a hair over the thin limit", stray(15.000001), "thin"],
    ["just at the fail limit", stray(30), "thin"],
    ["a hair over the fail limit", stray(30.000001), "fail"],
    ["leads away", stray(20, 90.1), "fail"],
    ["exactly square is not away", stray(20, 90), "thin"],
    ["leads away but the operator is at hand", stray(20, 170, 100, 15), "thin"],
    ["leads away but the point is at hand", stray(20, 170, 15, 100), "thin"],
    ["leads away although the two are near each other", stray(5, 100, 16, 16), "fail"],
    ["operator not known", stray(Number.NaN), "unknown"],
    ["aircraft not known", stray(40, Number.NaN, Number.NaN, Number.NaN), "unknown"],
  ] as const)("%s", (_, values, said) => {
    expect(ask(pointAdrift, values)).toBe(said);
  });

  it.each([
    [60, stray(20, 60), "thin"],
    [60, stray(20, 60.1), "fail"],
    [120, stray(20, 119.9), "thin"],
    [180, stray(20, 180), "thin"],
  ] as const)("takes from the policy that over %s degrees lead away (%#)", (away_deg, values, said) => {
    expect(ask(pointAdrift, values, { ...ALL_KNOWN, policy: { "adrift.away": away_deg } })).toBe(said);
  });

  it("holds the angle against its limit where the angle alone fails", () => {
    const replay = shortReplay(20, { ...ALL_KNOWN, policy: { "adrift.away": 60 } });
    for (let k = 0; k < replay.length; k += 1) withMoment(replay, k, stray(20, 75));
    const found = auditFlight(replay).result.findings.find(({ rule }) => rule === "point-adrift");
    expect(found?.worst).toMatchObject({ value: 75, limit: 60, unit: "deg" });
    expect(found?.message).toBe(
      "The recovery point was 20 m from the operator (limit 15 m). A recovery from here would lead away from the operator.",
    );
  });

  it("spells out what decided, in words and numbers", () => {
    expect(tell(pointAdrift, stray(20, 30, 100, 90), "thin")).toEqual({
      value: 20,
      limit: 15,
      message: "The recovery point was 20 m from the operator (limit 15 m).",
      advice: "Move the recovery point when you move (20 m away at 00:10), or stay where it is.",
      evidence: {
        recovery_point_to_operator_m: 20,
        aircraft_to_operator_m: 90,
        aircraft_to_recovery_point_m: 100,
        angle_between_ways_deg: 30,
      },
    });
    expect(tell(pointAdrift, stray(40, 30), "fail")).toMatchObject({ value: 40, limit: 30 });
    expect(tell(pointAdrift, stray(40, 30), "fail").message).toBe(
      "The recovery point was 40 m from the operator (limit 30 m).",
    );
    // At the limit the angle must have decided.
    expect(tell(pointAdrift, stray(30, 120), "fail")).toMatchObject({ value: 120, limit: 90, unit: "deg" });
  });

  it("rests on the point and the operator", () => {
    expect(pointAdrift.bases(shortReplay())).toEqual(["declared", "declared"]);
    const { operator: _, ...given } = ALL_KNOWN;
    expect(pointAdrift.bases(shortReplay(20, given))).toEqual(["declared", "assumed"]);
  });

  it("is unknown without an operator", () => {
    const { operator: _, ...given } = ALL_KNOWN;
    expect(auditFlight(shortReplay(20, given)).result.not_assessed).toContainEqual({
      rule: "point-adrift",
      missing: ["the operator's position"],
      share: 1,
    });
  });

  it("spells out a recovery that would lead away", () => {
    const replay = shortReplay();
    for (let k = 0; k < replay.length; k += 1) withMoment(replay, k, stray(212, 120));
    const found = auditFlight(replay).result.findings.find(({ rule }) => rule === "point-adrift");
    expect(found?.message).toBe(
      "The recovery point was 212 m from the operator (limit 30 m). A recovery from here would lead away from the operator.",
    );
  });
});
