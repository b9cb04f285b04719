import type { Config } from "../config/declared.js";
import type { Policy } from "../config/policy.js";
import type { Site } from "../site/site.js";
import type { Track } from "../track/track.js";

/** Everything an audit needs besides the log. */
export interface Setting {
  readonly config: Config;
  readonly policy: Policy;
  readonly site: Site;
  /** Where `operator: { track: … }` was, by UTC. */
  readonly operatorTrack: Track | undefined;
  /** Units of the prose in findings; numbers in the result are SI whatever this says. */
  readonly units: "metric" | "imperial";
}
