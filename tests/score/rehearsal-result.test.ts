import { describe, expect, it } from "vitest";
import { rehearsalText } from "../../src/reporters/rehearsal-text.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { rehearsalResult, type RehearsalResult } from "../../src/score/rehearsal-result.js";
import type { Given } from "../helpers/declared.js";
import type { Row } from "../helpers/flights.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { replayRows } from "../helpers/replay.js";
import { LATE, LATE_FIXED, THIRSTY } from "../helpers/run.js";
import { nothingKnown, plainWithWall } from "../helpers/sites.js";

const LOOK = { color: 0, ascii: false, width: 80, units: "metric", quiet: false, explainScore: false } as const;
const of = (rows: readonly Row[], given: Given, k = 400): RehearsalResult =>
  rehearsalResult("invented.csv", auditFlight(replayRows(rows, given)), k);
const words = (rehearsal: RehearsalResult): string => rehearsalText(rehearsal, LOOK).replace(/\s+/g, " ");

describe("rehearsalResult", () => {
  it("has the numbers and verdicts of the audit at that moment", () => {
    const audit = auditFlight(replayRows(LATE_FIXED, THIRSTY));
    const result = rehearsalResult("a.csv", audit, 400);
    const { moments } = audit.judgement.replay;
    expect(result.need_pct.middle).toBeCloseTo(moments.needMiddle_pct[400] ?? 0, 6);
    expect(result.need_pct.upper).toBeCloseTo(moments.needUpper_pct[400] ?? 0, 6);
    expect(result.touchdown_pct.middle).toBeCloseTo(moments.touchdownMiddle_pct[400] ?? 0, 6);
    expect(result.verdicts).toMatchObject({ "reserve-short": "fail", "point-adrift": "clear" });
    expect(result.reasons["reserve-short"]).toMatch(/^4000 m out with /);
    expect(result.phases[0]?.start_s).toBe(400);
    expect(JSON.stringify(result)).not.toMatch(/NaN|Infinity/);
  });

  it("says where it meets what stands under the way", () => {
    // The wall stands 1 m east of the flight's own meridian, and the corridor reaches it.
    const result = of(LATE_FIXED, { ...THIRSTY, site: plainWithWall(8, 60) });
    expect(result.clearance).toMatchObject({ centre_m: -10, over: "wall" });
    expect(words(result)).toMatch(/Nearest to wall .*10 m too low on the centre line/);
  });

  it("never prints a number for what is not known", () => {
    const bare = of(
      LATE.map(({ battery_pct: _, height_m: __, ...row }) => row),
      {},
    );
    expect(bare).toMatchObject({ battery_pct: null, height_m: null, clearance: null, touchdown_pct: { middle: null } });
    expect(bare.verdicts["reserve-short"]).toBe("unknown");
    expect(bare.reasons["reserve-short"]).toMatch(/^Wants battery percent in the log/);
    const text = words(bare);
    expect(text).not.toMatch(/NaN|Infinity|undefined|null/);
    expect(text).toMatch(/height unknown, battery unknown/);
  });

  it("says so without a battery reading, and without ground", () => {
    const text = words(
      of(
        LATE.map(({ battery_pct: _, ...row }) => row),
        { ...ALL_KNOWN, site: nothingKnown() },
      ),
    );
    expect(text).toMatch(/what would be left is not known, for the battery is not/);
    expect(text).toMatch(/\? ground not known/);
  });

  it("says so where there is no headway", () => {
    const wind = { speed_ms: 25, from_deg: 180, gust_ms: undefined, height_m: 10, shear: 0.143 };
    const stalled = of(LATE_FIXED, { ...THIRSTY, speeds: { recovery: 10 }, wind });
    expect(stalled.need_pct).toEqual({
      middle: null,
      upper: null,
      upper_is: stalled.need_pct.upper_is,
      reason: "no_headway",
    });
    expect(stalled.phases.find(({ phase }) => phase === "transit")).toMatchObject({
      duration_s: null,
      energy_pct: null,
    });
    expect(words(stalled)).toMatch(/It makes no headway against the wind: no battery is enough\./);
    expect(words(stalled)).not.toMatch(/NaN|Infinity/);
  });
});
