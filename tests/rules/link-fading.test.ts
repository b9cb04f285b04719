import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { linkFading } from "../../src/rules/link-fading.js";
import type { Conduct } from "../../src/rules/rule.js";
import type { Verdict } from "../../src/rules/verdict.js";
import type { Given } from "../helpers/declared.js";
import { askConduct } from "../helpers/conduct.js";
import { at, ORIGIN, type Row } from "../helpers/flights.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";

interface Told {
  readonly link?: (time_s: number) => number;
  readonly distance?: (time_s: number) => number;
  readonly height?: (time_s: number) => number;
  readonly battery_pct?: number;
  readonly recoveryActive?: (time_s: number) => number;
  readonly last_s?: number;
}

/** A row a second, by default a hover 200 m east of the recovery point at 60 m. */
function rows({ link, distance, height, battery_pct = 80, recoveryActive, last_s = 60 }: Told): Row[] {
  return Array.from({ length: last_s + 1 }, (_, time_s) => ({
    time_s,
    ...at(distance?.(time_s) ?? 200, 90),
    height_m: time_s === 0 ? 0 : (height?.(time_s) ?? 60),
    battery_pct,
    airborne: 1,
    ...(link === undefined ? {} : { link_pct: link(time_s) }),
    ...(recoveryActive === undefined ? {} : { recoveryActive: recoveryActive(time_s) }),
  }));
}

/** The link between two seconds, the first in and the second out; 90 % else. */
const dip =
  (from: number, to: number, value: number) =>
  (time_s: number): number =>
    time_s >= from && time_s < to ? value : 90;

function verdict(told: Told, given: Given = ALL_KNOWN): Verdict {
  return askConduct(linkFading, replayRows(rows(told), given)).verdict;
}
const withAction = (lostLinkAction: "return" | "land" | "hold"): Given => ({
  ...ALL_KNOWN,
  settings: { ...ALL_KNOWN.settings, lostLinkAction },
});
/** Too little to come home with: every moment fails. */
const FAILING = { battery_pct: 11 };

