import { ASSUMED_AGAINST_MS, raisedWind_ms, windOff_ms } from "../air/flight-wind.js";
import { standardNormalQuantile } from "../num/standard-normal.js";
import type { Flight } from "../track/flights.js";
import type { Motion } from "../track/motion.js";
import type { Track } from "../track/track.js";
import { fillClearances } from "./clearances.js";
import { fillFix } from "./fix.js";
import { chooseInputs, type FlightInputs } from "./flight-inputs.js";
import { CLEARANCE_KEYS, CLIMB_KEYS, emptyMoments, type MomentKey, type Moments, ZONE_KEYS } from "./moments.js";
import { emptyNeed, hasBounds, type NeedModel, NeedReckoner, type Plan } from "./need.js";
import { fillPeople, fillPlaces } from "./places.js";
import type { Replay } from "./replay.js";
import type { Setting } from "./setting.js";
import { fillZones } from "./zones.js";

/** Low and about to land is at hand. */
const LANDING_BELOW_M = 3;
const LANDING_LAST_S = 10;

/** Rehearses a recovery from every row of a flight; every sample is judged, none is skipped. */
export function replayFlight(setting: Setting, track: Track, flight: Flight, motion: Motion): Replay {
  return replayWith(chooseInputs(setting, track, flight, motion), { setting, track, flight, motion });
}

/**
 * The same flight, had its recovery height been another; a logged one that was lower stays as it was.
 * @param height_m above the spot that the setting counts from
 */
export function replayAtHeight(replay: Replay, height_m: number): Replay {
  const { recoveryHeight, recoveryHeights_m } = replay.inputs;
  const lower = (value_m: number): number => Math.min(value_m, height_m);
  const inputs: FlightInputs = {
    ...replay.inputs,
    recoveryHeight: { ...recoveryHeight, value: lower(recoveryHeight.value) },
    recoveryHeights_m: recoveryHeights_m?.map(lower),
  };
  return replayWith(inputs, replay);
}

function replayWith(
  inputs: FlightInputs,
  { setting, track, flight, motion }: Pick<Replay, "setting" | "track" | "flight" | "motion">,
): Replay {
  const { site, policy } = setting;
  const model: NeedModel = {
    drain: inputs.drain,
    speeds: inputs.speeds,
    slowHeight_m: inputs.slowHeight.value,
    z: standardNormalQuantile(policy.upper / 100),
  };
  const length = flight.last - flight.first + 1;
  const hasCeiling =
    inputs.recoveryHeight.basis !== "assumed" && (site.hasTerrain ? inputs.heights.isTied : site.hasObstacles);
  const moments = emptyMoments(length, sharedMoments(track, flight, inputs, unwrittenBySite(setting, hasCeiling)));
  const pointGround_m = new Float64Array(length);
  const windBound_ms = inputs.wind.basis === "assumed" ? ASSUMED_AGAINST_MS : 0;
  const replay: Replay = {
    setting,
    track,
    flight,
    motion,
    inputs,
    model,
    length,
    moments,
    pointGround_m,
    upperIs: hasBounds(model, windBound_ms) ? "bound" : "level",
    hasCeiling,
    isCeilingWhole: site.hasTerrain && inputs.heights.isTied && (site.isSurface || site.hasObstacles),
  };
  fillPlaces(replay);
  fillPeople(replay);
  fillFix(replay);
  // Made out here: what it is made of has another shape for each basis, for which the loop would be compiled anew.
  fillRecoveries(replay, new NeedReckoner(model));
  return replay;
}

/** Columns that are those of the track or the inputs, and one column of NaN for all that nothing will write. */
function sharedMoments(
  { columns }: Track,
  { first, last }: Flight,
  { heights, battery_pct, operator }: FlightInputs,
  unwrittenBySite: readonly MomentKey[],
): Partial<Moments> {
  const unwritten = new Float64Array(last - first + 1).fill(Number.NaN);
  const rows = (column: Float64Array | undefined): Float64Array => column?.subarray(first, last + 1) ?? unwritten;
  return {
    at_s: rows(columns.time_s),
    latitude_deg: rows(columns.latitude_deg),
    longitude_deg: rows(columns.longitude_deg),
    height_m: heights.overTakeoff_m,
    battery_pct: battery_pct ?? unwritten,
    satellites: rows(columns.satellites),
    hdop: rows(columns.hdop),
    fixType: rows(columns.fixType),
    ...(operator === undefined ? { adrift_m: unwritten, operatorDistance_m: unwritten, leadsAway_deg: unwritten } : {}),
    ...Object.fromEntries(unwrittenBySite.map((key) => [key, unwritten])),
  };
}

