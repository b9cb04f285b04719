import type { Flight } from "../track/flights.js";
import type { Motion } from "../track/motion.js";
import type { Track } from "../track/track.js";
import type { FlightInputs } from "./flight-inputs.js";
import type { Moments } from "./moments.js";
import type { NeedModel } from "./need.js";
import type { Setting } from "./setting.js";

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
