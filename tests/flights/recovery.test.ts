import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { auditLog, loadSetting } from "../../src/index.js";
import type { FlightResult } from "../../src/index.js";

/** Invented flights that end with a recovery; see fixtures/README.md. */
async function audited(name: string, edit: (text: string) => string = (text) => text): Promise<FlightResult> {
  const setting = await loadSetting({ startFolder: "fixtures/recovery" });
  const text = edit(readFileSync(`fixtures/recovery/${name}`, "utf8"));
  const { result } = await auditLog(new TextEncoder().encode(text), setting, { path: name });
  const [flight] = result.flights;
  if (flight === undefined) throw new Error("no flight");
  return flight;
}

/** Without some of its columns. */
function without(...names: string[]): (text: string) => string {
  return (text) => {
    const [head = "", ...lines] = text.trimEnd().split("\n");
    const kept = head.split(",").flatMap((name, i) => (names.includes(name) ? [] : [i]));
    return [head, ...lines].map((line) => kept.map((i) => line.split(",")[i]).join(",")).join("\n");
  };
}

describe("a log that ends with a recovery", () => {
  it("shows it beside its rehearsal: time, energy, height, path and end", async () => {
    const { recoveries_flown, inputs, findings } = await audited("flown-home.csv");
    expect(findings).toEqual([]);
    expect(recoveries_flown).toHaveLength(1);
    const [one] = recoveries_flown;
    expect(one).toMatchObject({ basis: "measured", ended: "landed" });
    // From 30 m to 50, 400 m at 10 m/s air speed against a light wind, down at 3 m/s with care for the last metres.
    expect(one?.actual.time_s).toBeGreaterThan(90);
    expect(one?.actual.time_s).toBeLessThan(105);
    expect(Math.abs((one?.predicted.time_s ?? 0) - (one?.actual.time_s ?? 0))).toBeLessThan(10);
    expect(one?.actual.used_pct).toBeLessThanOrEqual(one?.predicted.need_upper_pct ?? 0);
    expect(Math.abs((one?.actual.used_pct ?? 0) - (one?.predicted.need_middle_pct ?? 0))).toBeLessThan(1);
    expect(one?.actual.height_m).toBeCloseTo(50, 0);
    expect(one?.actual.ended_m_from_point).toBeLessThan(3);
    expect(one?.actual.path_ratio).toBeLessThan(1.02);
    expect(inputs["aircraft.speeds.recovery"]).toMatchObject({
      basis: "inferred",
      from: "the recovery flown in this log",
    });
    expect(Math.abs(Number(inputs["aircraft.speeds.recovery"]?.value) - 10)).toBeLessThan(0.5);
  });

  it("finds the same by the declared mode word, its speed too", async () => {
    const flagged = await audited("flown-home.csv");
    const worded = await audited("flown-home.csv", without("recovery_active"));
    expect(worded.recoveries_flown).toEqual(flagged.recoveries_flown.map((one) => ({ ...one, basis: "declared" })));
    expect(worded.inputs["aircraft.speeds.recovery"]).toEqual(flagged.inputs["aircraft.speeds.recovery"]);
  });

  it("shows it by its shape where the log says nothing, about as long", async () => {
    const flagged = await audited("flown-home.csv");
    const bare = await audited("flown-home.csv", without("recovery_active", "mode"));
    expect(bare.recoveries_flown).toMatchObject([{ basis: "inferred", ended: "landed" }]);
    const apart_s = (bare.recoveries_flown[0]?.start_s ?? 0) - (flagged.recoveries_flown[0]?.start_s ?? 0);
    expect(Math.abs(apart_s)).toBeLessThan(6);
    expect(bare.not_assessed.map(({ rule }) => rule)).not.toContain("recovery-flown");
  });

  it("compares only the part flown where the pilot took over", async () => {
    const { recoveries_flown, findings } = await audited("taken-over.csv");
    expect(findings).toEqual([]);
    expect(recoveries_flown).toMatchObject([{ ended: "taken-over", basis: "measured" }]);
    expect(recoveries_flown[0]?.actual.ended_m_from_point).toBeGreaterThan(100);
  });
});
