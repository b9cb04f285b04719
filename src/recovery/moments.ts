/** Columns of the judged moments of a flight; every rule reads from these. NaN is not known, ±Infinity is a value. */
export const MOMENT_KEYS = [
  "at_s",
  "weight_s",
  "latitude_deg",
  "longitude_deg",
  "height_m",
  "distance_m",
  "courseHome_deg",
  "battery_pct",
  "top_m",
  "atHand",
  "needMiddle_pct",
  "needUpper_pct",
  "touchdownLow_pct",
  "touchdownMiddle_pct",
  "touchdownUpper_pct",
  "touchdownUpperKnown_pct",
  "groundSpeed_ms",
  "groundSpeedAdverse_ms",
  "groundSpeedBest_ms",
  "groundSpeedAdverseBest_ms",
  "clearanceCentre_m",
  "clearanceCorridor_m",
  "clearanceJudged_m",
  "clearanceKnownCentre_m",
  "clearanceKnownJudged_m",
  "groundSeen_share",
  "adrift_m",
  "operatorDistance_m",
  "leadsAway_deg",
  "satellites",
  "hdop",
  "fixType",
  "fixMissing",
  "jump_ms",
  "climb_m",
  "coverUp_m",
  "coverUpKnown_m",
  "coverUpNear_m",
  "coverUpNearKnown_m",
  "coverInside",
  "coverInsideKnown",
  "coverWhole",
  "keepoutInside_m",
  "keepoutEntered_m",
  "keepoutTouched",
  "zoneKinds",
] as const;

/**
 * A column of moments. `height_m` is above take-off, `top_m` (height of the leg) above the recovery point, `climb_m` what
 * a recovery climbs before it sets off. `Known` leaves out what only a project default makes high.
 */
export type MomentKey = (typeof MOMENT_KEYS)[number];

/** What is written only where the way home is asked for its clearance. */
export const CLEARANCE_KEYS = [
  "clearanceCentre_m",
  "clearanceCorridor_m",
  "clearanceJudged_m",
  "clearanceKnownCentre_m",
  "clearanceKnownJudged_m",
  "groundSeen_share",
] as const satisfies readonly MomentKey[];

/** What is written only where there are zones. */
export const ZONE_KEYS = [
  "keepoutInside_m",
  "keepoutEntered_m",
  "keepoutTouched",
  "zoneKinds",
] as const satisfies readonly MomentKey[];

/** What is written only where a climb can meet an obstacle or a cover. */
export const CLIMB_KEYS = [
  "coverUp_m",
  "coverUpKnown_m",
  "coverUpNear_m",
  "coverUpNearKnown_m",
  "coverInside",
  "coverInsideKnown",
  "coverWhole",
] as const satisfies readonly MomentKey[];

/** The moments of a flight, as columns of one length. */
export type Moments = Readonly<Record<MomentKey, Float64Array>>;

/**
 * @param given columns that are there already, such as views of the track's
 * @returns those, and columns of NaN to be written by the replay
 */
export function emptyMoments(length: number, given: Partial<Moments> = {}): Moments {
  // At once and in one order: an object that so many keys are added to one by one is a hash table, and every flight's
  // another, which costs more than the recoveries.
  return Object.fromEntries(
    MOMENT_KEYS.map((key) => [key, given[key] ?? new Float64Array(length).fill(Number.NaN)]),
  ) as Moments;
}
