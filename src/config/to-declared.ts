import type { Declared } from "./declared.js";
import { POLICY, type PolicyKey } from "./policy.js";
import type { HomelegYaml } from "./schema.js";

/** @returns the validated homeleg.yaml under the names of `Declared`; every key that is not there is undefined */
export function toDeclared(yaml: HomelegYaml): Declared {
  return {
    aircraft: aircraftOf(yaml.aircraft),
    settings: settingsOf(yaml.settings),
    recoveryPoints: recoveryPointsOf(yaml.recovery_point),
    operator: operatorOf(yaml.operator),
    wind: windOf(yaml.wind),
    site: siteOf(yaml.site),
    policy: policyOf(yaml.policy),
    signoff: signoffOf(yaml.policy?.signoff),
    rulesOff: valuesOf(yaml.rules, ({ off }) => off),
    columns: valuesOf(yaml.columns, (read) =>
      typeof read === "string" ? { column: read, unit: undefined } : { column: read.column, unit: read.unit },
    ),
    reading: yaml.reading ?? {},
  };
}

function aircraftOf(aircraft: HomelegYaml["aircraft"] = {}): Declared["aircraft"] {
  const { battery = {}, speeds = {}, drain, endurance, body } = aircraft;
  return {
    name: aircraft.name,
    capacity_mAh: battery.capacity,
    nominalVoltage_V: battery.nominal_voltage,
    cells: battery.cells,
    cellFloor_V: battery.cell_floor,
    speeds_ms: {
      recovery: speeds.recovery,
      climb: speeds.climb,
      descent: speeds.descent,
      landing: speeds.landing,
    },
    drain_pctPerMin: drain && { hover: drain.hover, climb: drain.climb, cruise: drain.cruise, descent: drain.descent },
    drainSpread_pct: drain?.spread,
    drainTied: drain?.tied ?? [],
    power_W: aircraft.power,
    endurance_s: endurance && { hover: endurance.hover, cruise: endurance.cruise },
    body: body && {
      mass_kg: body.mass,
      rotors: body.rotors,
      rotorDiameter_m: body.rotor_diameter,
      efficiency: body.efficiency,
    },
  };
}

function settingsOf(settings: HomelegYaml["settings"] = {}): Declared["settings"] {
  return {
    recoveryHeight_m: settings.recovery_height,
    recoveryHeightAbove: settings.recovery_height_above,
    lostLinkAction: settings.lost_link_action,
    triggerDelay_s: settings.trigger_delay,
    turnTime_s: settings.turn_time,
    slowHeight_m: settings.slow_height,
    recoveryModes: settings.recovery_modes,
    near: settings.near && { radius_m: settings.near.radius, action: settings.near.action },
  };
}

function recoveryPointsOf(read: HomelegYaml["recovery_point"]): Declared["recoveryPoints"] {
  if (read === undefined) return undefined;
  if (!Array.isArray(read)) return [{ at_s: 0, latitude_deg: read.latitude, longitude_deg: read.longitude }];
  return read.map(({ at, latitude, longitude }) => ({ at_s: at, latitude_deg: latitude, longitude_deg: longitude }));
}

function operatorOf(read: HomelegYaml["operator"]): Declared["operator"] {
  if (read === undefined) return undefined;
  if (read === "at-takeoff") return { kind: "at-takeoff" };
  if (read.track !== undefined) return { kind: "track", path: read.track };
  const { latitude, longitude } = read;
  if (latitude === undefined || longitude === undefined) return undefined;
  return { kind: "position", latitude_deg: latitude, longitude_deg: longitude };
}

function windOf(wind: HomelegYaml["wind"]): Declared["wind"] {
  if (wind === undefined) return undefined;
  return {
    speed_ms: wind.speed,
    from_deg: wind.from,
    gust_ms: wind.gust,
    height_m: wind.height,
    shear: wind.shear,
    roughness_m: wind.roughness,
  };
}

function siteOf(site: HomelegYaml["site"] = {}): Declared["site"] {
  const heights = site.default_heights ?? {};
  return {
    terrain: terrainOf(site.terrain),
    obstacles: site.obstacles,
    zones: site.zones,
    defaultHeights_m: {
      trees: heights.trees,
      woods: heights.woods,
      powerLine: heights.power_line,
      level: heights.level,
    },
  };
}

function terrainOf(read: NonNullable<HomelegYaml["site"]>["terrain"]): Declared["site"]["terrain"] {
  if (read === undefined) return undefined;
  if (read === "flat") return { kind: "flat" };
  const files = (Array.isArray(read) ? read : [read]).map((file) => {
    if (typeof file === "string") return { path: file, surface: false, error_m: 0, projection: undefined };
    const { surface = false, error = 0, projection } = file;
    return { path: file.file, surface, error_m: error, projection };
  });
  return { kind: "files", files };
}

function policyOf(policy: HomelegYaml["policy"] = {}): Declared["policy"] {
  const limits: Partial<Record<PolicyKey, number>> = {};
  const { signoff: _signoff, ...groups } = policy;
  for (const [name, value] of Object.entries(groups)) {
    const entries = typeof value === "object" ? Object.entries(value) : [["", value] as const];
    for (const [part, limit] of entries) {
      const key = part === "" ? name : `${name}.${part}`;
      if (isPolicyKey(key) && limit !== undefined) limits[key] = limit;
    }
  }
  return limits;
}

function signoffOf(read: NonNullable<HomelegYaml["policy"]>["signoff"]): Declared["signoff"] {
  if (read === undefined) return undefined;
  return {
    flights: read.flights,
    minutes: read.minutes,
    score: read.score,
    coverage: read.coverage,
    mustBeClear: read.must_be_clear,
    within_s: read.within,
    sites: read.sites,
    siteMinutes: read.site_minutes,
  };
}

function valuesOf<Read, Value>(
  read: Readonly<Record<string, Read | undefined>> = {},
  valueOf: (read: Read) => Value,
): Record<string, Value> {
  const values: Record<string, Value> = {};
  for (const [name, value] of Object.entries(read)) {
    if (value !== undefined) values[name] = valueOf(value);
  }
  return values;
}

function isPolicyKey(key: string): key is PolicyKey {
  return Object.hasOwn(POLICY, key);
}
