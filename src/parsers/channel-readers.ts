import type { Channel } from "../track/channels.js";
import { degreesReader, readFix, readFlag, type CellReader } from "./cell-readers.js";
import { CHANNEL_WORDS } from "./channel-words.js";
import { cleanText } from "./clean-text.js";
import { dimensionOf } from "./units.js";

/** @returns the reader of a channel's values: numbers, flags, kinds of fix, degrees with hemisphere letters */
export function readerFor(channel: Channel, readNumber: CellReader): CellReader {
  const dimension = dimensionOf(channel);
  if (dimension === "flag") return readFlag;
  if (dimension === "fix") return readFix;
  if (channel.toLowerCase().includes("latitude")) return degreesReader(readNumber, "NS");
  if (channel.toLowerCase().includes("longitude")) return degreesReader(readNumber, "EW");
  return readNumber;
}

/** No reading of any channel is larger in its own unit: beyond it a number is a slip, and sums of such would overflow. */
const MOST = 1e9;

/** @returns least and greatest value that a channel can have, in its own unit */
export function rangeOf(channel: Channel): readonly [number, number] {
  return CHANNEL_WORDS.find((words) => words.channel === channel)?.range ?? [-MOST, MOST];
}

const NO_MODE = new Set(["n/a", "null", "nan", "-", "--"]);

/** @returns the text of a mode, empty where none is recorded */
export function readMode(cell: string): string {
  const text = cleanText(cell);
  return NO_MODE.has(text.toLowerCase()) ? "" : text;
}