/** @returns columns that say nothing without a ceiling, without zones, and without either zones or obstacles */
function unwrittenBySite({ site }: Setting, hasCeiling: boolean): MomentKey[] {
  return [
    ...(hasCeiling ? [] : CLEARANCE_KEYS),
    ...(site.hasZones ? [] : ZONE_KEYS),
    ...(site.hasZones || site.hasObstacles ? [] : CLIMB_KEYS),
  ];
}

/** Need, touchdown, ground speed home and clearance of every moment: the hot loop. */
function fillRecoveries(replay: Replay, reckoner: NeedReckoner): void {
  const { moments, length, hasCeiling } = replay;
  const { top_m, atHand, battery_pct } = moments;
  const { needMiddle_pct, needUpper_pct } = moments;
  const { touchdownLow_pct, touchdownMiddle_pct, touchdownUpper_pct, touchdownUpperKnown_pct } = moments;
  const { groundSpeed_ms, groundSpeedAdverse_ms, groundSpeedBest_ms, groundSpeedAdverseBest_ms } = moments;
  const plan = emptyPlan(replay);
  const need = emptyNeed();
  for (let k = 0; k < length; k += 1) {
    planMoment(replay, k, plan);
    reckoner.write(plan, need);
    const left_pct = battery_pct[k] ?? Number.NaN;
    top_m[k] = plan.top_m;
    needMiddle_pct[k] = need.middle_pct;
    needUpper_pct[k] = need.upper_pct;
    touchdownLow_pct[k] = left_pct - need.low_pct;
    touchdownMiddle_pct[k] = left_pct - need.middle_pct;
    touchdownUpper_pct[k] = left_pct - need.upper_pct;
    touchdownUpperKnown_pct[k] = left_pct - need.upperKnown_pct;
    groundSpeed_ms[k] = need.groundSpeed_ms;
    groundSpeedAdverse_ms[k] = need.groundSpeedAdverse_ms;
    groundSpeedBest_ms[k] = need.groundSpeedBest_ms;
    groundSpeedAdverseBest_ms[k] = need.groundSpeedAdverseBest_ms;
    // Into the wind is what holding station asks for.
    if (atHand[k] === 1) holdStation(replay, plan, k);
  }
  if (hasCeiling) fillClearances(replay);
  fillZones(replay);
}

/** @returns a plan to be written by `planMoment` */
export function emptyPlan({ inputs }: Replay): Plan {
  return {
    delay_s: Number.NaN,
    height_m: Number.NaN,
    top_m: Number.NaN,
    bestTop_m: Number.NaN,
    distance_m: Number.NaN,
    course_deg: Number.NaN,
    wind_ms: Number.NaN,
    windFrom_deg: Number.NaN,
    windOff_ms: Number.NaN,
    windBound_ms: inputs.wind.basis === "assumed" ? ASSUMED_AGAINST_MS : 0,
  };
}

