import type { Config } from "../config/declared.js";
import type { Policy } from "../config/policy.js";
import type { Site } from "../site/site.js";
import type { Problem, Track } from "../track/track.js";

/**
 * Everything an audit needs besides the log.
 * @typeParam Where the ground of the flight that is replayed; before a flight is known, the source of it
 */
export interface Setting<Where = Site> {
  readonly config: Config;
  readonly policy: Policy;
  readonly site: Where;
  /** Where `operator: { track: … }` was, by UTC. */
  readonly operatorTrack: Track | undefined;
  /** What is worth knowing about the files of the site, such as obstacles without a height. */
  readonly problems: readonly Problem[];
  /** Units of the prose in findings; numbers in the result are SI whatever this says. */
  readonly units: "metric" | "imperial";
}
