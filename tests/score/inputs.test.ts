import { describe, expect, it } from "vitest";
import { SHEAR_DEFAULT } from "../../src/air/wind-profile.js";
import { wholeDrain } from "../../src/aircraft/drain.js";
import type { InputRecord } from "../../src/config/sourced.js";
import type { FlightInputs } from "../../src/recovery/flight-inputs.js";
import { drainRecord, inputsOf } from "../../src/score/inputs.js";
import type { Site } from "../../src/site/site.js";
import type { Flight } from "../../src/track/flights.js";
import type { Given } from "../helpers/declared.js";
import { at, ORIGIN } from "../helpers/flights.js";
import { ALL_KNOWN, shortReplay } from "../helpers/moments.js";

/** What a replay is told over that of a short hover under `ALL_KNOWN`. */
interface Changes {
  readonly given?: Given;
  readonly inputs?: Partial<FlightInputs>;
  readonly site?: Partial<Site>;
  readonly flight?: Partial<Flight>;
  readonly places?: Readonly<Record<string, string>>;
}

const PLAIN = shortReplay();

function records({ given = {}, inputs, site, flight, places = {} }: Changes = {}): Record<string, InputRecord> {
  const replay = shortReplay(20, { ...ALL_KNOWN, ...given });
  const { setting } = replay;
  return inputsOf({
    ...replay,
    inputs: { ...replay.inputs, ...inputs },
    flight: { ...replay.flight, ...flight },
    setting: {
      ...setting,
      site: { ...setting.site, ...site },
      config: { ...setting.config, places: new Map(Object.entries(places)) },
    },
  });
}

const declared = (value: number | string, unit = "", from = "declared"): InputRecord => ({
  value,
  unit,
  basis: "declared",
  from,
});
const assumed = (value: number | string, unit = "", from = "project default"): InputRecord => ({
  value,
  unit,
  basis: "assumed",
  from,
});
/** The paths that begin so. */
const under = (path: string, all: Readonly<Record<string, InputRecord>>): Record<string, InputRecord> =>
  Object.fromEntries(Object.entries(all).filter(([key]) => key.startsWith(path)));

describe("what was taken as given", () => {
  it("is every input by its path, with value, unit and basis", () => {
    expect(records()).toEqual({
      "settings.recovery_height": declared(50, "m"),
      "settings.recovery_height_above": assumed("recovery-point"),
      "settings.trigger_delay": assumed(3, "s", "common practice, a few seconds"),
      "settings.turn_time": assumed(3, "s"),
      "settings.slow_height": assumed(5, "m"),
      "aircraft.speeds.recovery": assumed(8, "m/s"),
      "aircraft.speeds.climb": assumed(3, "m/s"),
      "aircraft.speeds.descent": assumed(2, "m/s"),
      "aircraft.speeds.landing": assumed(0.8, "m/s"),
      recovery_point: declared(
        "47.000000, 8.000000",
        "deg",
        "declared; 100 m from take-off, the recovery height counts from the recovery point",
      ),
      height: { value: "above take-off", unit: "m", basis: "measured", from: "height above take-off in the log" },
      operator: declared("known"),
      "wind.speed": declared(3, "m/s"),
      "wind.from": declared(270, "deg"),
      "wind.height": declared(10, "m"),
      "wind.gust": declared(5, "m/s"),
      "wind.shear": declared(0.143, "1"),
      "site.terrain": declared("flat"),
      "site.obstacles": declared("none"),
      "site.zones": declared("none"),
    });
  });

  it("rounds numbers to a millionth, and calls one that is not finite unknown", () => {
    const turnTime = { value: 1.00000049, basis: "declared", from: "a.yaml:3" } as const;
    const triggerDelay = { value: Number.NaN, basis: "declared", from: "a.yaml:4" } as const;
    expect(under("settings.t", records({ inputs: { turnTime, triggerDelay } }))).toEqual({
      "settings.trigger_delay": declared("unknown", "s", "a.yaml:4"),
      "settings.turn_time": declared(1, "s", "a.yaml:3"),
    });
  });

  it("has the action of a lost link and that near the point where they are declared", () => {
    const settings = { recoveryHeight_m: 50, lostLinkAction: "hold", near: { radius_m: 20, action: "level" } } as const;
    const all = records({ given: { settings }, places: { "settings.near": "a.yaml:8" } });
    expect(all["settings.lost_link_action"]).toEqual(declared("hold"));
    expect(all["settings.near"]).toEqual(declared("level within 20 m", "", "a.yaml:8"));
    expect(records({ given: { settings } })["settings.near"]).toEqual(declared("level within 20 m"));
  });

  it("has the battery percent where it was worked out, not where it was logged", () => {
    const battery = { value: "from charge used", basis: "inferred", from: "charge used" } as const;
    expect(records({ inputs: { battery } })["battery"]).toEqual({ ...battery, unit: "" });
    expect(records()).not.toHaveProperty("battery");
  });

  it("has what the policy declares, each in its own unit", () => {
    const policy = { clearance: 12, touchdown_reserve: 30 };
    expect(under("policy", records({ given: { policy }, places: { "policy.clearance": "a.yaml:9" } }))).toEqual({
      "policy.clearance": declared(12, "m", "a.yaml:9"),
      "policy.touchdown_reserve": declared(30, "%"),
    });
  });
});

