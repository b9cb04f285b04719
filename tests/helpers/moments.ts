import type { MomentKey } from "../../src/recovery/moments.js";
import type { Replay } from "../../src/recovery/replay.js";
import type { MomentRule } from "../../src/rules/rule.js";
import { VERDICT } from "../../src/rules/verdict.js";
import { judgeMoments } from "../../src/score/judge.js";
import type { Given } from "./declared.js";
import { at, ORIGIN } from "./flights.js";
import { replayRows } from "./replay.js";
import { openPlain } from "./sites.js";

/** What a moment rule says, with thin by an assumption alone told apart. */
export type Said = "n/a" | "unknown" | "clear" | "thin?" | "thin" | "fail";

const NAMES: Readonly<Record<number, Said>> = {
  [VERDICT.notAsked]: "n/a",
  [VERDICT.unknown]: "unknown",
  [VERDICT.clear]: "clear",
  [VERDICT.thinAssumed]: "thin?",
  [VERDICT.thin]: "thin",
  [VERDICT.fail]: "fail",
};

/** Settings under which no rule is unknown for the whole flight. */
export const ALL_KNOWN: Given = {
  drain: { hover: 5, climb: 6, cruise: 5, descent: 4 },
  settings: { recoveryHeight_m: 50 },
  wind: { speed_ms: 3, from_deg: 270, gust_ms: 5, height_m: 10, shear: 0.143 },
  recoveryPoints: [{ ...ORIGIN, at_s: 0 }],
  operator: { kind: "position", ...ORIGIN },
  site: openPlain(),
};

/** @returns a short hover away from the recovery point, whose moments a test then writes over */
export function shortReplay(length = 20, given: Given = ALL_KNOWN): Replay {
  const rows = Array.from({ length }, (_, i) => ({
    time_s: i,
    ...at(100, 90),
    height_m: i === 0 ? 0 : 30,
    battery_pct: 80,
    satellites: 15,
    hdop: 1,
    fixType: 3,
    airborne: 1,
  }));
  return replayRows(rows, given);
}

/** @returns the same replay with values of one of its moments written over */
export function withMoment(replay: Replay, k: number, values: Readonly<Partial<Record<MomentKey, number>>>): Replay {
  for (const [key, value] of Object.entries(values) as [MomentKey, number][]) replay.moments[key][k] = value;
  return replay;
}

/** @returns what a rule says of one moment with these values, through the engine that asks it in earnest */
export function ask(
  rule: MomentRule,
  values: Readonly<Partial<Record<MomentKey, number>>>,
  given: Given = ALL_KNOWN,
): Said {
  const replay = withMoment(shortReplay(20, given), 10, values);
  return NAMES[judgeMoments(rule, replay)[10] ?? -1] ?? "unknown";
}
