import type { FlightPicture } from "../../pictures/picture.js";
import type { Say } from "../../rules/say.js";
import type { FlightResult, LogResult } from "../../score/result.js";

/** One flight to be drawn, with all that its parts need. */
export interface Sheet {
  readonly log: LogResult;
  readonly flight: FlightResult;
  readonly picture: FlightPicture;
  /** Of this flight's entry in the log's JSON result. */
  readonly pointer: string;
  /** Begins every id of this flight's parts. */
  readonly id: string;
  readonly say: Say;
  readonly units: "metric" | "imperial";
}