describe("link-fading", () => {
  it.each([
    ["holds", {}, "clear"],
    ["is at the limit for long", { link: dip(20, 40, 30) }, "clear"],
    ["is under it for two seconds", { link: dip(20, 22, 29.9) }, "clear"],
    ["is under it for three seconds", { link: dip(20, 23, 29.9) }, "thin"],
    [
      "is under it for three seconds in two parts",
      { link: (t) => (t === 20 || t === 21 || t === 23 ? 10 : 90) },
      "clear",
    ],
    ["is lost for long where a recovery works", { link: dip(20, 40, 0) }, "thin"],
    ["is lost for less than the trigger delay where it fails", { ...FAILING, link: dip(20, 22, 0) }, "clear"],
    ["is lost for the trigger delay where it fails", { ...FAILING, link: dip(20, 23, 0) }, "fail"],
    ["is weak but not lost where it fails", { ...FAILING, link: dip(20, 30, 1) }, "thin"],
    ["is not read for two seconds", { link: dip(20, 22, Number.NaN) }, "clear"],
    ["is not read for three seconds", { link: dip(20, 23, Number.NaN) }, "unknown"],
    ["is not read, and weak later", { link: (t) => (t < 10 ? Number.NaN : dip(20, 23, 10)(t)) }, "thin"],
    ["never is read", { link: () => Number.NaN }, "unknown"],
  ] as const satisfies readonly (readonly [string, Told, Verdict])[])("where the link %s", (_, told, expected) => {
    expect(verdict({ link: () => 90, ...told })).toBe(expected);
  });

  it("is unknown without a link in the log", () => {
    expect(askConduct(linkFading, replayRows(rows({}), ALL_KNOWN))).toEqual({ verdict: "unknown", lacks: ["link"] });
  });

  it("takes a blank reading under a recovery flag for a lost link, and without one for unknown", () => {
    const link = dip(20, 30, Number.NaN);
    const recoveryActive = (time_s: number): number => (time_s >= 20 && time_s < 30 ? 1 : 0);
    expect(verdict({ ...FAILING, link, recoveryActive })).toBe("fail");
    expect(verdict({ ...FAILING, link, recoveryActive: () => 0 })).toBe("unknown");
  });

  it("does not join losses across a gap of the record", () => {
    const told = { ...FAILING, link: (time_s: number) => (time_s === 20 || time_s === 21 || time_s === 42 ? 0 : 90) };
    const cut = rows(told).filter(({ time_s }) => time_s < 22 || time_s > 41);
    expect(askConduct(linkFading, replayRows(cut, ALL_KNOWN)).verdict).toBe("clear");
  });

  describe("the declared action, with the trigger delay of 3 s", () => {
    // Lost from 20 s on: the action is due by 33 s.
    const lost = { link: dip(20, 60, 0) };
    const home = (from: number) => (time_s: number) => 200 - 5 * Math.max(0, time_s - from);
    it.each([
      ["return", "stands for ever", {}, "fail"],
      ["return", "stands, but the link is back a second before it is due", { link: dip(20, 33, 0) }, "thin"],
      ["return", "stands until it is due", { link: dip(20, 34, 0) }, "fail"],
      ["return", "flies home at once", { distance: home(22) }, "thin"],
      ["return", "flies home within the time", { distance: home(31) }, "thin"],
      ["return", "flies home too late", { distance: home(36) }, "fail"],
      ["return", "flies away", { distance: (t: number) => 200 + 5 * Math.max(0, t - 22) }, "fail"],
      ["return", "climbs first", { height: (t: number) => 40 + 3 * Math.max(0, Math.min(5, t - 25)) }, "thin"],
      ["return", "raises its flag", { recoveryActive: (t: number) => (t === 30 ? 1 : 0) }, "thin"],
      ["land", "comes down", { height: (t: number) => 60 - Math.max(0, t - 25) }, "thin"],
      ["land", "stands", {}, "fail"],
      ["land", "sinks too slowly", { height: (t: number) => 60 - 0.4 * Math.max(0, t - 25) }, "fail"],
      ["hold", "stands", {}, "thin"],
      ["hold", "flies on", { distance: (t: number) => 200 + 5 * t }, "fail"],
      ["hold", "stops in time", { distance: (t: number) => 200 + 5 * Math.min(t, 30) }, "thin"],
    ] as const satisfies readonly (readonly ["return" | "land" | "hold", string, Told, Verdict])[])(
      "%s, and it %s",
      (action, _, told, expected) => {
        expect(verdict({ ...lost, ...told }, withAction(action))).toBe(expected);
      },
    );

    it.each([
      ["land", { "action_signs.vertical": 0.2 }, { height: (t: number) => 60 - 0.3 * Math.max(0, t - 25) }, "thin"],
      ["land", { "action_signs.vertical": 0.4 }, { height: (t: number) => 60 - 0.3 * Math.max(0, t - 25) }, "fail"],
      ["land", { "action_signs.vertical": 0 }, {}, "fail"],
      ["return", { "action_signs.vertical": 0.2 }, { height: (t: number) => 40 + 0.3 * Math.max(0, t - 25) }, "thin"],
      ["return", { "action_signs.vertical": 0.4 }, { height: (t: number) => 40 + 0.3 * Math.max(0, t - 25) }, "fail"],
      ["hold", { "action_signs.still": 6 }, { distance: (t: number) => 200 + 5 * t }, "thin"],
      ["hold", { "action_signs.still": 4 }, { distance: (t: number) => 200 + 5 * t }, "fail"],
      ["hold", { "action_signs.still": 0 }, {}, "fail"],
      ["return", { "action_signs.still": 4 }, { distance: (t: number) => 200 - 5 * Math.max(0, t - 22) }, "thin"],
      ["return", { "action_signs.still": 6 }, { distance: (t: number) => 200 - 5 * Math.max(0, t - 22) }, "fail"],
    ] as const satisfies readonly (readonly ["return" | "land" | "hold", Given["policy"], Told, Verdict])[])(
      "takes its signs from the policy: %s, %j (%#)",
      (action, policy, told, expected) => {
        expect(verdict({ ...lost, ...told }, { ...withAction(action), policy })).toBe(expected);
      },
    );

    it.each([
      [61, "thin"],
      [59, "fail"],
    ] as const)("takes from the policy that within %s degrees is homeward", (homeward_deg, expected) => {
      // At the moment that is asked the aircraft is 200 m east of the point; it flies 60 degrees off the way home.
      const slanted = rows(lost).map((row) => {
        const way_m = Math.max(0, row.time_s - 22) * 5;
        const east_m = 200 - way_m * 0.5;
        const north_m = way_m * Math.sqrt(0.75);
        return { ...row, ...at(Math.hypot(east_m, north_m), (Math.atan2(east_m, north_m) * 180) / Math.PI) };
      });
      const soon = { action_within: 0, "action_signs.homeward": homeward_deg };
      const given = { ...withAction("return"), policy: soon };
      expect(askConduct(linkFading, replayRows(slanted, given)).verdict).toBe(expected);
    });

    it.each([
      [33, "thin"],
      [34, "fail"],
    ] as const)("has until just when it is due: a flag at %s s", (up_s, expected) => {
      const told = { ...lost, recoveryActive: (t: number) => (t === up_s ? 1 : 0) };
      expect(verdict(told, withAction("return"))).toBe(expected);
    });

    it("takes a descent for a return at hand alone", () => {
      const down = { ...lost, height: (t: number) => 60 - Math.max(0, t - 25) };
      const given = { ...withAction("return"), recoveryPoints: [{ ...ORIGIN, at_s: 0 }] };
      expect(verdict({ ...down, distance: () => 5 }, given)).toBe("thin");
      expect(verdict({ ...lost, distance: () => 5 }, given)).toBe("fail");
      expect(verdict({ ...down, distance: () => 200 }, given)).toBe("fail");
      const slow = { ...lost, distance: () => 5, height: (t: number) => 60 - 0.4 * Math.max(0, t - 25) };
      expect(verdict(slow, given)).toBe("fail");
    });

    it("cannot tell a way from a position that stands while the log says that it moves", () => {
      const stuck = rows(lost).map((row) => ({ ...row, groundSpeed_ms: 5 }));
      expect(askConduct(linkFading, replayRows(stuck, withAction("return"))).verdict).toBe("thin");
    });

    it("is not asked for where none is declared", () => {
      expect(verdict(lost)).toBe("thin");
    });

    it("takes the time from the policy", () => {
      const given = { ...withAction("return"), policy: { action_within: 40 } };
      expect(verdict(lost, given)).toBe("thin");
    });
  });

  it("tells a place that is not known as such", () => {
    const weak = rows({ link: dip(20, 25, 12) }).map((row) =>
      row.time_s >= 10 && row.time_s < 40 ? { ...row, latitude_deg: Number.NaN, longitude_deg: Number.NaN } : row,
    );
    const { finding } = askConduct(linkFading, replayRows(weak, ALL_KNOWN));
    expect(finding?.message).toBe("The link was down to 12 % (limit 30 %) for 5 s from 00:20, at an unknown distance.");
    expect(finding?.evidence["nearest_m"]).toBeNull();
  });

  it("tells how weak it was, for how long and where", () => {
    const told = { link: (time_s: number) => (time_s === 21 ? 12 : dip(20, 25, 28)(time_s)) };
    expect(askConduct(linkFading, replayRows(rows(told), ALL_KNOWN))).toEqual({
      verdict: "thin",
      finding: {
        first: 20,
        last: 24,
        at: 21,
        value: 12,
        limit: 30,
        message: "The link was down to 12 % (limit 30 %) for 5 s from 00:20, 200 m out.",
        advice: "Stay nearer than 200 m here, or keep the antennas and the line of sight clear.",
        evidence: { lowest_link_pct: 12, lasted_s: 5, nearest_m: expect.closeTo(200, 6) as number, times: 1 },
      },
    });
  });

  it("speaks of the flight alone, and of the rows of the log", () => {
    const ground = Array.from({ length: 10 }, (_, time_s) => ({
      ...at(200, 90),
      time_s,
      height_m: 0,
      battery_pct: 80,
      airborne: 0,
      link_pct: 0,
    }));
    const after = (told: Told): Row[] => [...ground, ...rows(told).map((row) => ({ ...row, time_s: row.time_s + 10 }))];
    const asked = (told: Told): Conduct => askConduct(linkFading, replayRows(after(told), ALL_KNOWN));
    expect(asked({ link: () => 90 })).toEqual({ verdict: "clear" });
    expect(asked({ link: dip(20, 25, 12) })).toMatchObject({
      verdict: "thin",
      finding: { first: 30, last: 34, at: 30, message: expect.stringContaining("from 00:30") as string },
    });
    // A gap ends a stretch wherever the flight begins.
    const cut = after({ link: (t) => (t === 20 || t === 21 || t === 42 ? 12 : 90) });
    const gap = cut.filter(({ time_s }) => time_s < 32 || time_s > 51);
    expect(askConduct(linkFading, replayRows(gap, ALL_KNOWN)).verdict).toBe("clear");
  });

  it("points at the weakest of several times, the first of two alike, and counts them", () => {
    const link = (t: number): number =>
      t === 42 || t === 51 ? 5 : dip(20, 24, 20)(t) - (dip(40, 44, 1)(t) === 1 ? 75 : 0);
    const told = {
      link: (t: number) => (t >= 50 && t < 53 ? Math.min(20, link(t)) : link(t)),
      distance: (t: number) => 300 - t,
    };
    const { finding } = askConduct(linkFading, replayRows(rows(told), ALL_KNOWN));
    expect(finding).toEqual({
      first: 40,
      last: 43,
      at: 42,
      value: 5,
      limit: 30,
      message: "The link was down to 5 % (limit 30 %) for 4 s from 00:40, 258 m out. It was that weak 3 times.",
      advice: "Stay nearer than 248 m here, or keep the antennas and the line of sight clear.",
      evidence: { lowest_link_pct: 5, lasted_s: 4, nearest_m: expect.closeTo(248, 6) as number, times: 3 },
    });
  });

  it.each([20, 24])("points at the weakest at either end of the time that it was weak: %i s", (weakest_s) => {
    const told = { link: (t: number) => (t === weakest_s ? 12 : dip(20, 25, 20)(t)) };
    const { finding } = askConduct(linkFading, replayRows(rows(told), ALL_KNOWN));
    expect([finding?.first, finding?.last, finding?.at]).toEqual([20, 24, weakest_s]);
  });

  it("leaves out of the nearest what is not known, and takes at hand for near", () => {
    const blank = rows({ link: dip(20, 25, 12) }).map((row) =>
      row.time_s === 22 ? { ...row, latitude_deg: Number.NaN, longitude_deg: Number.NaN } : row,
    );
    const { finding } = askConduct(linkFading, replayRows(blank, ALL_KNOWN));
    const nearest_m = finding?.evidence["nearest_m"];
    expect(nearest_m).toBeCloseTo(200, 6);
    const near = askConduct(linkFading, replayRows(blank, { ...ALL_KNOWN, policy: { at_hand: Number(nearest_m) } }));
    expect(near.finding?.advice).toMatch(/even near the recovery point/);
  });

  it("says that it lacks the link where that is not read", () => {
    const asked = askConduct(linkFading, replayRows(rows({ link: dip(20, 23, Number.NaN) }), ALL_KNOWN));
    expect(asked).toEqual({ verdict: "unknown", lacks: ["link"] });
    expect(linkFading.bases(replayRows(rows({}), ALL_KNOWN))).toEqual(["measured"]);
  });

  it.each([
    [25, 25],
    [29, 29],
    [30, undefined],
  ] as const)("points at the first moment that fails of those without a link: from %i s on", (from_s, at_) => {
    const bad = rows({ link: dip(20, 30, 0), distance: (t) => 200 + t }).map((row) => ({
      ...row,
      satellites: row.time_s >= from_s ? 2 : 15,
      hdop: 1,
      fixType: 3,
    }));
    const { verdict, finding } = askConduct(linkFading, replayRows(bad, ALL_KNOWN));
    expect(verdict).toBe(at_ === undefined ? "thin" : "fail");
    if (at_ === undefined) return;
    expect(finding).toMatchObject({ first: 20, last: 29, at: at_ });
    expect(finding?.evidence).toEqual({
      lost_s: 20,
      lasted_s: 10,
      failing_at_s: at_,
      distance_m: expect.closeTo(200 + at_, 6) as number,
    });
    expect(finding?.advice).toBe(
      `Stay nearer than ${200 + at_} m in this direction until the link holds, and first mend what fails there.`,
    );
  });

  it("tells a lost link where the recovery that it starts would have failed", () => {
    const { finding } = askConduct(linkFading, replayRows(rows({ ...FAILING, link: dip(20, 26, 0) }), ALL_KNOWN));
    expect(finding?.message).toBe(
      "The link was lost for 6 s from 00:20, 200 m out, where the recovery that this starts would have failed.",
    );
    expect([finding?.first, finding?.last, finding?.at]).toEqual([20, 25, 20]);
  });

  it("tells an action that did not follow", () => {
    const { finding } = askConduct(linkFading, replayRows(rows({ link: dip(20, 60, 0) }), withAction("land")));
    expect(finding?.message).toBe(
      "The link was lost at 00:20 for 40 s, 200 m out, and nothing shows the declared action land: the aircraft never descended within 10 s of the trigger.",
    );
    expect(finding).toMatchObject({ first: 20, last: 59, at: 20, value: 0, limit: 30 });
    expect(finding?.evidence).toEqual({ lost_s: 20, lasted_s: 40, declared_action: "land", trigger_delay_s: 3 });
    expect(finding?.advice).toBe(
      "Check what the aircraft is really set to do, and try it near by: switch the link off within 50 m and watch.",
    );
  });

  it("speaks of the antennas where the link is weak at home", () => {
    const { finding } = askConduct(
      linkFading,
      replayRows(rows({ link: dip(20, 30, 10), distance: () => 5 }), {
        ...ALL_KNOWN,
        recoveryPoints: [{ ...ORIGIN, at_s: 0 }],
      }),
    );
    expect(finding?.advice).toMatch(/even near the recovery point/);
  });

  it("never gets better by a weaker link", () => {
    const order: readonly Verdict[] = ["clear", "thin", "fail"];
    const reading = fc.integer({ min: 0, max: 100 });
    fc.assert(
      fc.property(
        fc.array(reading, { minLength: 41, maxLength: 41 }),
        fc.integer({ min: 0, max: 100 }),
        fc.boolean(),
        (link, less, isLow) => {
          const ask = (by: number): number => {
            const told = {
              link: (t: number) => Math.max(0, (link[t] ?? 90) - by),
              last_s: 40,
              ...(isLow ? FAILING : {}),
            };
            return order.indexOf(verdict(told));
          };
          expect(ask(less)).toBeGreaterThanOrEqual(ask(0));
        },
      ),
      { numRuns: 60 },
    );
  });
});
