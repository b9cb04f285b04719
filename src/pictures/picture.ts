import type { RehearsalPhase } from "../recovery/rehearsal.js";

/** How a verdict is drawn; `thin?` is thin by an assumption alone. */
export type DrawnVerdict = "clear" | "thin" | "thin?" | "fail" | "unknown" | "n/a";

/** Metres east and north of the picture's origin. */
export type Spot = readonly [east_m: number, north_m: number];

/** A stretch of time with one verdict. */
export interface Band {
  readonly verdict: DrawnVerdict;
  readonly from_s: number;
  readonly to_s: number;
}

/** One rule over time. */
export interface RuleBands {
  readonly rule: string;
  readonly question: string;
  readonly bands: readonly Band[];
}

/** Moments of a flight, thinned: enough to draw, and nothing of weight left out. NaN is not known, ∞ is without end. */
export interface DrawnMoments {
  readonly at_s: readonly number[];
  /** The record has a gap before this moment. */
  readonly isAfterGap: readonly boolean[];
  readonly battery_pct: readonly number[];
  readonly needMiddle_pct: readonly number[];
  readonly needUpper_pct: readonly number[];
  readonly touchdownMiddle_pct: readonly number[];
  /** To the recovery point. */
  readonly distance_m: readonly number[];
  /** Above take-off. */
  readonly height_m: readonly number[];
  /** Above the recovery point. */
  readonly overPoint_m: readonly number[];
  readonly spot: readonly Spot[];
  readonly verdict: readonly DrawnVerdict[];
  /** Rules with the moment's thin or fail verdict. */
  readonly rules: readonly (readonly string[])[];
}

/** What is highest under the way home at one place. */
export interface DrawnClearance {
  readonly clearance_m: number;
  /** From the aircraft. */
  readonly along_m: number;
  /** Name of the obstacle; undefined: the ground. */
  readonly over: string | undefined;
}

/** One recovery from the side, and what it uses; heights are above the recovery point, lengths from the aircraft on. */
export interface RecoveryPicture {
  readonly at_s: number;
  /** Numbers of the findings of the result whose worst moment this is. */
  readonly findings: readonly number[];
  readonly height_m: number;
  readonly top_m: number;
  readonly distance_m: number;
  readonly isAtHand: boolean;
  readonly battery_pct: number;
  readonly needMiddle_pct: number;
  readonly needUpper_pct: number;
  readonly touchdownMiddle_pct: number;
  readonly touchdownUpper_pct: number;
  readonly phases: readonly RehearsalPhase[];
  /** Undefined where the site cannot say, or there is no leg. */
  readonly profile: DrawnProfile | undefined;
  readonly centre: DrawnClearance | undefined;
  readonly corridor: DrawnClearance | undefined;
}

/** The ground and what stands on it under the leg, in equal stretches. */
export interface DrawnProfile {
  readonly along_m: readonly number[];
  /** NaN where it is not known. */
  readonly ground_m: readonly number[];
  /** NaN where nothing stands of which that is known. */
  readonly obstacleTop_m: readonly number[];
  /** Something stands there whose top is not known. */
  readonly hasUnknownTop: readonly boolean[];
}

/** Something declared of the site, from above. */
export interface DrawnShape {
  readonly name: string;
  readonly kind: "point" | "line" | "polygon";
  readonly rings: readonly (readonly Spot[])[];
  readonly radius_m: number;
}

/** A zone, with what it is declared to be. */
export interface DrawnZone extends DrawnShape {
  readonly zone: string;
}

/** The flight from above. */
export interface PlanPicture {
  readonly west_m: number;
  readonly south_m: number;
  readonly east_m: number;
  readonly north_m: number;
  readonly track: readonly { readonly verdict: DrawnVerdict; readonly spots: readonly Spot[] }[];
  readonly takeoff: Spot | undefined;
  /** As it was set, and as it moved. */
  readonly points: readonly { readonly at_s: number; readonly spot: Spot }[];
  /** Pieces of the operator's way. */
  readonly operator: readonly (readonly Spot[])[];
  /** From the worst moments, by their recovery pictures. */
  readonly recoveries: readonly { readonly from: Spot; readonly to: Spot }[];
  readonly obstacles: readonly DrawnShape[];
  /** Shapes that fell outside or were too many to draw. */
  readonly obstaclesLeftOut: number;
  readonly zones: readonly DrawnZone[];
  /** Elevations on a grid from the north-west, row by row; undefined without a terrain that has a shape. */
  readonly terrain:
    { readonly columns: number; readonly rows: number; readonly elevations_m: readonly number[] } | undefined;
}

/** Everything that pictures of one flight show. */
export interface FlightPicture {
  /** Of the moments; the last of them stands for a little longer. */
  readonly start_s: number;
  readonly end_s: number;
  readonly limits: {
    readonly floor_pct: number;
    readonly reserve_pct: number;
    readonly clearance_m: number;
    readonly corridor_m: number;
  };
  /** One-sided level of the upper need, %. */
  readonly upper_pct: number;
  readonly moments: DrawnMoments;
  readonly bands: readonly RuleBands[];
  readonly recoveries: readonly RecoveryPicture[];
  readonly plan: PlanPicture | undefined;
}
