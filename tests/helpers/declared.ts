import type { Config, Declared } from "../../src/config/declared.js";
import { completePolicy, type PolicyKey } from "../../src/config/policy.js";
import type { Setting } from "../../src/recovery/setting.js";
import type { Site } from "../../src/site/site.js";
import { nothingKnown } from "./sites.js";

/** A declaration of nothing at all, to be filled in part by a test. */
export const NOTHING: Declared = {
  aircraft: {
    name: undefined,
    capacity_mAh: undefined,
    nominalVoltage_V: undefined,
    cells: undefined,
    cellFloor_V: undefined,
    speeds_ms: { recovery: undefined, climb: undefined, descent: undefined, landing: undefined },
    drain_pctPerMin: undefined,
    drainSpread_pct: undefined,
    drainTied: [],
    power_W: undefined,
    endurance_s: undefined,
    body: undefined,
  },
  settings: {
    recoveryHeight_m: undefined,
    recoveryHeightAbove: undefined,
    lostLinkAction: undefined,
    triggerDelay_s: undefined,
    turnTime_s: undefined,
    slowHeight_m: undefined,
    recoveryModes: undefined,
    near: undefined,
  },
  recoveryPoints: undefined,
  operator: undefined,
  wind: undefined,
  site: {
    terrain: undefined,
    obstacles: undefined,
    zones: undefined,
    defaultHeights_m: { trees: undefined, woods: undefined, powerLine: undefined, level: undefined },
  },
  policy: {},
  signoff: undefined,
  rulesOff: {},
  columns: {},
};

/** What a test declares; sections are merged over `NOTHING`. */
export interface Given {
  readonly drain?: {
    readonly hover: number;
    readonly climb: number;
    readonly cruise: number;
    readonly descent: number;
  };
  readonly drainSpread_pct?: number;
  /** What else is told of the aircraft. */
  readonly aircraft?: Partial<Declared["aircraft"]>;
  readonly speeds?: Partial<Declared["aircraft"]["speeds_ms"]>;
  readonly settings?: Partial<Declared["settings"]>;
  readonly recoveryPoints?: Declared["recoveryPoints"];
  readonly operator?: Declared["operator"];
  readonly wind?: Declared["wind"];
  readonly policy?: Readonly<Partial<Record<PolicyKey, number>>>;
  readonly rulesOff?: Readonly<Record<string, string>>;
  readonly site?: Site;
}

/** @returns a setting with what the test declares, everything else unknown */
export function settingOf(given: Given = {}): Setting {
  const declared: Declared = {
    ...NOTHING,
    aircraft: {
      ...NOTHING.aircraft,
      ...given.aircraft,
      drain_pctPerMin: given.drain,
      drainSpread_pct: given.drainSpread_pct,
      speeds_ms: { ...NOTHING.aircraft.speeds_ms, ...given.speeds },
    },
    settings: { ...NOTHING.settings, ...given.settings },
    recoveryPoints: given.recoveryPoints,
    operator: given.operator,
    wind: given.wind,
    policy: given.policy ?? {},
    rulesOff: given.rulesOff ?? {},
  };
  const config: Config = { declared, places: new Map(), written: new Map(), files: [] };
  return {
    config,
    policy: completePolicy(declared.policy),
    site: given.site ?? nothingKnown(),
    operatorTrack: undefined,
    problems: [],
    units: "metric",
  };
}