/** Writes how the recovery from the k-th moment goes into `plan`, and whether the moment is at hand. */
export function planMoment(replay: Replay, k: number, plan: Plan): void {
  const { inputs, moments, flight, track, setting, pointGround_m } = replay;
  const near = setting.config.declared.settings.near;
  const distance_m = moments.distance_m[k] ?? Number.NaN;
  const height_m =
    (moments.height_m[k] ?? Number.NaN) + inputs.heights.takeoffGround_m - (pointGround_m[k] ?? Number.NaN);
  const set_m = recoveryHeightOverPoint_m(replay, k);
  const isNear = distance_m <= (near?.radius_m ?? setting.policy.at_hand);
  const isLanding =
    !flight.endsInAir &&
    height_m < LANDING_BELOW_M &&
    (moments.at_s[k] ?? 0) >= (track.columns.time_s[flight.last] ?? 0) - LANDING_LAST_S;
  moments.atHand[k] = Number.isNaN(distance_m) ? Number.NaN : isNear || isLanding ? 1 : 0;
  const action = isNear && near !== undefined ? near.action : isNear || isLanding ? "land" : "climb";
  const isFlown = inputs.flown?.isFlown[k] === 1;
  // At hand it may climb all the same, unless a near action that does not was declared.
  const climbs = !(near !== undefined && isNear && near.action !== "climb");
  // Math.max hands NaN on, which a comparison would not.
  moments.climb_m[k] = climbs ? Math.max(0, set_m - height_m) : 0;
  plan.top_m = action === "climb" ? Math.max(height_m, set_m) : height_m;
  plan.bestTop_m = action === "climb" && inputs.recoveryHeight.basis === "assumed" ? height_m : plan.top_m;
  plan.height_m = height_m;
  plan.distance_m = action === "land" && !Number.isNaN(distance_m) ? 0 : distance_m;
  plan.delay_s = action === "land" || isFlown ? 0 : inputs.triggerDelay.value + inputs.turnTime.value;
  plan.course_deg = moments.courseHome_deg[k] ?? Number.NaN;
  writeWind(replay, k, height_m, plan);
}

/**
 * Writes a recovery that begins low, away from home, in the wind of the k-th moment into `plan`: the climb to the leg is
 * counted from the ground at the recovery point.
 */
export function planFrom(
  replay: Replay,
  k: number,
  spot: { readonly distance_m: number; readonly courseHome_deg: number; readonly top_m: number },
  plan: Plan,
): void {
  const { inputs, moments, pointGround_m } = replay;
  plan.height_m = 0;
  plan.top_m = spot.top_m;
  plan.bestTop_m = spot.top_m;
  plan.distance_m = spot.distance_m;
  plan.course_deg = spot.courseHome_deg;
  plan.delay_s = inputs.triggerDelay.value + inputs.turnTime.value;
  const height_m =
    (moments.height_m[k] ?? Number.NaN) + inputs.heights.takeoffGround_m - (pointGround_m[k] ?? Number.NaN);
  writeWind(replay, k, height_m, plan);
}

/** The wind of the k-th moment at the height of the leg; a logged one holds at the aircraft's own height. */
function writeWind({ inputs }: Replay, k: number, height_m: number, plan: Plan): void {
  const { wind } = inputs;
  const reference_m = Number.isNaN(wind.reference_m) ? height_m : wind.reference_m;
  plan.wind_ms = raisedWind_ms(wind, wind.speed_ms[k] ?? Number.NaN, reference_m, plan.top_m);
  plan.windFrom_deg = wind.from_deg[k] ?? Number.NaN;
  plan.windOff_ms = wind.basis === "assumed" ? 0 : windOff_ms(wind, plan.wind_ms, plan.top_m);
}

/** The recovery height over the ground at the recovery point, whichever spot the setting counts from. */
export function recoveryHeightOverPoint_m({ inputs, pointGround_m }: Replay, k: number): number {
  const set_m = inputs.recoveryHeights_m?.[k] ?? inputs.recoveryHeight.value;
  if (inputs.recoveryHeightAbove.value === "recovery-point") return set_m;
  return set_m + inputs.heights.takeoffGround_m - (pointGround_m[k] ?? Number.NaN);
}

function holdStation({ inputs, moments }: Replay, plan: Plan, k: number): void {
  const { value, best_ms } = inputs.speeds.recovery;
  const adverse_ms = plan.wind_ms + plan.windOff_ms;
  moments.groundSpeed_ms[k] = value - plan.wind_ms;
  moments.groundSpeedAdverse_ms[k] = value - adverse_ms;
  moments.groundSpeedBest_ms[k] = best_ms - plan.wind_ms;
  moments.groundSpeedAdverseBest_ms[k] = best_ms - adverse_ms;
}
