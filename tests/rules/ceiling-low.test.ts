import { describe, expect, it } from "vitest";
import { ceilingLow } from "../../src/rules/ceiling-low.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { ALL_KNOWN, ask, shortReplay } from "../helpers/moments.js";
import { openPlain, plainWithWall } from "../helpers/sites.js";
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
