import type { Replay } from "../recovery/replay.js";
import { type Conduct, conductRule } from "./rule.js";

/** What a sum of weights may be off a whole time. */
const ROUNDING_S = 1e-6;

/**
 * The lowest battery that the flight spent `reserve_floor_for` at, or under, while not at hand.
 */
export const reserveFloor = conductRule({
  id: "reserve-floor",
  question: "Was the aircraft home before the battery was low?",
  unit: "%",
  limits: {
    lowBatteryFloor_pct: "low_battery_floor",
    touchdownFloor_pct: "touchdown_floor",
    held_s: "reserve_floor_for",
  },
  judge(replay, { lowBatteryFloor_pct, touchdownFloor_pct, held_s }, say): Conduct {
    const { moments, flight } = replay;
    const away = awayMoments(replay);
    const open: Conduct = { verdict: "unknown", lacks: ["battery", "recovery-point", "position"] };
    if (replay.inputs.battery_pct === undefined || away.isUnknown) return open;
    const isOpen = away.unknown_s > 0 && away.lasted_s + away.unknown_s >= held_s - ROUNDING_S;
    if (away.indices.length === 0 || away.lasted_s < held_s - ROUNDING_S) return isOpen ? open : { verdict: "n/a" };
    // What is not low cannot make it low: of a flight that never was, nothing is sorted.
    const lowOnes = away.indices.filter((k) => (moments.battery_pct[k] ?? Number.NaN) < lowBatteryFloor_pct);
    const value = heldLevel_pct(replay, lowOnes, held_s);
    if (value >= lowBatteryFloor_pct) {
      return away.unknown_s > 0 && away.unknown_s >= held_s - ROUNDING_S ? open : { verdict: "clear" };
    }
    const verdict = value < touchdownFloor_pct ? "fail" : "thin";
    const limit = verdict === "fail" ? touchdownFloor_pct : lowBatteryFloor_pct;
    const under = away.indices.filter((k) => (moments.battery_pct[k] ?? Number.NaN) < limit);
    const [first = 0] = under;
    const worst = under.at(-1) ?? first;
    const low = lowOnes[0] ?? first;
    const lowFrom_s = moments.at_s[low] ?? Number.NaN;
    const [level, floor] = say.beside("percent", value, limit);
    const farthest_m = under.reduce((most, k) => Math.max(most, moments.distance_m[k] ?? 0), 0);
    return {
      verdict,
      finding: {
        first: flight.first + first,
        last: flight.first + worst,
        at: flight.first + worst,
        value,
        limit,
        message: `The battery was down to ${level} (limit ${floor}) for ${say.duration(held_s)} or more while still away, up to ${say.length(farthest_m)} out.`,
        advice: `Be back at hand before the battery reads ${say.percent(lowBatteryFloor_pct)}: on a flight like this by ${say.time(lowFrom_s)}.`,
        evidence: {
          lowest_held_pct: value,
          farthest_under_limit_m: farthest_m,
          first_under_limit_s: moments.at_s[first] ?? null,
        },
      },
    };
  },
  bases: ({ inputs }) => [inputs.battery.basis, inputs.point.basis],
});

/** Moments known to be away from home with a battery, and the time that may be so but is not known. */
function awayMoments({ moments, length }: Replay): {
  indices: number[];
  lasted_s: number;
  unknown_s: number;
  isUnknown: boolean;
} {
  const indices: number[] = [];
  let lasted_s = 0;
  let unknown_s = 0;
  let told = false;
  for (let k = 0; k < length; k += 1) {
    if (moments.atHand[k] === 1) {
      told = true;
      continue;
    }
    if (Number.isNaN(moments.atHand[k] ?? Number.NaN) || Number.isNaN(moments.battery_pct[k] ?? Number.NaN)) {
      unknown_s += moments.weight_s[k] ?? 0;
      continue;
    }
    told = true;
    indices.push(k);
    lasted_s += moments.weight_s[k] ?? 0;
  }
  return { indices, lasted_s, unknown_s, isUnknown: !told };
}

/** The lowest level L such that the battery was at or under L for the time that counts. */
function heldLevel_pct({ moments }: Replay, indices: readonly number[], held_s: number): number {
  const sorted = indices.toSorted((a, b) => (moments.battery_pct[a] ?? 0) - (moments.battery_pct[b] ?? 0));
  let lasted_s = 0;
  for (const k of sorted) {
    lasted_s += moments.weight_s[k] ?? 0;
    if (lasted_s >= held_s - ROUNDING_S) return moments.battery_pct[k] ?? Number.NaN;
  }
  return Number.POSITIVE_INFINITY;
}