describe("the cells taken as given", () => {
  const cells = (inputs: Partial<FlightInputs>): Record<string, InputRecord> =>
    under("aircraft.battery", records({ inputs }));
  const told = {
    basis: "declared",
    from: "a.yaml:5",
    cell_V: new Float64Array(20).fill(3.8),
    isOfCells: false,
  } as const;

  it("are none without a voltage", () => {
    expect(cells({ cellVoltage: { lacks: "voltage", from: "no voltage in the log" } })).toEqual({});
  });

  it("are unknown where a voltage is logged and their number is not told", () => {
    expect(cells({ cellVoltage: { lacks: "cells", from: "it fits 3 or 4 cells" } })).toEqual({
      "aircraft.battery.cells": { value: "unknown", unit: "", basis: "inferred", from: "it fits 3 or 4 cells" },
    });
  });

  it("are their number and the floor", () => {
    const cellFloor = { value: 3.4, basis: "declared", from: "a.yaml:6", least_V: 3.4 } as const;
    expect(cells({ cellVoltage: { ...told, cells: 4 }, cellFloor })).toEqual({
      "aircraft.battery.cells": declared(4, "1", "a.yaml:5"),
      "aircraft.battery.cell_floor": declared(3.4, "V", "a.yaml:6"),
    });
    expect(cells({ cellVoltage: { ...told, cells: undefined }, cellFloor })["aircraft.battery.cells"]).toEqual(
      declared("unknown", "", "a.yaml:5"),
    );
  });
});

