import type { Basis } from "../config/declared.js";
import { distance_m } from "../num/geodesic.js";
import { findReturnShape } from "./flown-shape.js";
import type { Plan } from "./need.js";
import { emptyPlan, planMoment } from "./replay-flight.js";
import type { Replay } from "./replay.js";

/** A recovery that was flown, beside the one rehearsed at its first moment. Indices are among the flight's rows. */
export interface FlownRecovery {
  readonly first: number;
  readonly last: number;
  /** `measured` by the log's flag, `declared` mode words, `inferred` from its shape. */
  readonly basis: Basis;
  /** How it ended; only one that landed was flown to its end. */
  readonly ended: "landed" | "taken-over" | "record-ends";
  /** It began at hand, where a rehearsal is the descent alone. */
  readonly isAtHand: boolean;
  /** Of the part that was flown; NaN where not known. */
  readonly predicted: {
    readonly time_s: number;
    readonly needMiddle_pct: number;
    readonly needUpper_pct: number;
    /** Over the recovery point. */
    readonly height_m: number;
  };
  readonly actual: {
    readonly time_s: number;
    readonly used_pct: number;
    readonly height_m: number;
    readonly endedFromPoint_m: number;
    /** Way flown ÷ straight line; NaN for less than 15 m. */
    readonly pathRatio: number;
  };
}

/** Project defaults. A flag set for less than this is a touch of the switch; one that blinks off for less is one recovery. */
const LEAST_S = 5;
const MERGE_S = 3;
/** A flag that goes off this long before the landing went off with it. */
const LANDS_WITHIN_S = 3;
/** Positions are joined over at least this much, or their noise would count as way. */
const PATH_STEP_M = 5;
const PATH_LEAST_M = 15;

/** @returns the recoveries flown: by the log's word, else one that has the shape of a recovery; in order, or none */
export function findFlownRecoveries(replay: Replay): FlownRecovery[] {
  const { flown } = replay.inputs;
  if (flown !== undefined) {
    return runsOf(replay, flown.isFlown).map(([first, last]) => compare(replay, first, last, flown.basis));
  }
  const shape = findReturnShape(replay);
  return shape === undefined ? [] : [compare(replay, shape.first, shape.last, "inferred")];
}

function runsOf({ moments }: Replay, isFlown: Uint8Array): [number, number][] {
  const at_s = (k: number): number => moments.at_s[k] ?? Number.NaN;
  const runs: [number, number][] = [];
  for (let k = 0; k < isFlown.length; k += 1) {
    if (isFlown[k] !== 1) continue;
    const run = runs[runs.length - 1];
    if (run !== undefined && at_s(k) - at_s(run[1]) <= MERGE_S) run[1] = k;
    // Neighbouring rows are one run however slow the log is.
    else if (run !== undefined && run[1] === k - 1) run[1] = k;
    else runs.push([k, k]);
  }
  return runs.filter(([first, last]) => at_s(last) - at_s(first) >= LEAST_S);
}

function compare(replay: Replay, first: number, last: number, basis: Basis): FlownRecovery {
  const { moments } = replay;
  const of = (column: Float64Array, k: number): number => column[k] ?? Number.NaN;
  const ended = endOf(replay, last);
  const whole = rehearse(replay, first);
  // What is not flown to its end is held against what the rehearsal has left from there on.
  const rest = ended === "landed" ? NOTHING_LEFT : rehearse(replay, last);
  const needMiddle_pct = whole.needMiddle_pct - rest.needMiddle_pct;
  return {
    first,
    last,
    basis,
    ended,
    isAtHand: of(moments.atHand, first) === 1,
    predicted: {
      time_s: whole.time_s - rest.time_s,
      needMiddle_pct,
      needUpper_pct: needMiddle_pct + (whole.needUpper_pct - whole.needMiddle_pct),
      height_m: whole.top_m,
    },
    actual: {
      time_s: of(moments.at_s, last) - of(moments.at_s, first),
      used_pct: of(moments.battery_pct, first) - of(moments.battery_pct, last),
      height_m: highest_m(replay, first, last),
      endedFromPoint_m: of(moments.distance_m, last),
      pathRatio: pathRatio(replay, first, last),
    },
  };
}

function endOf({ moments, flight, length }: Replay, last: number): FlownRecovery["ended"] {
  const left_s = (moments.at_s[length - 1] ?? 0) - (moments.at_s[last] ?? 0);
  if (left_s > LANDS_WITHIN_S) return "taken-over";
  return flight.endsInAir ? "record-ends" : "landed";
}

/** What the rehearsal at a moment says. */
interface Rehearsed {
  readonly time_s: number;
  readonly needMiddle_pct: number;
  readonly needUpper_pct: number;
  readonly top_m: number;
}

const NOTHING_LEFT: Rehearsed = { time_s: 0, needMiddle_pct: 0, needUpper_pct: 0, top_m: 0 };

function rehearse(replay: Replay, k: number): Rehearsed {
  const plan = emptyPlan(replay);
  planMoment(replay, k, plan);
  const { moments } = replay;
  return {
    time_s: time_s(replay, plan, moments.groundSpeed_ms[k] ?? Number.NaN),
    needMiddle_pct: moments.needMiddle_pct[k] ?? Number.NaN,
    needUpper_pct: moments.needUpper_pct[k] ?? Number.NaN,
    top_m: plan.top_m,
  };
}

/** Delay, climb, leg and descent at the middle speeds. */
function time_s({ inputs }: Replay, plan: Plan, ground_ms: number): number {
  const { climb, descent, landing } = inputs.speeds;
  const rise_m = Math.max(0, plan.top_m - plan.height_m);
  const top_m = Math.max(0, plan.top_m);
  const slow_m = Math.min(top_m, inputs.slowHeight.value);
  const leg_s = plan.distance_m === 0 ? 0 : ground_ms > 0 ? plan.distance_m / ground_ms : Number.NaN;
  return plan.delay_s + rise_m / climb.value + leg_s + (top_m - slow_m) / descent.value + slow_m / landing.value;
}

function highest_m({ moments, inputs, pointGround_m }: Replay, first: number, last: number): number {
  let most_m = Number.NaN;
  for (let k = first; k <= last; k += 1) {
    const height_m = (moments.height_m[k] ?? Number.NaN) + inputs.heights.takeoffGround_m - (pointGround_m[k] ?? 0);
    if (!(height_m <= most_m) && !Number.isNaN(height_m)) most_m = height_m;
  }
  return most_m;
}

/** @returns way flown ÷ straight line between two rows; NaN where they are too near, or a position is missing */
export function pathRatio({ moments }: Replay, first: number, last: number): number {
  const { latitude_deg, longitude_deg } = moments;
  const apart_m = (a: number, b: number): number =>
    distance_m(
      latitude_deg[a] ?? Number.NaN,
      longitude_deg[a] ?? Number.NaN,
      latitude_deg[b] ?? Number.NaN,
      longitude_deg[b] ?? Number.NaN,
    );
  const straight_m = apart_m(first, last);
  if (!(straight_m >= PATH_LEAST_M)) return Number.NaN;
  let way_m = 0;
  let anchor = first;
  for (let k = first + 1; k <= last; k += 1) {
    const step_m = apart_m(anchor, k);
    if (step_m >= PATH_STEP_M) {
      way_m += step_m;
      anchor = k;
    }
  }
  return (way_m + apart_m(anchor, last)) / straight_m;
}
