import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { actionUnsuited } from "../../src/rules/action-unsuited.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { buildSite } from "../../src/site/build-site.js";
import { ZONE_BITS } from "../../src/site/zones.js";
import type { Given } from "../helpers/declared.js";
import { at } from "../helpers/flights.js";
import { ALL_KNOWN, ask, badnessOf, shortReplay, tell } from "../helpers/moments.js";
import { openPlain } from "../helpers/sites.js";
import { collection, noObstacles, ringAround, zonesFrom } from "../helpers/zones.js";

type Action = "return" | "land" | "hold";
const { water, cover, "keep-out": keepOut, "no-landing": noLanding } = ZONE_BITS;

const given = (lostLinkAction: Action | undefined, more: Given = {}): Given => ({
  ...ALL_KNOWN,
  settings: { recoveryHeight_m: 50, lostLinkAction },
  ...more,
});
const at_ = (zoneKinds: number, operatorDistance_m = 20): Record<string, number> => ({ zoneKinds, operatorDistance_m });

describe("action-unsuited", () => {
  it.each<[string, Action | undefined, Record<string, number>, string]>([
    ["return over water", "return", at_(water, 500), "clear"],
    ["land in the open", "land", at_(0, 500), "clear"],
    ["land over water", "land", at_(water), "fail"],
    ["land in a no-landing zone", "land", at_(noLanding), "fail"],
    ["land in a keep-out zone", "land", at_(keepOut), "fail"],
    ["land under cover", "land", at_(cover), "clear"],
    ["land under cover over water", "land", at_(cover + water), "fail"],
    ["hold near", "hold", at_(0, 20), "clear"],
    ["hold just at the limit", "hold", at_(0, 50), "clear"],
    ["hold a hair over the limit", "hold", at_(0, 50.000001), "thin"],
    ["hold over water, near", "hold", at_(water, 20), "fail"],
    ["hold over water, far", "hold", at_(water, 500), "fail"],
    ["no action declared", undefined, at_(water, 500), "unknown"],
    ["land, position not known", "land", at_(Number.NaN), "unknown"],
    ["land in the open, operator not known", "land", at_(0, Number.NaN), "clear"],
    ["hold, operator not known", "hold", at_(0, Number.NaN), "unknown"],
    ["hold over water, operator not known", "hold", at_(water, Number.NaN), "fail"],
    ["hold far, position in no zone not known", "hold", at_(Number.NaN, 60), "thin"],
    ["return, nothing known", "return", at_(Number.NaN, Number.NaN), "clear"],
  ])("%s", (_, action, values, said) => {
    expect(ask(actionUnsuited, values, given(action))).toBe(said);
  });

  it("without zones can be thin by the distance, and else unknown", () => {
    const site = { ...openPlain(), hasZones: false };
    expect(ask(actionUnsuited, at_(Number.NaN, 60), given("hold", { site }))).toBe("thin");
    expect(ask(actionUnsuited, at_(Number.NaN, 20), given("hold", { site }))).toBe("unknown");
    expect(ask(actionUnsuited, at_(Number.NaN), given("land", { site }))).toBe("unknown");
  });

  it("follows the policy", () => {
    expect(ask(actionUnsuited, at_(0, 60), given("hold", { policy: { hold_within: 60 } }))).toBe("clear");
  });

  const pond = (kind: string) =>
    buildSite({
      terrain: { kind: "flat" },
      obstacles: noObstacles(),
      zones: zonesFrom(collection([ringAround(at(100, 90), 30), { zone: kind, name: "Mill Pond", underside: 40 }])),
    });
  const found = (action: Action, site = pond("water")) =>
    auditFlight(shortReplay(20, given(action, { site }))).result.findings.find(
      ({ rule }) => rule === "action-unsuited",
    );

  it("spells out where it would have come down", () => {
    const finding = found("land");
    expect(finding).toMatchObject({ verdict: "fail", worst: { value: null, limit: null }, decided_by: "declared" });
    expect(finding?.message).toBe(
      "The aircraft was over the water of Mill Pond: a lost link would have landed it there.",
    );
    expect(found("hold")?.message).toBe(
      "The aircraft was over the water of Mill Pond: a lost link would have kept it there until the battery (80 % left) was low, and then set it down there.",
    );
    expect(found("land", pond("no-landing"))?.message).toMatch(/^The aircraft was in Mill Pond:/);
    expect(found("land", pond("cover"))).toBeUndefined();
  });

  it("spells out a hold with nobody near", () => {
    const finding = found("hold", pond("cover"));
    expect(finding).toMatchObject({ verdict: "thin", worst: { value: 100, limit: 50, unit: "m" } });
    expect(finding?.message).toBe(
      "On a lost link the aircraft would hold 100 m from the operator (limit 50 m), its battery falling (80 % left) until it comes down by itself, with nobody near.",
    );
  });

  it("spells out where and how far off the operator was in numbers", () => {
    const over = { ...at_(water, 212), battery_pct: Number.NaN };
    expect(tell(actionUnsuited, over, "fail", given("hold", { site: pond("water") }))).toEqual({
      value: Number.NaN,
      limit: Number.NaN,
      message:
        "The aircraft was over the water of Mill Pond: a lost link would have kept it there until the battery was low, and then set it down there.",
      advice: "Set the lost-link action to return for such a flight, and check that the way home is high enough.",
      evidence: { lost_link_action: "hold", zone: "Mill Pond", to_operator_m: 212 },
    });
    const unknown = tell(actionUnsuited, at_(water, Number.NaN), "fail", given("land", { site: pond("water") }));
    expect(unknown.evidence).toEqual({ lost_link_action: "land", zone: "Mill Pond", to_operator_m: null });
    expect(tell(actionUnsuited, at_(0, 212), "thin", given("hold"))).toMatchObject({
      advice: "Keep within 50 m with hold set, so that you can walk up and take over; farther out set it to return.",
      evidence: { lost_link_action: "hold", zone: null, to_operator_m: 212 },
    });
  });

  it("names the water where another zone is there too", () => {
    const both = collection(
      [ringAround(at(100, 90), 60), { zone: "keep-out", name: "school yard" }],
      [ringAround(at(100, 90), 30), { zone: "water", name: "Mill Pond" }],
    );
    const site = buildSite({ terrain: { kind: "flat" }, obstacles: noObstacles(), zones: zonesFrom(both) });
    expect(found("land", site)?.message).toMatch(/^The aircraft was over the water of Mill Pond:/);
    expect(tell(actionUnsuited, at_(keepOut), "fail", given("land", { site })).message).toMatch(/ in school yard:/);
  });

  it("finds the farthest from the operator worst; where that is not known, the farthest from the recovery point", () => {
    const bad = (operatorDistance_m: number): number =>
      badnessOf(actionUnsuited, { operatorDistance_m, distance_m: 90 }, "thin");
    expect([bad(40), bad(Number.NaN)]).toEqual([40, 90]);
  });

  it("lacks the operator only where the aircraft would hold", () => {
    const lacks = (action: Action | undefined): readonly string[] =>
      actionUnsuited.lacks(shortReplay(20, given(action)));
    expect(lacks("hold")).toEqual(["lost-link-action", "zones", "operator", "position"]);
    expect(lacks("land")).toEqual(["lost-link-action", "zones", "position"]);
    expect(lacks(undefined)).toEqual(["lost-link-action", "zones", "position"]);
  });

  it("rests on the action and the operator", () => {
    const bases = (more: Given): readonly string[] => actionUnsuited.bases(shortReplay(20, given("hold", more)));
    const measured = shortReplay(20, given("hold"));
    const { operator } = measured.inputs;
    if (operator === undefined) throw new Error("this replay has an operator");
    const replay = {
      ...measured,
      inputs: { ...measured.inputs, operator: { ...operator, basis: "measured" as const } },
    };
    expect(actionUnsuited.bases(replay)).toEqual(["declared", "measured"]);
    expect(bases({ operator: undefined })).toEqual(["declared", "declared"]);
  });

  it("never gets better farther from the operator", () => {
    const rank = ["n/a", "unknown", "clear", "thin", "fail"];
    const distance = fc.double({ min: 0, max: 1000, noNaN: true });
    fc.assert(
      fc.property(distance, distance, fc.constantFrom(0, 1, 2, 4, 8), (a, b, kinds) => {
        const said = (d: number): number => rank.indexOf(ask(actionUnsuited, at_(kinds, d), given("hold")));
        expect(said(Math.max(a, b))).toBeGreaterThanOrEqual(said(Math.min(a, b)));
      }),
      { numRuns: 40 },
    );
  });
});
