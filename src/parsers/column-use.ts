import type { ChannelId } from "../track/channels.js";

/** What became of one column of a CSV file, or of one element of a GPX file. */
export interface ColumnUse {
  /** As in the log. */
  readonly name: string;
  /** What it fills; undefined if it is not used. A date and a time of day in two columns are both `time`. */
  readonly channel: ChannelId | undefined;
  /** Its values are the channel's; false for a time that only says when the recording began. */
  readonly isKept: boolean;
  /** Why, or why not, for people. */
  readonly because: string;
}

/** Something that only the pilot can say about columns, which are left out until it is said in homeleg.yaml. */
export interface ColumnQuestion {
  /** What is open: the unit, what is measured, or which of several columns it is. */
  readonly kind: "unit" | "meaning" | "tie";
  /** The columns concerned, by name; `columns:` can name the first. */
  readonly columns: readonly [string, ...string[]];
  /** What they may be, the likeliest first. */
  readonly channels: readonly [ChannelId, ...ChannelId[]];
  /** The unit to state beside the column, the likeliest one; undefined where the log states it. */
  readonly unit: string | undefined;
  /** Why it is open: `does not say above what`. */
  readonly why: string;
  /** Another column fills one of the channels, so that nothing may be lost. */
  readonly isCovered: boolean;
}

/** Why a column is not used whose name means nothing here. */
export const NAME_UNKNOWN = "its name is none of the known words";
