import { SHEAR_DEFAULT } from "../air/wind-profile.js";
import type { Drain } from "../aircraft/drain.js";
import { CLIMB, CRUISE, DESCENT, HOVER } from "../aircraft/regimes.js";
import { POLICY, type PolicyKey } from "../config/policy.js";
import type { InputRecord, Sourced } from "../config/sourced.js";
import { distance_m } from "../num/geodesic.js";
import { roundValue } from "../num/round.js";
import type { Replay } from "../recovery/replay.js";
import type { DrainRecord } from "./result.js";

/** Take-off and recovery point further apart than this: the report says which of the two H counts from. */
const APART_M = 30;

/** @returns everything the audit took as given, by path in homeleg.yaml, with its basis */
export function inputsOf(replay: Replay): Record<string, InputRecord> {
  const { inputs } = replay;
  const records: Record<string, InputRecord> = {};
  const add = (path: string, { value, basis, from }: Sourced<number | string>, unit: string): void => {
    records[path] = { value: typeof value === "number" ? (roundValue(value) ?? "unknown") : value, unit, basis, from };
  };
  add("settings.recovery_height", inputs.recoveryHeight, "m");
  add("settings.recovery_height_above", inputs.recoveryHeightAbove, "");
  if (inputs.lostLinkAction !== undefined) add("settings.lost_link_action", inputs.lostLinkAction, "");
  add("settings.trigger_delay", inputs.triggerDelay, "s");
  add("settings.turn_time", inputs.turnTime, "s");
  add("settings.slow_height", inputs.slowHeight, "m");
  const { near } = replay.setting.config.declared.settings;
  if (near !== undefined) {
    const from = replay.setting.config.places.get("settings.near") ?? "declared";
    add("settings.near", { value: `${near.action} within ${near.radius_m} m`, basis: "declared", from }, "");
  }
  for (const name of ["recovery", "climb", "descent", "landing"] as const) {
    add(`aircraft.speeds.${name}`, inputs.speeds[name], "m/s");
  }
  // A logged percent needs no word; what was worked out does.
  if (inputs.battery.basis === "inferred") add("battery", inputs.battery, "");
  addCells(replay, add);
  addPeople(replay, add);
  addWind(replay, add);
  addSite(replay, add);
  addPolicy(replay, add);
  return records;
}

type Add = (path: string, value: Sourced<number | string>, unit: string) => void;

/** Only where there is a voltage to judge. */
function addCells({ inputs: { cellVoltage, cellFloor } }: Replay, add: Add): void {
  if ("lacks" in cellVoltage) {
    if (cellVoltage.lacks === "voltage") return;
    add("aircraft.battery.cells", { value: "unknown", basis: "inferred", from: cellVoltage.from }, "");
    return;
  }
  const { basis, from, cells } = cellVoltage;
  add("aircraft.battery.cells", { value: cells ?? "unknown", basis, from }, cells === undefined ? "" : "1");
  add("aircraft.battery.cell_floor", cellFloor, "V");
}

function addPeople({ inputs, flight }: Replay, add: Add): void {
  const { point, operator, heights } = inputs;
  const k = point.setRow === undefined ? -1 : point.setRow - flight.first;
  const at = (column: Float64Array): string => (column[k] ?? Number.NaN).toFixed(6);
  const value = k < 0 ? "unknown" : `${at(point.latitude_deg)}, ${at(point.longitude_deg)}`;
  const apart_m =
    flight.takeoff === undefined || k < 0
      ? Number.NaN
      : distance_m(
          flight.takeoff.latitude_deg,
          flight.takeoff.longitude_deg,
          point.latitude_deg[k] ?? Number.NaN,
          point.longitude_deg[k] ?? Number.NaN,
        );
  const counts = inputs.recoveryHeightAbove.value === "take-off" ? "take-off" : "the recovery point";
  const note =
    apart_m > APART_M ? `; ${apart_m.toFixed(0)} m from take-off, the recovery height counts from ${counts}` : "";
  add("recovery_point", { value, basis: point.basis, from: point.from + note }, "deg");
  add("height", { value: heights.from === "not known" ? "unknown" : "above take-off", ...heights }, "m");
  if (operator !== undefined) add("operator", { value: "known", basis: operator.basis, from: operator.from }, "");
}

