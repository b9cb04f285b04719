import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { keepoutCrossed } from "../../src/rules/keepout-crossed.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { buildSite } from "../../src/site/build-site.js";
import type { Site } from "../../src/site/site.js";
import { at } from "../helpers/flights.js";
import { ALL_KNOWN, ask, badnessOf, shortReplay, tell } from "../helpers/moments.js";
import { nothingKnown } from "../helpers/sites.js";
import { collection, noObstacles, ringAround, zonesFrom } from "../helpers/zones.js";

const way = (inside: number, entered: number, touched: 0 | 1): Record<string, number> => ({
  keepoutInside_m: inside,
  keepoutEntered_m: entered,
  keepoutTouched: touched,
});

describe("keepout-crossed", () => {
  it.each([
    ["far from any", way(0, 0, 0), "clear"],
    ["the corridor touches one", way(0, 0, 1), "thin"],
    ["begins inside and leaves", way(30, 0, 1), "thin"],
    ["enters by a hair", way(1e-6, 1e-6, 1), "fail"],
    ["runs through", way(80, 80, 1), "fail"],
    ["leaves one and enters another", way(50, 20, 1), "fail"],
    ["way home not known", way(Number.NaN, Number.NaN, 0), "unknown"],
    ["at hand", { ...way(80, 80, 1), atHand: 1 }, "n/a"],
    ["at hand or not is not known", { ...way(0, 0, 0), atHand: Number.NaN }, "unknown"],
  ] as const)("%s", (_, values, said) => {
    expect(ask(keepoutCrossed, values)).toBe(said);
  });

  it("is unknown without zones, however the way runs", () => {
    expect(ask(keepoutCrossed, way(80, 80, 1), { ...ALL_KNOWN, site: nothingKnown() })).toBe("unknown");
  });

  // The replay hovers 100 m east of the recovery point.
  const withYard = (centre_m: number, half_m: number): Site =>
    buildSite({
      terrain: { kind: "flat" },
      obstacles: noObstacles(),
      zones: zonesFrom(collection([ringAround(at(centre_m, 90), half_m), { zone: "keep-out", name: "school yard" }])),
    });
  const found = (site: Site) =>
    auditFlight(shortReplay(20, { ...ALL_KNOWN, site })).result.findings.find(({ rule }) => rule === "keepout-crossed");

  it("spells out how far it runs through which zone", () => {
    const finding = found(withYard(50, 12));
    expect(finding).toMatchObject({ verdict: "fail", decided_by: "declared" });
    expect(finding?.worst.value).toBeCloseTo(24, 2);
    expect(finding?.message).toBe("100 m out: the way home runs 24 m through school yard.");
  });

  it("finds the longest way worst: into a zone where it fails, out of one where it is thin", () => {
    const both = way(50, 20, 1);
    expect([badnessOf(keepoutCrossed, both, "fail"), badnessOf(keepoutCrossed, both, "thin")]).toEqual([20, 50]);
  });

  it("tells a way into a zone from the way out of another, in words and numbers", () => {
    const given = { ...ALL_KNOWN, site: withYard(50, 12) };
    expect(tell(keepoutCrossed, way(50, 20, 1), "fail", given)).toEqual({
      value: 20,
      limit: 0,
      message: "100 m out: the way home runs 20 m through school yard.",
      advice:
        "Fly where the straight line to the recovery point keeps clear of school yard, or take off from its other side.",
      evidence: { inside_m: 50, entered_m: 20, zone: "school yard" },
    });
    const leaves = tell(keepoutCrossed, way(30, 0, 1), "thin", given);
    expect(leaves).toMatchObject({ value: 30, advice: "Stay out of school yard." });
    const passes = tell(keepoutCrossed, way(0, 0, 1), "thin", given);
    expect(passes).toMatchObject({ value: 0, advice: expect.stringMatching(/^Fly where the straight line/) as string });
  });

  it("lacks zones first, and then what makes a way home", () => {
    expect(keepoutCrossed.lacks(shortReplay())).toEqual(["zones", "way-length", "recovery-point", "position"]);
    expect(keepoutCrossed.bases(shortReplay())).toEqual(["declared", "declared"]);
  });

  it("tells leaving a zone from passing it", () => {
    expect(found(withYard(100, 20))?.message).toBe(
      "100 m out: the aircraft is inside school yard, and the way home runs 20 m out of it.",
    );
    const beside = at(50, 90);
    const north = { latitude_deg: beside.latitude_deg + 17 / 111_180, longitude_deg: beside.longitude_deg };
    const site = buildSite({
      terrain: { kind: "flat" },
      obstacles: noObstacles(),
      zones: zonesFrom(collection([ringAround(north, 10), { zone: "keep-out", name: "paddock" }])),
    });
    expect(found(site)?.message).toBe("100 m out: the way home passes paddock nearer than 8 m.");
    expect(found(site)?.verdict).toBe("thin");
  });

  it("leaves other zones alone", () => {
    const zones = zonesFrom(
      collection([ringAround(at(50, 90), 12), { zone: "no-landing" }], [ringAround(at(50, 90), 9), { zone: "water" }]),
    );
    expect(found(buildSite({ terrain: { kind: "flat" }, obstacles: noObstacles(), zones }))).toBeUndefined();
  });

  it("never gets better by a longer way inside", () => {
    const rank = ["n/a", "unknown", "clear", "thin", "fail"];
    const length = fc.double({ min: 0, max: 500, noNaN: true });
    fc.assert(
      fc.property(length, length, (a, b) => {
        const said = (metres: number): number =>
          rank.indexOf(ask(keepoutCrossed, way(metres, metres, metres > 0 ? 1 : 0)));
        expect(said(Math.max(a, b))).toBeGreaterThanOrEqual(said(Math.min(a, b)));
      }),
      { numRuns: 40 },
    );
  });
});