describe("the recovery point taken as given", () => {
  const pointOf = (spot: Partial<FlightInputs["point"]>, more: Changes = {}): InputRecord | undefined =>
    records({ ...more, inputs: { ...more.inputs, point: { ...PLAIN.inputs.point, ...spot } } })["recovery_point"];
  /** A point some way east of take-off, which lies at the origin. */
  const away = (distance_m: number, more: Partial<FlightInputs> = {}): InputRecord | undefined => {
    const spot = at(distance_m, 90);
    const point = { latitude_deg: spot.latitude_deg, longitude_deg: spot.longitude_deg };
    return pointOf(
      {
        latitude_deg: new Float64Array(20).fill(point.latitude_deg),
        longitude_deg: new Float64Array(20).fill(point.longitude_deg),
      },
      { inputs: more, flight: { takeoff: ORIGIN } },
    );
  };

  it("is where it was when it was set, counted from the flight's first row", () => {
    const latitude_deg = Float64Array.from({ length: 20 }, (_, k) => k + 0.1234567);
    const longitude_deg = Float64Array.from({ length: 20 }, (_, k) => -k);
    const set = pointOf({ latitude_deg, longitude_deg, setRow: 12 }, { flight: { first: 10, takeoff: undefined } });
    expect(set).toEqual(declared("2.123457, -2.000000", "deg"));
  });

  it("is unknown where it was never set", () => {
    expect(pointOf({ setRow: undefined })).toEqual(declared("unknown", "deg"));
  });

  it("says how far from take-off it is where that is over 30 m, and from which spot the height counts", () => {
    expect(away(29.9)?.from).toBe("declared");
    expect(away(30.1)?.from).toBe("declared; 30 m from take-off, the recovery height counts from the recovery point");
    const recoveryHeightAbove = { value: "take-off", basis: "declared", from: "a.yaml:7" } as const;
    expect(away(250, { recoveryHeightAbove })?.from).toBe(
      "declared; 250 m from take-off, the recovery height counts from take-off",
    );
  });

  it("says nothing of a take-off that was not seen", () => {
    expect(pointOf({}, { flight: { takeoff: undefined } })?.from).toBe("declared");
  });
});

describe("heights and people taken as given", () => {
  it("are unknown or missing where nothing says", () => {
    const heights = { ...PLAIN.inputs.heights, basis: "assumed", from: "not known" } as const;
    const all = records({ inputs: { heights, operator: undefined } });
    expect(all["height"]).toEqual(assumed("unknown", "m", "not known"));
    expect(all).not.toHaveProperty("operator");
  });

  it("has a drift of the height from 5 cm on, up or down", () => {
    const drift = (drift_m: number): InputRecord | undefined =>
      records({ inputs: { heights: { ...PLAIN.inputs.heights, drift_m } } })["height.drift"];
    const from = "height read after landing at take-off";
    expect(drift(0.05)).toEqual({ value: 0.05, unit: "m", basis: "measured", from });
    expect(drift(-1.5)).toEqual({ value: -1.5, unit: "m", basis: "measured", from });
    expect([drift(0.0499), drift(-0.0499), drift(0)]).toEqual([undefined, undefined, undefined]);
  });
});

describe("the wind taken as given", () => {
  const wind = (more: Partial<FlightInputs["wind"]>, places = {}): Record<string, InputRecord> =>
    under("wind", records({ inputs: { wind: { ...PLAIN.inputs.wind, from: "told", ...more } }, places }));
  const speeds = (...known: readonly number[]): Float64Array => Float64Array.from(known);

  it("is calm where it was only assumed, without a profile", () => {
    expect(wind({ basis: "assumed" })).toEqual({ wind: assumed("calm", "", "told") });
  });

  it("is the mean of what a log tells, at the aircraft's own height", () => {
    const shape = { shear: SHEAR_DEFAULT, shearBasis: "assumed", gustOver_ms: 2 } as const;
    expect(wind({ basis: "measured", speed_ms: speeds(4, Number.NaN, 7), ...shape })).toEqual({
      "wind.speed": { value: 5.5, unit: "m/s", basis: "measured", from: "told" },
      "wind.shear": assumed(0.142857, "1", "power law over open ground, 1/7"),
    });
  });

  it("has a direction, a height and a gust over the speed where it holds for the whole flight", () => {
    const inferred = { basis: "inferred", reference_m: 40 } as const;
    const told = { speed_ms: speeds(4, 4), from_deg: speeds(350, 350), gustOver_ms: undefined } as const;
    expect(wind({ ...inferred, ...told })).toEqual({
      "wind.speed": { value: 4, unit: "m/s", basis: "inferred", from: "told" },
      "wind.from": { value: 350, unit: "deg", basis: "inferred", from: "told" },
      "wind.height": { value: 40, unit: "m", basis: "inferred", from: "told" },
      "wind.shear": declared(0.143, "1"),
    });
    expect(wind({ ...inferred, ...told, gustOver_ms: 3 })["wind.gust"]).toEqual(declared(7, "m/s", "told"));
  });

  it("has the roughness in place of the shear where that was declared", () => {
    const rough = wind({ roughness_m: 0.4 }, { "wind.roughness": "a.yaml:4" });
    expect(rough["wind.roughness"]).toEqual(declared(0.4, "m", "a.yaml:4"));
    expect(rough).not.toHaveProperty(["wind.shear"]);
    expect(wind({ roughness_m: 0.4 })["wind.roughness"]).toEqual(declared(0.4, "m"));
  });
});