function addWind({ inputs, setting }: Replay, add: Add): void {
  const { wind } = inputs;
  if (wind.basis === "assumed") {
    add("wind", { value: "calm", basis: "assumed", from: wind.from }, "");
    return;
  }
  const known = wind.speed_ms.filter((speed) => !Number.isNaN(speed));
  const mean_ms = known.reduce((sum, speed) => sum + speed, 0) / known.length;
  add("wind.speed", { value: mean_ms, basis: wind.basis, from: wind.from }, "m/s");
  if (wind.basis === "declared" || wind.basis === "inferred") {
    add("wind.from", { value: wind.from_deg[0] ?? Number.NaN, basis: wind.basis, from: wind.from }, "deg");
    add("wind.height", { value: wind.reference_m, basis: wind.basis, from: wind.from }, "m");
    if (wind.gustOver_ms !== undefined) {
      const gust_ms = (wind.speed_ms[0] ?? Number.NaN) + wind.gustOver_ms;
      add("wind.gust", { value: gust_ms, basis: "declared", from: wind.from }, "m/s");
    }
  }
  if (wind.roughness_m !== undefined) {
    const place = setting.config.places.get("wind.roughness") ?? "declared";
    add("wind.roughness", { value: wind.roughness_m, basis: "declared", from: place }, "m");
    return;
  }
  const from = wind.shear === SHEAR_DEFAULT ? "power law over open ground, 1/7" : "declared";
  add("wind.shear", { value: wind.shear, basis: wind.shearBasis, from }, "1");
}

function addSite({ setting, inputs }: Replay, add: Add): void {
  const { site, config } = setting;
  const place = (path: string): string => config.places.get(path) ?? "declared";
  if (site.hasTerrain) {
    const value = site.isFlat ? "flat" : site.isSurface ? "surface" : "ground";
    add("site.terrain", { value, basis: "declared", from: place("site.terrain") }, "");
    for (const [index, file] of (site.terrainFiles ?? []).entries()) {
      const path = site.terrainFiles?.length === 1 ? "site.terrain.file" : `site.terrain.${index}.file`;
      add(path, { value: file, basis: "declared", from: place("site.terrain") }, "");
    }
    if (site.terrainError_m > 0) {
      add("site.terrain.error", { value: site.terrainError_m, basis: "declared", from: place("site.terrain") }, "m");
    }
  }
  if (site.hasObstacles) {
    const value = site.obstacleNames.length === 0 ? "none" : `${site.obstacleNames.length}`;
    add("site.obstacles", { value, basis: "declared", from: place("site.obstacles") }, "");
  }
  if (site.hasZones) {
    const value = site.zoneNames.length === 0 ? "none" : `${site.zoneNames.length}`;
    add("site.zones", { value, basis: "declared", from: place("site.zones") }, "");
  }
  for (const { kind, count, value_m, basis, from } of site.defaultHeights) {
    const uses = `${from}, for ${count} without height`;
    add(`site.default_heights.${kind}`, { value: value_m, basis, from: uses }, "m");
  }
  const drift_m = inputs.heights.drift_m;
  if (Math.abs(drift_m) >= 0.05) {
    add("height.drift", { value: drift_m, basis: "measured", from: "height read after landing at take-off" }, "m");
  }
}

function addPolicy({ setting }: Replay, add: Add): void {
  for (const key of Object.keys(POLICY) as PolicyKey[]) {
    const place = setting.config.places.get(`policy.${key}`);
    if (setting.config.declared.policy[key] === undefined) continue;
    add(
      `policy.${key}`,
      { value: setting.policy[key], basis: "declared", from: place ?? "declared" },
      POLICY[key].unit,
    );
  }
}

/** @returns rates as the result shows them */
export function drainRecord({ basis, from, middle, spread_pct }: Drain): DrainRecord {
  const rate = (regime: number): number => roundValue(middle[regime] ?? 0) ?? 0;
  return {
    basis,
    from,
    hover_pct_per_min: rate(HOVER),
    climb_pct_per_min: rate(CLIMB),
    cruise_pct_per_min: rate(CRUISE),
    descent_pct_per_min: rate(DESCENT),
    spread_pct: roundValue(spread_pct) ?? 0,
  };
}
