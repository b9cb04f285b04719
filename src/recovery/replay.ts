import { ASSUMED_AGAINST_MS, windOff_ms } from "../air/flight-wind.js";
import { windAtHeight_ms } from "../air/wind-profile.js";
import { angleBetween_deg } from "../num/bearing.js";
import { line } from "../num/geodesic.js";
import { standardNormalQuantile } from "../num/standard-normal.js";
import type { Leg, LegClearance } from "../site/site.js";
import { jumpSpeeds_ms } from "../track/clean-positions.js";
import type { Flight } from "../track/flights.js";
import type { Motion } from "../track/motion.js";
import { hasValues } from "../track/has-values.js";
import type { Track } from "../track/track.js";
import { chooseInputs, type FlightInputs } from "./flight-inputs.js";
import { emptyMoments, type Moments } from "./moments.js";
import { computeNeed, hasBounds, type Need, type NeedModel, type Plan } from "./need.js";
import type { Setting } from "./setting.js";

/** Low and about to land is at hand. */
const LANDING_BELOW_M = 3;
const LANDING_LAST_S = 10;
/** Project default: a position that jumped is in doubt for this long. */
const DOUBT_AFTER_JUMP_S = 2;

/** A flight replayed: its inputs, and one rehearsed recovery for every moment. */
export interface Replay {
  readonly setting: Setting;
  readonly track: Track;
  readonly flight: Flight;
  readonly motion: Motion;
  readonly inputs: FlightInputs;
  readonly model: NeedModel;
  /** One entry a row of the flight. */
  readonly length: number;
  readonly moments: Moments;
  /** Elevation of the recovery point's ground at each moment, in the site's frame; 0 where not tied to the terrain. */
  readonly pointGround_m: Float64Array;
  /** Whether the upper need is a level or also holds bounds of what was assumed. */
  readonly upperIs: "level" | "bound";
  /** The recovery height and the terrain or obstacles are known well enough to ask about clearance. */
  readonly hasCeiling: boolean;
  /** Nothing that stands on the ground is left out: a surface, or declared obstacles, on known terrain. */
  readonly isCeilingWhole: boolean;
}

/** Rehearses a recovery from every row of a flight; every sample is judged, none is skipped. */
export function replayFlight(setting: Setting, track: Track, flight: Flight, motion: Motion): Replay {
  const inputs = chooseInputs(setting, track, flight, motion);
  const { site, policy } = setting;
  const model: NeedModel = {
    drain: inputs.drain,
    speeds: inputs.speeds,
    slowHeight_m: inputs.slowHeight.value,
    z: standardNormalQuantile(policy.upper / 100),
  };
  const length = flight.last - flight.first + 1;
  const moments = emptyMoments(length);
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
    hasCeiling:
      inputs.recoveryHeight.basis !== "assumed" && (site.hasTerrain ? inputs.heights.isTied : site.hasObstacles),
    isCeilingWhole: site.hasTerrain && inputs.heights.isTied && (site.isSurface || site.hasObstacles),
  };
  fillPlaces(replay);
  fillPeople(replay);
  fillFix(replay);
  fillRecoveries(replay);
  return replay;
}

/** Time, weight, place, and the way home of every moment. */
function fillPlaces({ track, flight, inputs, moments, length, pointGround_m, setting }: Replay): void {
  const { time_s, latitude_deg, longitude_deg } = track.columns;
  for (let k = 0; k < length; k += 1) {
    const i = flight.first + k;
    moments.at_s[k] = time_s[i] ?? Number.NaN;
    moments.latitude_deg[k] = latitude_deg[i] ?? Number.NaN;
    moments.longitude_deg[k] = longitude_deg[i] ?? Number.NaN;
    moments.height_m[k] = inputs.heights.overTakeoff_m[k] ?? Number.NaN;
    if (inputs.battery_pct !== undefined) moments.battery_pct[k] = inputs.battery_pct[k] ?? Number.NaN;
    const home = line(
      latitude_deg[i] ?? Number.NaN,
      longitude_deg[i] ?? Number.NaN,
      inputs.point.latitude_deg[k] ?? Number.NaN,
      inputs.point.longitude_deg[k] ?? Number.NaN,
    );
    moments.distance_m[k] = home.distance_m;
    moments.courseHome_deg[k] = home.course_deg;
  }
  for (const { from, to } of flight.segments) {
    for (let i = from; i < to; i += 1) {
      const next_s = i + 1 < to ? (time_s[i + 1] ?? 0) - (time_s[i] ?? 0) : flight.step_s;
      moments.weight_s[i - flight.first] = next_s;
    }
  }
  if (inputs.heights.isTied) fillPointGround(inputs, setting, pointGround_m);
}

