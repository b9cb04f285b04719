import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { parse } from "yaml";
import { describe, expect, it } from "vitest";
import { aircraftYaml, fitAircraft, fitReport, loadSetting, sharedAircraft } from "../../src/index.js";
import { temporaryFolder } from "../helpers/cli.js";
import { flownLog, type Flown } from "../helpers/fit-logs.js";
import { settleSite } from "../../src/settle-site.js";
import { replayRows } from "../helpers/replay.js";
import { LATE } from "../helpers/run.js";
import { chooseInputs } from "../../src/recovery/flight-inputs.js";

const SEEDS = [1, 2, 3, 4, 5];
const fitOf = (more: Partial<Flown> = {}) => fitAircraft(SEEDS.map((seed) => flownLog({ seed, ...more })));
const OPTIONS = { toolVersion: "0.0.0" };
const folder = temporaryFolder();
let count = 0;

/** Writes the file beside a homeleg.yaml that points to it, and loads that. */
async function loaded(text: string) {
  const here = join(folder, String((count += 1)));
  mkdirSync(here);
  writeFileSync(join(here, "aircraft.yaml"), text);
  writeFileSync(join(here, "homeleg.yaml"), "aircraft: aircraft.yaml\n");
  return loadSetting({ startFolder: here });
}

describe("the file of a fitted aircraft", () => {
  it("loads again as the rates, spread and speeds that were fitted", async () => {
    const fit = fitOf();
    const { config } = await loaded(aircraftYaml(fit, OPTIONS));
    const { drain_pctPerMin: rates, drainSpread_pct, drainTied, speeds_ms } = config.declared.aircraft;
    for (const name of ["hover", "climb", "cruise", "descent"] as const) {
      expect(rates?.[name]).toBe(Number(fit.drain?.[name].pct_per_min.toFixed(2)));
    }
    expect(drainSpread_pct).toBe(Number(fit.spread_pct?.toFixed(1)));
    expect(drainTied).toEqual([]);
    expect(speeds_ms).toEqual({ recovery: undefined, climb: 3, descent: 2.5, landing: undefined });
  });

  it("keeps what was tied as tied: its bound of 30 % counts where it is declared", async () => {
    const text = aircraftYaml(fitOf({ mix: [3, 0, 5, 0] }), OPTIONS);
    const setting = await loaded(text);
    expect(setting.config.declared.aircraft.drainTied).toEqual(["climb", "descent"]);
    const { track, flight, motion } = replayRows(LATE);
    const { drain } = chooseInputs(await settleSite(setting, track, flight), track, flight, motion);
    expect(drain.high.map((rate, r) => rate / (drain.middle[r] ?? 1))).toEqual([
      1,
      expect.closeTo(1.3, 12) as number,
      1,
      expect.closeTo(1.3, 12) as number,
    ]);
    expect(drain.low[1]).toBeCloseTo(0.7 * (drain.middle[1] ?? 0), 12);
  });

  it("says from how many logs, flights, minutes and days it is, and how each log agrees", () => {
    const text = aircraftYaml(fitOf(), OPTIONS);
    expect(text).toMatch(
      /Fitted by homeleg 0\.0\.0 from 5 logs, 5 flights, 75\.0 minutes in the air \(\d\d\.\d in whole steps/,
    );
    expect(text).toContain("2025-06-02 to 2025-06-06.");
    for (const seed of SEEDS)
      expect(text).toMatch(new RegExp(`^#  +\\d+\\.\\d %  +\\d+\\.\\d %  +[-+]?\\d\\.\\d %   log-${seed}\\.csv$`, "m"));
    expect(text).toMatch(/^ {2}# recovery: 10 m\/s {3}# not told by these logs$/m);
  });

  it("carries over what was declared, and leaves out what settings disagree about", async () => {
    const setting = await loaded(
      'name: "a #1: \\"x\\""\nbattery: { capacity: 5200 mAh, cells: 4, cell_floor: 3.4 V }\nspeeds: { landing: 0.7 m/s, climb: 9 m/s }\n',
    );
    const { config } = await loaded(aircraftYaml(fitOf(), { ...OPTIONS, declared: sharedAircraft([setting]) }));
    const { aircraft } = config.declared;
    expect(aircraft).toMatchObject({ name: 'a #1: "x"', capacity_mAh: 5200, cells: 4, cellFloor_V: 3.4 });
    expect(aircraft.speeds_ms).toMatchObject({ landing: 0.7, climb: 3 });
    const other = await loaded("battery: { cells: 6 }\n");
    expect(sharedAircraft([setting, other])).toBeUndefined();
    expect(sharedAircraft([setting, setting])).toEqual(setting.config.declared.aircraft);
    expect(sharedAircraft([])).toBeUndefined();
  });

  it("is YAML whatever the logs are called, and obeys none of their names", () => {
    const nasty = ["a\ndrain: 1", "b # c: [", "\u202Ed", "e\u0007"].map((name, i) => flownLog({ seed: i + 1 }, name));
    const text = aircraftYaml(fitAircraft(nasty), OPTIONS);
    expect(Object.keys(parse(text) as object)).toEqual(["drain", "speeds"]);
    expect(text).toContain("a\\u{a}drain: 1");
    for (const sign of ["\u0007", "\u202e"]) expect(text).not.toContain(sign);
  });

  it("has no speeds group where no speed is told, and counts logs that are too many to list", async () => {
    const many = Array.from({ length: 45 }, (_, i) => flownLog({ seed: i + 1, minutes: 6 }));
    const mute = many.map((log) => ({
      ...log,
      flights: log.flights.map((flight) => ({
        ...flight,
        speeds_ms: { recovery: undefined, climb: undefined, descent: undefined },
      })),
    }));
    const text = aircraftYaml(fitAircraft(mute), OPTIONS);
    expect(text).toMatch(/^#   and 5 more$/m);
    expect((await loaded(text)).config.declared.aircraft.speeds_ms.climb).toBeUndefined();
  });

  it("is not written for a fit without rates", () => {
    expect(() => aircraftYaml(fitAircraft([]), OPTIONS)).toThrow("a fit without rates");
  });
});

describe("the report of a fit", () => {
  const look = { color: 0, ascii: false, width: 80, units: "metric", quiet: false, explainScore: false } as const;

  it("names what is tied, what told nothing, and the refusal in place of rates", () => {
    const tied = fitReport(fitOf({ mix: [3, 0, 5, 0] }), look);
    expect(tied).toMatch(/climb +\d\.\d\d %\/min {2}tied to the others, within 30 %, 0\.0 min flown/);
    const refused = fitReport(fitAircraft(SEEDS.map((seed) => flownLog({ seed, factor: seed === 5 ? 2 : 1 }))), look);
    expect(refused).toContain("These logs do not agree, and were not averaged.");
    expect(refused).not.toContain("%/min");
    expect(fitReport(fitAircraft([]), look)).toContain("No drain rate could be fitted");
  });

  it("keeps to ASCII where asked", () => {
    const text = fitReport(fitAircraft([flownLog({ seed: 1 }, "grün.csv"), flownLog({ seed: 2 })], { check: true }), {
      ...look,
      ascii: true,
    });
    // oxlint-disable-next-line no-control-regex
    expect(text).toMatch(/^[\u0000-\u007f]*$/);
    expect(text).toContain("gr\\u{fc}n.csv");
  });
});
