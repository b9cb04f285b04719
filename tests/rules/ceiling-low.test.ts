import { describe, expect, it } from "vitest";
import { ceilingLow } from "../../src/rules/ceiling-low.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { ALL_KNOWN, ask, badnessOf, shortReplay, tell } from "../helpers/moments.js";
import type { Replay } from "../../src/recovery/replay.js";
import { nothingKnown, openPlain, plainWithWall } from "../helpers/sites.js";
import { at } from "../helpers/flights.js";

const gap = (centre: number, corridor: number, judged = corridor, seen = 1): Record<string, number> => ({
  clearanceCentre_m: centre,
  clearanceCorridor_m: corridor,
  clearanceJudged_m: judged,
  clearanceKnownCentre_m: centre,
  clearanceKnownJudged_m: judged,
  groundSeen_share: seen,
});

describe("ceiling-low", () => {
  it.each([
    ["plenty", gap(40, 40), "clear"],
    ["the corridor just at the limit", gap(12, 10), "clear"],
    ["the corridor a hair under the limit", gap(12, 9.999999), "thin"],
    ["drift takes it under", gap(12, 11, 9), "thin"],
    ["the centre line just skims", gap(0, -5), "thin"],
    ["the centre line a hair inside", gap(-0.000001, -5), "fail"],
    ["deep inside", gap(-40, -40), "fail"],
    ["part of the ground not seen", gap(40, 40, 40, 0.99), "unknown"],
    ["part not seen and the rest thin", gap(40, 5, 5, 0.5), "unknown"],
    ["part not seen, but the rest fails", gap(-1, -1, -1, 0.5), "fail"],
    ["clearance not known", gap(Number.NaN, Number.NaN), "unknown"],
    ["height not known", { ...gap(-5, -5), top_m: Number.NaN }, "unknown"],
    ["at hand", { ...gap(-5, -5), atHand: 1 }, "n/a"],
    ["at hand or not is not known", { ...gap(40, 40), atHand: Number.NaN }, "unknown"],
  ] as const)("%s", (_, values, said) => {
    expect(ask(ceilingLow, values)).toBe(said);
  });

  it("is unknown without a recovery height, whatever the ground", () => {
    expect(ask(ceilingLow, gap(-5, -5), { ...ALL_KNOWN, settings: {} })).toBe("unknown");
  });

  it("fails nothing by a height that only a project default says", () => {
    const known = (centre: number, judged: number) => ({
      clearanceKnownCentre_m: centre,
      clearanceKnownJudged_m: judged,
    });
    expect(ask(ceilingLow, { ...gap(-5, -5), ...known(40, 40) })).toBe("thin?");
    expect(ask(ceilingLow, { ...gap(5, 5), ...known(40, 40) })).toBe("thin?");
    expect(ask(ceilingLow, { ...gap(-5, -5), ...known(9, 9) })).toBe("thin");
    expect(ask(ceilingLow, { ...gap(-5, -5), ...known(-1, -1) })).toBe("fail");
    const site = { ...openPlain(), hasTerrain: false, isFlat: false };
    expect(ask(ceilingLow, { ...gap(-5, -5), ...known(40, 40) }, { ...ALL_KNOWN, site })).toBe("thin?");
  });

  it("without obstacles on plain terrain can fail and be thin, never clear", () => {
    const given = { ...ALL_KNOWN, site: { ...openPlain(), hasObstacles: false } };
    expect(ask(ceilingLow, gap(40, 40), given)).toBe("unknown");
    expect(ask(ceilingLow, gap(40, 5), given)).toBe("thin");
    expect(ask(ceilingLow, gap(-1, -1), given)).toBe("fail");
  });

  it("on a surface needs no obstacles to be clear", () => {
    const given = { ...ALL_KNOWN, site: { ...openPlain(), hasObstacles: false, isSurface: true } };
    expect(ask(ceilingLow, gap(40, 40), given)).toBe("clear");
  });

  it("with obstacles but no terrain can only fail", () => {
    const given = { ...ALL_KNOWN, site: { ...openPlain(), hasTerrain: false, isFlat: false } };
    expect(ask(ceilingLow, gap(40, 40), given)).toBe("unknown");
    expect(ask(ceilingLow, gap(40, 2), given)).toBe("unknown");
    expect(ask(ceilingLow, gap(-1, -1), given)).toBe("fail");
  });

  it("is thin, not more, where only the known centre line just skims", () => {
    const skims = { ...gap(0, 40, 40, 0.5), clearanceKnownCentre_m: 0 };
    expect(ask(ceilingLow, skims)).toBe("unknown");
  });

  it("finds the least clearance worst: on the centre line where it fails, else as judged", () => {
    const both = gap(-3, -9, -12);
    expect([badnessOf(ceilingLow, both, "fail"), badnessOf(ceilingLow, both, "thin")]).toEqual([3, 12]);
  });

  it("spells out a way into a wall, and one over the ground", () => {
    const given = { ...ALL_KNOWN, site: plainWithWall(at(50, 90).longitude_deg, 62) };
    const { evidence, ...told } = tell(ceilingLow, gap(-12, -14), "fail", given);
    expect(told).toEqual({
      value: -12,
      limit: 0,
      message: "100 m out: the way home at 50 m runs 12 m under the top of wall.",
      advice: "For this way home set a recovery height of at least 74 m, or stay on this side of wall.",
    });
    expect(evidence).toEqual({
      clearance_centre_m: -12,
      clearance_corridor_m: -14,
      leg_height_m: 50,
      over: "wall",
      latitude_deg: expect.closeTo(47, 4) as number,
      longitude_deg: expect.closeTo(8.0013, 4) as number,
      height_drift_m: 0,
      least_recovery_height_m: 74,
    });
    expect(tell(ceilingLow, gap(-12, -14), "fail")).toMatchObject({
      message: "100 m out: the way home at 50 m runs 12 m into the ground.",
      advice: "For this way home set a recovery height of at least 74 m, or stay on this side of the high ground.",
    });
    expect(tell(ceilingLow, gap(-2, -2), "thin")).toMatchObject({
      value: -2,
      limit: 10,
      message: "100 m out: the way home at 50 m clears the ground by -2 m in the corridor (wanted 10 m).",
      evidence: { over: "the ground" },
    });
    // Beside the centre line: a fail does not name it.
    const beside = { ...ALL_KNOWN, site: plainWithWall(at(110, 90).longitude_deg, 62, 0.001) };
    expect(tell(ceilingLow, gap(5, 5), "thin", beside).message).toContain("clears wall by");
  });

  it("says so where the flight itself is over the recovery height", () => {
    const level = /the way home, level at \d+ m since a start above the recovery height gets no extra climb,/;
    const told = (height_m: number, replay: Replay = shortReplay()): string =>
      tell(ceilingLow, { ...gap(5, 5), height_m, top_m: Math.max(50, height_m) }, "thin", replay).message;
    expect(told(50.5)).not.toMatch(level);
    expect(told(50.6)).toMatch(level);
    // The log may say what was set at each moment.
    const logged = shortReplay();
    const recoveryHeights_m = new Float64Array(logged.length).fill(80);
    expect(told(60, { ...logged, inputs: { ...logged.inputs, recoveryHeights_m } })).not.toMatch(level);
  });

  it("counts a height over take-off from there: 30 m less to set where the recovery point lies 30 m lower", () => {
    const replay = shortReplay();
    const above = (value: "take-off" | "recovery-point"): Replay => ({
      ...replay,
      pointGround_m: new Float64Array(replay.length).fill(170),
      inputs: {
        ...replay.inputs,
        heights: { ...replay.inputs.heights, takeoffGround_m: 200 },
        recoveryHeightAbove: { ...replay.inputs.recoveryHeightAbove, value },
      },
    });
    // 50 m over take-off are 80 m over the point; the aircraft at 30 m is 60 m over it.
    const values = { ...gap(5, 5), height_m: 30, top_m: 80 };
    const fromTakeoff = tell(ceilingLow, values, "thin", above("take-off"));
    expect(fromTakeoff.evidence["least_recovery_height_m"]).toBe(55);
    expect(fromTakeoff.message).toMatch(/^100 m out: the way home at 80 m clears/);
    const fromPoint = tell(ceilingLow, values, "thin", above("recovery-point"));
    expect(fromPoint.evidence["least_recovery_height_m"]).toBe(85);
    expect(fromPoint.message).toMatch(/level at 80 m since a start above/);
  });

  it("lacks what nobody declared", () => {
    const lacks = (site: object, given = ALL_KNOWN): readonly string[] =>
      ceilingLow.lacks(shortReplay(20, { ...given, site: { ...nothingKnown(), ...site } }));
    const rest = ["recovery-point", "height"];
    expect(lacks({})).toEqual(["terrain", "obstacles", ...rest]);
    expect(lacks({}, { ...ALL_KNOWN, settings: {} })).toEqual(["recovery-height", "terrain", "obstacles", ...rest]);
    const here = ["terrain-here", "way-length", "obstacle-heights", ...rest];
    expect(lacks(openPlain())).toEqual(here);
    expect(lacks({ ...openPlain(), hasObstacles: false, isSurface: true })).toEqual(here);
    expect(lacks({ ...openPlain(), hasObstacles: false })).toEqual(["obstacles", ...here]);
    expect(ceilingLow.bases(shortReplay())).toEqual(["declared", "declared", "measured", "declared"]);
  });

  it("names what stands there and the least recovery height", () => {
    const site = plainWithWall(at(50, 90).longitude_deg, 45);
    const found = auditFlight(shortReplay(20, { ...ALL_KNOWN, site })).result.findings.find(
      ({ rule }) => rule === "ceiling-low",
    );
    expect(found).toMatchObject({ verdict: "thin", worst: { value: 5, limit: 10, unit: "m" } });
    expect(found?.message).toBe("100 m out: the way home at 50 m clears wall by 5 m in the corridor (wanted 10 m).");
    expect(found?.evidence).toMatchObject({ over: "wall", least_recovery_height_m: 55 });
  });
});
