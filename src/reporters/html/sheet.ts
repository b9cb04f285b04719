import type { FlightPicture } from "../../pictures/picture.js";
import type { Say } from "../../rules/say.js";
import type { FlightResult, LogResult } from "../../score/result.js";

/** What the parts that show one recovery need. */
export interface RecoverySheet {
  readonly picture: Pick<FlightPicture, "limits">;
  readonly say: Say;
  readonly units: "metric" | "imperial";
}

/** What the table of what was taken as given needs. */
export interface GivenSheet {
  readonly flight: Pick<FlightResult, "inputs" | "drain" | "drain_fitted">;
  readonly pointer: string;
  readonly say: Say;
}

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
