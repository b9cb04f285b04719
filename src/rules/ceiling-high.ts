import { leastHeight } from "../recovery/least-height.js";
import { leastUnworsened } from "../recovery/least-unworsened.js";
import { heightFrom_m } from "../recovery/needed-height.js";
import { findOverGround, type OverGround, staysWithin } from "../recovery/over-ground.js";
import type { Replay } from "../recovery/replay.js";
import { replayAtHeight } from "../recovery/replay-flight.js";
import { type Asked, type Conduct, conductRule, type Lack } from "./rule.js";
import type { Say } from "./say.js";
import { energyBases } from "./shared.js";
import { VERDICT } from "./verdict.js";

/** The moment rules it asks about, by id: rules do not lean on each other's code. */
const RESERVE = "reserve-short";
const CEILING = "ceiling-low";
/** Starting further over the recovery height than this, the height flown is to blame, not the one set. */
const ABOVE_M = 0.5;
/** The ground "falls away" where it lies this much under the recovery point. */
const FALLS_M = 5;

/**
 * Whether the recovery height is higher than it may or need be: a recovery higher over the ground than is legal, be it
 * only where the ground falls away under a level way home; or a height that costs the reserve that it should protect.
 */
export const ceilingHigh = conductRule({
  id: "ceiling-high",
  question: "Was the recovery height no higher than the law and the battery allow?",
  unit: "m",
  limits: { legal_m: "legal_height", shortest_s: "shortest_stretch", reserve_pct: "touchdown_reserve" },
  judge(replay, { legal_m, shortest_s, reserve_pct }, say, asked): Conduct {
    const { inputs, setting } = replay;
    const lacks: Lack[] = [
      "recovery-height",
      "terrain",
      "obstacles",
      "terrain-here",
      "way-length",
      "recovery-point",
      "height",
    ];
    if (inputs.recoveryHeight.basis === "assumed") return { verdict: "unknown", lacks };
    const isTied = setting.site.hasTerrain && inputs.heights.isTied;
    const isUnder = isTied && staysWithin(replay, legal_m);
    const over = isTied && !isUnder ? findOverGround(replay, legal_m) : undefined;
    if (over !== undefined && over.exceeds_s > 0 && over.exceeds_s >= shortest_s - 1e-6) {
      return { verdict: "thin", finding: tellHeight(replay, over, legal_m, say) };
    }
    const costly = findCost(replay, asked, shortest_s);
    if (costly !== "unknown" && costly !== "none") {
      return { verdict: "thin", finding: tellCost(replay, costly, reserve_pct, say) };
    }
    const isOpen = !isUnder && (over === undefined || (over.unknown_s > 0 && over.unknown_s >= shortest_s));
    return isOpen || costly === "unknown" ? { verdict: "unknown", lacks: [...lacks, "battery"] } : { verdict: "clear" };
  },
  bases: (replay) => [replay.inputs.recoveryHeight.basis, replay.inputs.heights.basis, ...energyBases(replay)],
});

type Finding = NonNullable<Conduct["finding"]>;

function tellHeight(replay: Replay, over: OverGround, legal_m: number, say: Say): Finding {
  const { moments, flight, inputs, pointGround_m } = replay;
  const at = (column: Float64Array): number => column[over.worst] ?? Number.NaN;
  const set_m = inputs.recoveryHeights_m?.[over.worst] ?? inputs.recoveryHeight.value;
  const start_m = at(moments.height_m) + inputs.heights.takeoffGround_m - at(pointGround_m);
  const isAbove = start_m > set_m + heightFrom_m(replay, over.worst) - at(pointGround_m) + ABOVE_M;
  const falls_m = at(pointGround_m) - over.ground_m;
  const [most, legal] = say.beside("length", over.most_m, legal_m);
  const leg = isAbove
    ? `level at ${say.length(at(moments.top_m))} over the recovery point since a start above the recovery height goes no lower`
    : `at ${say.length(at(moments.top_m))} over the recovery point`;
  const valley =
    falls_m >= FALLS_M
      ? ` The way home is level and the ground falls away, ${say.length(falls_m)} below that at the recovery point.`
      : "";
  const least = leastHeight(replay);
  return {
    first: flight.first + over.first,
    last: flight.first + over.last,
    at: flight.first + over.worst,
    value: over.most_m,
    limit: legal_m,
    message:
      `${say.length(at(moments.distance_m))} out: a recovery, ${leg}, flies up to ${most} over the ground ` +
      `(legal height ${legal}).${valley}`,
    advice: isAbove
      ? `Fly no higher than ${say.length(Math.floor(legal_m + over.ground_m - inputs.heights.takeoffGround_m))} above take-off here, or cross where the ground is higher.`
      : adviseHeight(over.allowed_m, least.isWhole ? least.height_m : undefined, say),
    evidence: {
      over_ground_m: over.most_m,
      latitude_deg: over.latitude_deg,
      longitude_deg: over.longitude_deg,
      ground_below_recovery_point_m: falls_m,
      leg_height_m: at(moments.top_m),
      recovery_height_m: set_m,
      most_recovery_height_m: over.allowed_m,
      least_recovery_height_m: least.isWhole ? least.height_m : null,
      exceeds_s: over.exceeds_s,
    },
  };
}

