import { CHANNEL_IDS } from "../../track/channels.js";
import type { ChannelSource } from "../../track/track.js";
import { type ColumnQuestion, type ColumnUse, NAME_UNKNOWN } from "../column-use.js";
import { recogniseName } from "../recognise-name.js";
import { SCHEMA_ELEMENTS } from "./point-columns.js";

/** What every track point has, besides the elements that it may have. */
const POINT_PARTS: ReadonlySet<string> = new Set(["lat", "lon", "time"]);

/** @returns what became of the elements of track points: those used by channel, then those not understood */
export function elementUses(
  channels: Readonly<Record<string, ChannelSource>>,
  unused: ReadonlySet<string>,
  questions: readonly ColumnQuestion[],
): ColumnUse[] {
  const used = CHANNEL_IDS.flatMap((channel): ColumnUse[] => {
    const name = channels[channel]?.source;
    return name === undefined ? [] : [{ name, channel, isKept: true, because: whyUsed(name) }];
  });
  const left = [...unused].map((name): ColumnUse => {
    const question = questions.find(({ columns }) => columns.includes(name));
    return { name, channel: undefined, isKept: false, because: question?.why ?? whyUnused(name) };
  });
  return [...used, ...left];
}

function whyUsed(name: string): string {
  if (POINT_PARTS.has(name) || SCHEMA_ELEMENTS.has(name)) return "an element of GPX";
  const reading = recogniseName(name);
  return reading?.kind === "channel" ? reading.because : "homeleg.yaml names it";
}

function whyUnused(name: string): string {
  return recogniseName(name) === undefined
    ? NAME_UNKNOWN
    : "another element says it already, or only one of its kind is used";
}
