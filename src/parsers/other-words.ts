import type { Channel } from "../track/channels.js";

/** Words that name a quantity but not which of several channels: asked for, never guessed. */
export const UNCLEAR_WORDS: readonly {
  readonly words: readonly string[];
  readonly channels: readonly [Channel, ...Channel[]];
  readonly why: string;
}[] = [
  {
    words: ["height", "altitude", "alt", "elevation", "ele", "barometric altitude", "barometric height", "baro alt"],
    channels: ["height_m", "altitude_m", "heightAboveGround_m", "altitudeEllipsoidal_m"],
    why: "does not say above what",
  },
  {
    words: ["speed", "velocity"],
    channels: ["groundSpeed_ms", "airSpeed_ms"],
    why: "does not say whether over the ground or through the air",
  },
];

/** Words for columns of time; which of them is used is decided by their values. */
export const TIME_WORDS: readonly string[] = [
  "time",
  "timestamp",
  "time stamp",
  "date time",
  "date",
  "date and time",
  "utc",
  "utc time",
  "time utc",
  "utc date time",
  "date time utc",
  "utc date",
  "date utc",
  "utc timestamp",
  "timestamp utc",
  "epoch",
  "epoch time",
  "time epoch",
  "elapsed",
  "elapsed time",
  "time elapsed",
  "flight time",
  "log time",
  "time of day",
  "recording time",
  "time since start",
  "seconds",
  "milliseconds",
];

/** Words that add nothing to a name: they may stand anywhere in it. */
export const FILLER_WORDS: ReadonlySet<string> = new Set([
  "aircraft",
  "gps",
  "gnss",
  "value",
  "reading",
  "measured",
  "wgs",
  "84",
  "the",
  "onboard",
]);