/** The ground at the recovery point; asked again only when the point moves. Off the terrain: that at take-off. */
function fillPointGround(inputs: FlightInputs, { site }: Setting, pointGround_m: Float64Array): void {
  const { latitude_deg, longitude_deg } = inputs.point;
  let latitude = Number.NaN;
  let longitude = Number.NaN;
  let ground_m = inputs.heights.takeoffGround_m;
  for (let k = 0; k < pointGround_m.length; k += 1) {
    if (latitude_deg[k] !== latitude || longitude_deg[k] !== longitude) {
      latitude = latitude_deg[k] ?? Number.NaN;
      longitude = longitude_deg[k] ?? Number.NaN;
      ground_m = site.standingGround(latitude, longitude);
      if (Number.isNaN(ground_m)) ground_m = inputs.heights.takeoffGround_m;
    }
    pointGround_m[k] = ground_m;
  }
}

/** How far the operator is from the recovery point, and whether the way home leads away from the operator. */
function fillPeople({ inputs, moments, length }: Replay): void {
  const { operator, point } = inputs;
  if (operator === undefined) return;
  for (let k = 0; k < length; k += 1) {
    const latitude = operator.latitude_deg[k] ?? Number.NaN;
    const longitude = operator.longitude_deg[k] ?? Number.NaN;
    const apart = line(point.latitude_deg[k] ?? Number.NaN, point.longitude_deg[k] ?? Number.NaN, latitude, longitude);
    const bearing = line(
      moments.latitude_deg[k] ?? Number.NaN,
      moments.longitude_deg[k] ?? Number.NaN,
      latitude,
      longitude,
    );
    moments.adrift_m[k] = apart.distance_m;
    moments.operatorDistance_m[k] = bearing.distance_m;
    moments.leadsAway_deg[k] = angleBetween_deg(moments.courseHome_deg[k] ?? Number.NaN, bearing.course_deg);
  }
}

/** What the log says of the position fix; `fixMissing` counts channels that the flight has but this moment lacks. */
function fillFix({ track, flight, moments, length }: Replay): void {
  const channels = [
    { column: track.columns.satellites, out: moments.satellites },
    { column: track.columns.hdop, out: moments.hdop },
    { column: track.columns.fixType, out: moments.fixType },
  ];
  const present = channels.filter(({ column }) => hasValues(column, flight));
  const jumps = jumpSpeeds_ms(track);
  let worst_ms = 0;
  let worst_s = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < length; k += 1) {
    const i = flight.first + k;
    let missing = present.length === 0 ? 1 : 0;
    for (const { column, out } of present) {
      const value = column?.[i] ?? Number.NaN;
      out[k] = value;
      if (Number.isNaN(value)) missing += 1;
    }
    const jump_ms = jumps[i] ?? Number.NaN;
    const at_s = moments.at_s[k] ?? 0;
    if (Number.isNaN(jump_ms)) missing += 1;
    if (at_s - worst_s > DOUBT_AFTER_JUMP_S || jump_ms >= worst_ms) {
      worst_ms = Number.isNaN(jump_ms) ? 0 : jump_ms;
      worst_s = at_s;
    }
    moments.fixMissing[k] = missing;
    moments.jump_ms[k] = worst_ms;
  }
}

/** Need, touchdown, ground speed home and clearance of every moment: the hot loop. */
function fillRecoveries(replay: Replay): void {
  const { moments, length, model, hasCeiling } = replay;
  const plan = emptyPlan(replay);
  const need: Need = {
    middle_pct: 0,
    upper_pct: 0,
    upperKnown_pct: 0,
    low_pct: 0,
    groundSpeed_ms: 0,
    groundSpeedAdverse_ms: 0,
    groundSpeedBest_ms: 0,
    groundSpeedAdverseBest_ms: 0,
  };
  for (let k = 0; k < length; k += 1) {
    planMoment(replay, k, plan);
    computeNeed(model, plan, need);
    const battery_pct = moments.battery_pct[k] ?? Number.NaN;
    moments.top_m[k] = plan.top_m;
    moments.needMiddle_pct[k] = need.middle_pct;
    moments.needUpper_pct[k] = need.upper_pct;
    moments.touchdownLow_pct[k] = battery_pct - need.low_pct;
    moments.touchdownMiddle_pct[k] = battery_pct - need.middle_pct;
    moments.touchdownUpper_pct[k] = battery_pct - need.upper_pct;
    moments.touchdownUpperKnown_pct[k] = battery_pct - need.upperKnown_pct;
    moments.groundSpeed_ms[k] = need.groundSpeed_ms;
    moments.groundSpeedAdverse_ms[k] = need.groundSpeedAdverse_ms;
    moments.groundSpeedBest_ms[k] = need.groundSpeedBest_ms;
    moments.groundSpeedAdverseBest_ms[k] = need.groundSpeedAdverseBest_ms;
    // Into the wind is what holding station asks for.
    if (moments.atHand[k] === 1) holdStation(replay, plan, k);
  }
  if (hasCeiling) fillClearances(replay);
}

