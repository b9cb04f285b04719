import type { Given } from "./declared.js";
import { at, ORIGIN, type Row } from "./flights.js";
import { openPlain } from "./sites.js";

const RATE = 6;
/** What such a flight is audited with. */
export const FLOWN: Given = {
  drain: { hover: RATE, climb: RATE, cruise: RATE, descent: RATE },
  drainSpread_pct: 10,
  speeds: { recovery: 10, climb: 3, descent: 3, landing: 1 },
  settings: { recoveryHeight_m: 50, triggerDelay_s: 3, turnTime_s: 3, slowHeight_m: 5 },
  wind: { speed_ms: 0, from_deg: 0, gust_ms: 0, height_m: 10, shear: 0 },
  recoveryPoints: [{ ...ORIGIN, at_s: 0 }],
  site: openPlain(),
};
/** Hovers 300 m out at 20 m until this second; then up to 50 m, home, down: 10, 30, 15 and 5 s, 60 s in all. */
export const BEGINS_S = 100;
const CLIMB_S = 10;
const LEG_S = 30;
export const LASTS_S = 60;
/** 60 s at 6 % a minute; the flag is up, so no delay and no turn. */
export const NEED_PCT = 6;

/** What may go otherwise than rehearsed. */
export interface Going {
  /** Used in the recovery, %. */
  readonly used_pct?: number;
  /** How far the whole way home is off, m to the east. */
  readonly off_m?: number;
  /** Seconds after which the pilot takes over and flies home by hand. */
  readonly takenOver_s?: number;
  readonly flag?: boolean;
  readonly from_m?: number;
}

/** @returns rows of a hover and of the recovery after it, and ten seconds on the ground */
export function flownHome({
  used_pct = NEED_PCT,
  off_m = 0,
  takenOver_s = LASTS_S,
  flag = true,
  from_m = 300,
}: Going = {}): Row[] {
  return Array.from({ length: BEGINS_S + LASTS_S + 11 }, (_, time_s) => {
    const t = time_s - BEGINS_S;
    const out_m = Math.min(1, Math.max(0, 1 - (t - CLIMB_S) / LEG_S)) * from_m;
    const down_s = t - CLIMB_S - LEG_S;
    const height_m =
      t < 0 ? 20 : t < CLIMB_S ? 20 + 3 * t : down_s < 0 ? 50 : down_s < 15 ? 50 - 3 * down_s : 20 - down_s;
    const east = at(out_m + off_m, 90);
    return {
      time_s,
      ...east,
      height_m: time_s === 0 ? 0 : Math.max(0, height_m),
      battery_pct: 80 - (t <= 0 ? 0 : (used_pct * Math.min(t, LASTS_S)) / LASTS_S),
      airborne: t <= LASTS_S ? 1 : 0,
      ...(flag ? { recoveryActive: t >= 0 && t <= takenOver_s ? 1 : 0 } : {}),
    };
  });
}
