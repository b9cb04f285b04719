import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { overheadCover } from "../../src/rules/overhead-cover.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { buildSite } from "../../src/site/build-site.js";
import type { Given } from "../helpers/declared.js";
import { at } from "../helpers/flights.js";
import { ALL_KNOWN, ask, badnessOf, shortReplay, tell } from "../helpers/moments.js";
import { nothingKnown, openPlain } from "../helpers/sites.js";
import { collection, noObstacles, obstaclesFrom, ringAround, zonesFrom } from "../helpers/zones.js";

/** What a climb meets: over the aircraft, and in the corridor; the same is known of it unless said otherwise. */
function cover(up: number, near = up, more: Readonly<Record<string, number>> = {}): Record<string, number> {
  return {
    climb_m: 20,
    coverUp_m: up,
    coverUpKnown_m: up,
    coverUpNear_m: near,
    coverUpNearKnown_m: near,
    coverInside: 0,
    coverInsideKnown: 0,
    coverWhole: 1,
    ...more,
  };
}

const withAction = (lostLinkAction: "return" | "land" | "hold"): Given => ({
  ...ALL_KNOWN,
  settings: { recoveryHeight_m: 50, lostLinkAction },
});

describe("overhead-cover", () => {
  it.each([
    ["nothing overhead", cover(Infinity), "clear"],
    ["something in the corridor", cover(Infinity, 3), "thin"],
    ["something beside the aircraft", cover(Infinity, 0), "thin"],
    ["something in the column", cover(3), "fail"],
    ["something right over it", cover(0), "fail"],
    ["inside a solid", cover(Infinity, 0, { coverInside: 1, coverInsideKnown: 1 }), "thin"],
    ["inside a solid that nothing else tells", cover(Infinity, Infinity, { coverInside: 1 }), "thin?"],
    ["inside a solid, and something else over it", cover(4, 0, { coverInside: 1, coverInsideKnown: 1 }), "fail"],
    ["at the recovery height", cover(3, 3, { climb_m: 0 }), "n/a"],
    ["a hair under the recovery height", cover(Infinity, Infinity, { climb_m: 1e-6 }), "clear"],
    ["height not known", cover(3, 3, { climb_m: Number.NaN }), "unknown"],
    ["not asked", cover(Number.NaN), "unknown"],
    ["something near of unknown height", cover(Infinity, Infinity, { coverWhole: 0 }), "unknown"],
    ["something near of unknown height, another in the way", cover(3, 3, { coverWhole: 0 }), "fail"],
    ["only a default makes it high", cover(3, 3, { coverUpKnown_m: Infinity, coverUpNearKnown_m: Infinity }), "thin?"],
    ["a default in the column, known in the corridor", cover(3, 3, { coverUpKnown_m: Infinity }), "thin"],
    ["only a default beside it", cover(Infinity, 0, { coverUpNearKnown_m: Infinity }), "thin?"],
    [
      "inside what only a default makes high",
      cover(Infinity, 0, { coverUpNearKnown_m: Infinity, coverInside: 1 }),
      "thin?",
    ],
  ] as const)("%s", (_, values, said) => {
    expect(ask(overheadCover, values)).toBe(said);
  });

  it("is only thin where a lost link would not climb", () => {
    expect(ask(overheadCover, cover(3), withAction("hold"))).toBe("thin");
    expect(ask(overheadCover, cover(3), withAction("land"))).toBe("thin");
    expect(ask(overheadCover, cover(3), withAction("return"))).toBe("fail");
  });

  it("is unknown without a recovery height, and without zones and obstacles", () => {
    expect(ask(overheadCover, cover(3), { ...ALL_KNOWN, settings: {} })).toBe("unknown");
    expect(ask(overheadCover, cover(3), { ...ALL_KNOWN, site: nothingKnown() })).toBe("unknown");
    const either = (has: object): string =>
      ask(overheadCover, cover(3), { ...ALL_KNOWN, site: { ...nothingKnown(), ...has } });
    expect([either({ hasZones: true }), either({ hasObstacles: true })]).toEqual(["fail", "fail"]);
  });

  const spot = at(100, 90);
  const branches = zonesFrom(collection([ringAround(spot, 20), { zone: "cover", name: "beech edge", underside: 36 }]));
  const under = buildSite({ terrain: { kind: "flat" }, obstacles: noObstacles(), zones: branches });
  const found = (given: Given) =>
    auditFlight(shortReplay(20, given)).result.findings.find(({ rule }) => rule === "overhead-cover");

  it("spells out how far up it is and how far a recovery would climb", () => {
    const finding = found({ ...ALL_KNOWN, site: under });
    expect(finding).toMatchObject({
      verdict: "fail",
      worst: { value: 6, limit: 20, unit: "m" },
      decided_by: "declared",
    });
    expect(finding?.message).toBe("30 m up: beech edge begins 6 m above, and a recovery would climb 20 m into it.");
    expect(finding?.advice).toMatch(/^Set the lost-link action to hold .* Land as soon as the work is done\.$/);
    const held = found({ ...withAction("hold"), site: under });
    expect(held?.message).toMatch(/\(Low battery or the pilot's command: a lost link would hold\.\)$/);
    expect(held?.advice).toMatch(/^With hold set, watch the battery/);
  });

  it("finds the lowest worst: what is known where it fails, else whatever is there", () => {
    const values = cover(9, 4, { coverUpKnown_m: 12 });
    expect(badnessOf(overheadCover, values, "fail")).toBe(-12);
    expect(badnessOf(overheadCover, values, "thin")).toBe(-4);
    expect(badnessOf(overheadCover, cover(4, 9), "thin")).toBe(-4);
  });

  it("spells out each case in numbers and advice", () => {
    const given = { ...ALL_KNOWN, site: under };
    expect(tell(overheadCover, cover(6), "fail", given)).toEqual({
      value: 6,
      limit: 20,
      message: "30 m up: beech edge begins 6 m above, and a recovery would climb 20 m into it.",
      advice:
        "Set the lost-link action to hold for work under cover. Watch the battery: its own recovery climbs all the same. Land as soon as the work is done.",
      evidence: { climb_m: 20, up_to_it_m: 6, up_to_it_in_corridor_m: 6, over: "beech edge", lost_link_action: null },
    });
    const beside = tell(overheadCover, cover(Infinity, 4), "thin", given);
    expect(beside).toMatchObject({
      value: 4,
      message: "30 m up: beech edge begins 4 m above, within 8 m of a climb of 20 m.",
      advice: "Keep farther from beech edge while you are lower than it.",
      evidence: { up_to_it_m: null, up_to_it_in_corridor_m: 4 },
    });
    const held = tell(overheadCover, cover(Infinity, 4), "thin", { ...withAction("hold"), site: under });
    expect(held.evidence["lost_link_action"]).toBe("hold");
    expect(held.advice).toMatch(/^With hold set, watch/);
    const landed = tell(overheadCover, cover(6), "thin", { ...withAction("land"), site: under });
    expect(landed.advice).toBe("Keep farther from beech edge while you are lower than it.");
  });

  it("lacks what makes a climb, and zones where neither they nor obstacles are there", () => {
    const lacks = (has: object, given: Given = ALL_KNOWN): readonly string[] =>
      overheadCover.lacks(shortReplay(20, { ...given, site: { ...nothingKnown(), ...has } }));
    const climb = ["heights-here", "recovery-point", "height"];
    expect(lacks({})).toEqual(["zones", ...climb]);
    expect(lacks({ hasZones: true })).toEqual(climb);
    expect(lacks({ hasObstacles: true })).toEqual(climb);
    expect(lacks({ hasZones: true }, { ...ALL_KNOWN, settings: {} })).toEqual(["recovery-height", ...climb]);
    expect(overheadCover.bases(shortReplay())).toEqual(["declared", "declared", "measured", "declared"]);
  });

  it("says so where the log puts the aircraft inside a solid", () => {
    const barn = obstaclesFrom(collection([ringAround(spot, 5), { name: "barn", height: 45 }]));
    const site = buildSite({ terrain: { kind: "flat" }, obstacles: barn, zones: zonesFrom(collection()) });
    const finding = found({ ...ALL_KNOWN, site });
    expect(finding).toMatchObject({
      verdict: "thin",
      worst: { value: 0 },
      advice: "Look where barn really is and how high, and put the map right.",
    });
    expect(finding?.message).toMatch(
      /^0 m up: the log puts the aircraft inside barn, so the map, its height or the position is off/,
    );
    // At its very top the aircraft is over it.
    const low = obstaclesFrom(collection([ringAround(spot, 5), { name: "barn", height: 30 }]));
    const over = buildSite({ terrain: { kind: "flat" }, obstacles: low, zones: zonesFrom(collection()) });
    expect(auditFlight(shortReplay(20, { ...ALL_KNOWN, site: over })).result.coverage.rules["overhead-cover"]).toBe(1);
    const stretch = found({ ...ALL_KNOWN, site: over });
    expect(stretch?.duration_s ?? 0).toBeLessThanOrEqual(1);
  });

  it("names what stands beside the climb", () => {
    const east = at(107, 90);
    const mast = obstaclesFrom(
      collection([
        { type: "Point", coordinates: [east.longitude_deg, east.latitude_deg] },
        { name: "mast", height: 60 },
      ]),
    );
    const finding = found({ ...ALL_KNOWN, site: buildSite({ terrain: { kind: "flat" }, obstacles: mast }) });
    expect(finding).toMatchObject({ verdict: "thin", worst: { value: 0 } });
    expect(finding?.message).toBe("0 m up: mast stands within 8 m of a climb of 50 m.");
  });

  it("never gets better by a cover that hangs lower", () => {
    const rank = ["n/a", "unknown", "clear", "thin?", "thin", "fail"];
    const height = fc.double({ min: 0, max: 60, noNaN: true });
    fc.assert(
      fc.property(height, height, height, (a, b, near) => {
        const climb = (up: number): number => (up < 20 ? up : Infinity);
        const [low, high] = [Math.min(a, b), Math.max(a, b)];
        const worse = ask(overheadCover, cover(climb(low), Math.min(climb(low), climb(near))));
        const better = ask(overheadCover, cover(climb(high), Math.min(climb(high), climb(near))));
        expect(rank.indexOf(worse)).toBeGreaterThanOrEqual(rank.indexOf(better));
      }),
      { numRuns: 40 },
    );
  });

  it("is clear in the open", () => {
    expect(ask(overheadCover, {}, { ...ALL_KNOWN, site: openPlain() })).toBe("clear");
  });
});
