import type { Declared } from "../config/declared.js";
import type { Setting } from "../recovery/setting.js";

/**
 * What settings declare of the aircraft, for carrying it over into a fitted file.
 * @returns undefined where there are no settings, or where they differ in name, battery or landing speed
 */
export function sharedAircraft(settings: readonly Pick<Setting, "config">[]): Declared["aircraft"] | undefined {
  const all = settings.map(({ config }) => config.declared.aircraft);
  const [first, ...others] = all;
  const kept = (aircraft: Declared["aircraft"]): string => {
    const { name, capacity_mAh, nominalVoltage_V, cells, cellFloor_V, speeds_ms } = aircraft;
    return JSON.stringify([name, capacity_mAh, nominalVoltage_V, cells, cellFloor_V, speeds_ms.landing]);
  };
  if (first === undefined || others.some((other) => kept(other) !== kept(first))) return undefined;
  return first;
}