function emptyPlan({ inputs }: Replay): Plan {
  return {
    delay_s: 0,
    height_m: 0,
    top_m: 0,
    distance_m: 0,
    course_deg: 0,
    wind_ms: 0,
    windFrom_deg: 0,
    windOff_ms: 0,
    windBound_ms: inputs.wind.basis === "assumed" ? ASSUMED_AGAINST_MS : 0,
  };
}

/** Writes how the recovery from the k-th moment goes into `plan`, and whether the moment is at hand. */
export function planMoment(replay: Replay, k: number, plan: Plan): void {
  const { inputs, moments, flight, track, setting, pointGround_m } = replay;
  const { wind } = inputs;
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
  const isFlown = (track.columns.recoveryActive?.[flight.first + k] ?? 0) > 0;
  // Math.max hands NaN on, which a comparison would not.
  plan.top_m = action === "climb" ? Math.max(height_m, set_m) : height_m;
  plan.height_m = height_m;
  plan.distance_m = action === "land" && !Number.isNaN(distance_m) ? 0 : distance_m;
  plan.delay_s = action === "land" || isFlown ? 0 : inputs.triggerDelay.value + inputs.turnTime.value;
  plan.course_deg = moments.courseHome_deg[k] ?? Number.NaN;
  const reference_m = Number.isNaN(wind.reference_m) ? height_m : wind.reference_m;
  plan.wind_ms = windAtHeight_ms(wind.speed_ms[k] ?? Number.NaN, reference_m, plan.top_m, wind.shear);
  plan.windFrom_deg = wind.from_deg[k] ?? Number.NaN;
  plan.windOff_ms = wind.basis === "assumed" ? 0 : windOff_ms(wind, plan.wind_ms, plan.top_m);
}

/** The recovery height over the ground at the recovery point, whichever spot the setting counts from. */
function recoveryHeightOverPoint_m({ inputs, pointGround_m }: Replay, k: number): number {
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

function fillClearances(replay: Replay): void {
  const { moments, length, inputs, setting, pointGround_m } = replay;
  const { site, policy } = setting;
  const leg: Leg = {
    from: { latitude_deg: 0, longitude_deg: 0 },
    to: { latitude_deg: 0, longitude_deg: 0 },
    path_m: 0,
    corridor_m: policy.corridor,
  };
  const out: LegClearance = {
    centre_m: 0,
    corridor_m: 0,
    latitude_deg: 0,
    longitude_deg: 0,
    over: -1,
    groundSeen_share: 0,
  };
  const doubt_m = Math.abs(inputs.heights.drift_m) + site.terrainError_m;
  for (let k = 0; k < length; k += 1) {
    if (moments.atHand[k] !== 0 || Number.isNaN(moments.top_m[k] ?? Number.NaN)) continue;
    leg.from.latitude_deg = moments.latitude_deg[k] ?? Number.NaN;
    leg.from.longitude_deg = moments.longitude_deg[k] ?? Number.NaN;
    leg.to.latitude_deg = inputs.point.latitude_deg[k] ?? Number.NaN;
    leg.to.longitude_deg = inputs.point.longitude_deg[k] ?? Number.NaN;
    leg.path_m = (pointGround_m[k] ?? Number.NaN) + (moments.top_m[k] ?? Number.NaN);
    site.legClearance(leg, out);
    moments.clearanceCentre_m[k] = out.centre_m;
    moments.clearanceCorridor_m[k] = out.corridor_m;
    moments.clearanceJudged_m[k] = out.corridor_m - doubt_m;
    moments.groundSeen_share[k] = out.groundSeen_share;
  }
}

/**
 * @param corridor_m half-width; 0 for what stands on the centre line itself
 * @returns the clearance of one moment with its place, for a finding; the caller knows that it has one
 */
export function clearanceAt(replay: Replay, k: number, corridor_m: number): LegClearance {
  const { moments, inputs, setting, pointGround_m } = replay;
  const at = (column: Float64Array): number => column[k] ?? Number.NaN;
  const out: LegClearance = {
    centre_m: Number.NaN,
    corridor_m: Number.NaN,
    latitude_deg: Number.NaN,
    longitude_deg: Number.NaN,
    over: -1,
    groundSeen_share: 0,
  };
  setting.site.legClearance(
    {
      from: { latitude_deg: at(moments.latitude_deg), longitude_deg: at(moments.longitude_deg) },
      to: { latitude_deg: at(inputs.point.latitude_deg), longitude_deg: at(inputs.point.longitude_deg) },
      path_m: at(pointGround_m) + at(moments.top_m),
      corridor_m,
    },
    out,
  );
  return out;
}
