import { chooseWind } from "../air/flight-wind.js";
import { type Basis } from "../config/declared.js";
import { weakest } from "../config/sourced.js";
import { wrapBearing_deg } from "../num/bearing.js";
import { computeNeed, hasBounds, type Need, type Plan } from "../recovery/need.js";
import type { Replay } from "../recovery/replay.js";
import { emptyPlan, planFrom } from "../recovery/replay-flight.js";
import { sayIn } from "../rules/say.js";
import type { TurnbackAdvice, TurnbackCell } from "./advice.js";

const DIRECTIONS = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"] as const;
/** Distances of the table, m: the smallest of these steps that takes no more than so many rows. */
const STEPS_M = [25, 50, 100, 200, 250, 500, 1000, 2000, 5000, 10_000];
const ROWS_MOST = 8;
/** A logged wind is a mean over a minute: looking at it this often misses nothing of it. */
const LOOK_EVERY_S = 5;
/** Far enough for the leg to tell two winds apart, near enough for most to have headway. */
const COMPARE_AT_M = 1000;

/**
 * The battery with which to turn back, by distance and direction, so that a recovery lands with the reserve: what an audit
 * would need from there, in the declared wind or else in the worst of the logs. Of several flights the dearest counts.
 * @param leg_m height of the leg over the recovery point
 * @returns undefined where no flight knows the wind at a known height
 */
export function turnbackTable(
  flights: readonly Replay[],
  farthest_m: number,
  leg_m: number,
): TurnbackAdvice | undefined {
  // Rates that are only assumed would drown those that were flown or declared.
  const known = flights.filter(({ inputs }) => inputs.drain.basis !== "assumed");
  const windy = (known.length > 0 ? known : flights).map(inDeclaredWind);
  const [first] = windy;
  if (first === undefined || !(farthest_m > 0)) return undefined;
  const { policy } = first.setting;
  const rows = distancesTo(farthest_m).map((distance_m) => ({ distance_m, cells: [] as TurnbackCell[] }));
  for (const [i, direction] of DIRECTIONS.entries()) {
    const courseHome_deg = wrapBearing_deg(i * 45 + 180);
    const worst = windy.map((replay) => worstRow(replay, courseHome_deg, leg_m));
    for (const { distance_m, cells } of rows) {
      const spot = { distance_m, courseHome_deg, top_m: leg_m };
      const needs = windy.map((replay, j) => needOf(replay, worst[j] ?? -1, spot));
      cells.push(cellOf(direction, needs, policy.touchdown_reserve));
    }
  }
  const isKnown = rows.some(({ cells }) =>
    cells.some(({ upper_pct, reason }) => upper_pct !== null || reason !== null),
  );
  if (!isKnown) return undefined;
  return {
    reserve_pct: policy.touchdown_reserve,
    upper_pct: policy.upper,
    leg_height_m: leg_m,
    wind: { basis: weakest(windy.map(({ inputs }) => inputs.wind.basis)), text: windText(windy) },
    drain_basis: weakest(windy.map(({ inputs }): Basis => inputs.drain.basis)),
    upper_is: windy.some((replay) => hasBounds(replay.model, emptyPlan(replay).windBound_ms)) ? "bound" : "level",
    rows,
  };
}

/** What was declared is the wind of the next flight, and goes before those that were logged. */
function inDeclaredWind(replay: Replay): Replay {
  const { setting, track, flight, motion, inputs } = replay;
  if (setting.config.declared.wind === undefined) return replay;
  // Whatever a log tells a wind from.
  const { windSpeed_ms: _speed, windFrom_deg: _from, airSpeed_ms: _air, ...columns } = track.columns;
  const wind = chooseWind(setting.config, { ...track, columns }, flight, motion);
  return { ...replay, inputs: { ...inputs, wind } };
}

function distancesTo(farthest_m: number): number[] {
  const step_m = STEPS_M.find((step) => farthest_m / step <= ROWS_MOST) ?? Math.ceil(farthest_m / ROWS_MOST);
  return Array.from({ length: Math.ceil(farthest_m / step_m) }, (_, i) => (i + 1) * step_m);
}

const newNeed = (): Need => ({
  middle_pct: Number.NaN,
  upper_pct: Number.NaN,
  upperKnown_pct: 0,
  low_pct: 0,
  groundSpeed_ms: 0,
  groundSpeedAdverse_ms: 0,
  groundSpeedBest_ms: 0,
  groundSpeedAdverseBest_ms: 0,
});

/** The row of a flight whose wind makes the way home the dearest; -1 where none is known. */
function worstRow(replay: Replay, courseHome_deg: number, top_m: number): number {
  const { moments, length, inputs } = replay;
  const plan = emptyPlan(replay);
  const need = newNeed();
  let worst = -1;
  let slowest: readonly [number, number] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  let looked_s = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < length; k += 1) {
    const at_s = moments.at_s[k] ?? Number.NaN;
    if (at_s - looked_s < LOOK_EVERY_S) continue;
    planFrom(replay, k, { distance_m: COMPARE_AT_M, courseHome_deg, top_m }, plan);
    if (Number.isNaN(plan.wind_ms)) continue;
    looked_s = at_s;
    computeNeed(replay.model, plan, need);
    const speeds = [need.groundSpeedAdverse_ms, need.groundSpeed_ms] as const;
    if (speeds[0] < slowest[0] || (speeds[0] === slowest[0] && speeds[1] < slowest[1])) {
      slowest = speeds;
      worst = k;
    }
    // Declared and assumed winds are the same at every row.
    if (inputs.wind.basis !== "measured") break;
  }
  return worst;
}

function needOf(replay: Replay, k: number, spot: Parameters<typeof planFrom>[2]): Need {
  const need = newNeed();
  if (k < 0) return need;
  const plan: Plan = emptyPlan(replay);
  planFrom(replay, k, spot, plan);
  computeNeed(replay.model, plan, need);
  return need;
}

function cellOf(direction: string, needs: readonly Need[], reserve_pct: number): TurnbackCell {
  const known = needs.filter(({ upper_pct }) => !Number.isNaN(upper_pct));
  const most = (key: "upper_pct" | "middle_pct"): number =>
    known.reduce((top, need) => Math.max(top, need[key]), Number.NEGATIVE_INFINITY) + reserve_pct;
  if (known.length === 0) return { direction, upper_pct: null, middle_pct: null, reason: null };
  const enough = (wanted_pct: number): number | null => (wanted_pct <= 100 ? wanted_pct : null);
  const upper = most("upper_pct");
  const reason = upper === Number.POSITIVE_INFINITY ? "no_headway" : upper > 100 ? "over_full" : null;
  return { direction, upper_pct: enough(upper), middle_pct: enough(most("middle_pct")), reason };
}

function windText(flights: readonly Replay[]): string {
  const say = sayIn(flights[0]?.setting.units ?? "metric");
  const declared = flights.find(({ inputs }) => inputs.wind.basis === "declared");
  if (declared !== undefined) {
    const { speed_ms, from_deg, reference_m } = declared.inputs.wind;
    return `${say.speed(speed_ms[0] ?? Number.NaN)} from ${(from_deg[0] ?? 0).toFixed(0)}° at ${say.length(reference_m)}, as declared`;
  }
  const logged = flights.filter(({ inputs }) => inputs.wind.basis === "measured");
  if (logged.length === 0) return "calm, and 5 m/s against for the upper estimate, since nothing tells the wind";
  const most = logged.flatMap(({ inputs }) => [...inputs.wind.speed_ms]).reduce((top, x) => (x > top ? x : top), 0);
  return `for each direction the worst of the logs (up to ${say.speed(most)})`;
}