describe("the site taken as given", () => {
  const site = (more: Partial<Site>, places = {}): Record<string, InputRecord> =>
    under("site", records({ site: { hasObstacles: false, hasZones: false, ...more }, places }));
  const files = { isFlat: false, hasTerrain: true } as const;
  const PLACE = { "site.terrain": "a.yaml:2" };

  it("is nothing where nothing was declared of it", () => {
    expect(site({ hasTerrain: false, terrainError_m: 1 })).toEqual({});
  });

  it("has the kind of terrain", () => {
    expect(site({})["site.terrain"]?.value).toBe("flat");
    expect(site({ ...files, isSurface: true })["site.terrain"]?.value).toBe("surface");
    expect(site(files, PLACE)).toEqual({ "site.terrain": declared("ground", "", "a.yaml:2") });
  });

  it("has the terrain's file, or each of them by its number, and its error", () => {
    expect(site({ ...files, terrainFiles: ["a.tif"] }, PLACE)["site.terrain.file"]).toEqual(
      declared("a.tif", "", "a.yaml:2"),
    );
    const two = site({ ...files, terrainFiles: ["a.tif", "b.asc"], terrainError_m: 2.5 }, PLACE);
    expect(two["site.terrain.0.file"]).toEqual(declared("a.tif", "", "a.yaml:2"));
    expect(two["site.terrain.1.file"]).toEqual(declared("b.asc", "", "a.yaml:2"));
    expect(two["site.terrain.error"]).toEqual(declared(2.5, "m", "a.yaml:2"));
    expect(two).not.toHaveProperty(["site.terrain.file"]);
  });

  it("has how many obstacles and zones there are", () => {
    const names = { obstacleNames: ["wall", "mast"], zoneNames: ["school"] };
    const places = { "site.obstacles": "a.yaml:5", "site.zones": "a.yaml:6" };
    const flat = { "site.terrain": declared("flat") };
    expect(site({ hasObstacles: true, ...names }, places)).toEqual({
      ...flat,
      "site.obstacles": declared("2", "", "a.yaml:5"),
    });
    expect(site({ hasZones: true, ...names }, places)).toEqual({
      ...flat,
      "site.zones": declared("1", "", "a.yaml:6"),
    });
  });

  it("has each default height that was used, and how often", () => {
    const defaultHeights = [
      { kind: "trees", count: 3, value_m: 20, basis: "assumed", from: "project default" },
      { kind: "level", count: 1, value_m: 4, basis: "declared", from: "a.yaml:7" },
    ] as const;
    expect(under("site.default", site({ defaultHeights }))).toEqual({
      "site.default_heights.trees": assumed(20, "m", "project default, for 3 without height"),
      "site.default_heights.level": declared(4, "m", "a.yaml:7, for 1 without height"),
    });
  });
});

describe("the drain as the result shows it", () => {
  it("has a rate by regime, rounded", () => {
    expect(drainRecord(wholeDrain("fitted", "this flight", [5.00000049, 6, 4, 3], 9))).toEqual({
      basis: "fitted",
      from: "this flight",
      hover_pct_per_min: 5,
      climb_pct_per_min: 6,
      cruise_pct_per_min: 4,
      descent_pct_per_min: 3,
      spread_pct: 9,
    });
  });
});
