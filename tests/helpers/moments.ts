import type { MomentKey } from "../../src/recovery/moments.js";
import type { Replay } from "../../src/recovery/replay.js";
import { type Account, limitsOf, type MomentRule, type View } from "../../src/rules/rule.js";
import { sayIn } from "../../src/rules/say.js";
import { VERDICT } from "../../src/rules/verdict.js";
import { judgeMoments, lookAt, viewOf } from "../../src/score/judge.js";
import type { Given } from "./declared.js";
import { at, ORIGIN } from "./flights.js";
import { replayRows } from "./replay.js";
import { openPlain } from "./sites.js";

/** The moment that is written over and asked about. */
const AT = 10;

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
  const replay = withMoment(shortReplay(20, given), AT, values);
  const judge: MomentRule["judge"] = (...all) => {
    const verdict = rule.judge(...all);
    // The engine takes whatever it does not know for "n/a".
    if (!["n/a", "unknown", "clear", "thin", "fail"].includes(verdict)) throw new Error(`"${verdict}" is no verdict`);
    return verdict;
  };
  return NAMES[judgeMoments({ ...rule, judge }, replay)[AT] ?? -1] ?? "unknown";
}

/** @returns what a moment rule tells of one moment with these values, had it been the worst */
export function tell(
  rule: MomentRule,
  values: Readonly<Partial<Record<MomentKey, number>>>,
  verdict: "thin" | "fail",
  given: Given | Replay = ALL_KNOWN,
): Account {
  const replay = withMoment("moments" in given ? given : shortReplay(20, given), AT, values);
  const telling = { replay, k: AT, verdict, say: sayIn("metric") } as const;
  return rule.describe(viewed(rule, replay), limitsOf(rule, replay.setting.policy), telling);
}

/** @returns how bad a moment rule finds one moment with these values */
export function badnessOf(
  rule: MomentRule,
  values: Readonly<Partial<Record<MomentKey, number>>>,
  verdict: "thin" | "fail",
  given: Given = ALL_KNOWN,
): number {
  const replay = withMoment(shortReplay(20, given), AT, values);
  return rule.badness(viewed(rule, replay), verdict, limitsOf(rule, replay.setting.policy));
}

function viewed(rule: MomentRule, replay: Replay): View<MomentKey> {
  const view = viewOf(rule);
  lookAt(view, replay, AT);
  return view;
}