function adviseHeight(allowed_m: number, least_m: number | undefined, say: Say): string {
  const most_m = Math.floor(allowed_m);
  if (least_m === undefined) {
    return `Set a recovery height of at most ${say.length(most_m)} here, if that clears what stands on the way.`;
  }
  const wanted_m = Math.ceil(least_m - 1e-6);
  return wanted_m <= most_m
    ? `Set a recovery height of at most ${say.length(most_m)} here; ${say.length(wanted_m)} clears everything on these ways home.`
    : `No one height is both: at least ${say.length(wanted_m)} clears these ways home, at most ${say.length(most_m)} stays legal. Do not go where the ground falls away, or move the recovery point.`;
}

/** A lower height that would have kept more of the battery, with the moment that gains the grade. */
interface Cost {
  readonly lower: Replay;
  readonly height_m: number;
  /** The gravest moment as it was, among the flight's rows. */
  readonly at: number;
  readonly isFail: boolean;
}

function findCost(replay: Replay, asked: Asked, shortest_s: number): Cost | "none" | "unknown" {
  const { weight_s, touchdownLow_pct, touchdownUpper_pct } = replay.moments;
  const codes = asked.codesOf(RESERVE, replay);
  if (codes === undefined || codes.every((code) => code <= VERDICT.unknown)) return "unknown";
  const now = gravest(codes, weight_s, shortest_s);
  if (now < VERDICT.thin) return "none";
  const ceilings = asked.codesOf(CEILING, replay);
  const clearAt = (k: number): boolean | undefined => {
    const code = ceilings?.[k] ?? VERDICT.unknown;
    return code === VERDICT.unknown ? undefined : code <= VERDICT.clear;
  };
  const least_m = leastUnworsened(replay, clearAt);
  if (least_m === undefined) return "unknown";
  const height_m = Math.ceil(least_m - 1e-6);
  const lower = replayAtHeight(replay, height_m);
  const then = asked.codesOf(RESERVE, lower) ?? codes;
  if (gravest(then, weight_s, shortest_s) > (now === VERDICT.fail ? VERDICT.thin : VERDICT.clear)) return "none";
  const isFail = now === VERDICT.fail;
  const left_pct = isFail ? touchdownLow_pct : touchdownUpper_pct;
  let at = codes.indexOf(now);
  for (let k = at; k < codes.length; k += 1) {
    if (codes[k] === now && (left_pct[k] ?? Number.NaN) < (left_pct[at] ?? Number.NaN)) at = k;
  }
  return { lower, height_m, at, isFail };
}

/** The gravest code that lasts long enough to be a finding; thin by an assumption alone is set aside. */
function gravest(codes: Uint8Array, weight_s: Float64Array, shortest_s: number): number {
  for (const code of [VERDICT.fail, VERDICT.thin, VERDICT.thinAssumed]) {
    let lasts_s = 0;
    for (let k = 0; k < codes.length; k += 1) if (codes[k] === code) lasts_s += weight_s[k] ?? 0;
    if (lasts_s > 0 && lasts_s >= shortest_s - 1e-6) return code;
  }
  return VERDICT.clear;
}

function tellCost(replay: Replay, { lower, height_m, at, isFail }: Cost, reserve_pct: number, say: Say): Finding {
  const { moments, flight, inputs, setting } = replay;
  const key = isFail ? "touchdownLow_pct" : "touchdownUpper_pct";
  const value = moments[key][at] ?? Number.NaN;
  const better = lower.moments[key][at] ?? Number.NaN;
  const limit = isFail ? setting.policy.touchdown_floor : reserve_pct;
  const set_m = inputs.recoveryHeights_m?.[at] ?? inputs.recoveryHeight.value;
  const [left, floor] = say.beside("percent", value, limit);
  const height = say.length(height_m);
  return {
    first: flight.first + at,
    last: flight.first + at,
    at: flight.first + at,
    value,
    limit,
    unit: "%",
    message:
      `The recovery height of ${say.length(set_m)} costs the battery it should protect: at ${say.time(moments.at_s[at] ?? 0)} ` +
      `a recovery lands with ${left} (${isFail ? "floor" : "reserve"} ${floor}), from ${height} with ${say.percent(better)}, ` +
      `and ${height} clears these ways home as well.`,
    advice: `Set at least ${height} here, and not much more; or set off with more battery.`,
    evidence: {
      recovery_height_m: set_m,
      least_recovery_height_m: height_m,
      touchdown_pct: value,
      touchdown_at_least_height_pct: better,
      distance_m: moments.distance_m[at] ?? null,
    },
  };
}
