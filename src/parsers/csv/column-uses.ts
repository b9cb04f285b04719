import type { Channel } from "../../track/channels.js";
import { idOf } from "../ask-column.js";
import { type ColumnQuestion, type ColumnUse, NAME_UNKNOWN } from "../column-use.js";
import { quoteText } from "../quote-text.js";
import type { NameReading } from "../recognise-name.js";
import type { TimePlan } from "./time-plan.js";

/** What was decided about the columns of a log, by their index. */
interface Decided {
  readonly names: readonly string[];
  readonly named: readonly { readonly index: number; readonly reading: NameReading }[];
  readonly assigned: readonly {
    readonly channel: Channel | "mode";
    readonly index: number;
    readonly name: string;
    readonly because: string;
  }[];
  readonly time: TimePlan;
  readonly questions: readonly ColumnQuestion[];
}

/** @returns what became of each column that has a name, in the order of the log */
export function columnUses({ names, named, assigned, time, questions }: Decided): ColumnUse[] {
  const sourceOf = (channel: Channel | "mode"): string | undefined =>
    assigned.find((column) => column.channel === channel)?.name;
  return names.flatMap((name, index): ColumnUse[] => {
    if (name === "") return [];
    if (time.main.columns.some((column) => column.index === index))
      return [{ name, channel: "time", isKept: true, because: "tells the time" }];
    if (time.utc?.columns.some((column) => column.index === index) === true)
      return [{ name, channel: "time", isKept: false, because: "tells when the recording began" }];
    const column = assigned.find((one) => one.index === index);
    if (column !== undefined) return [{ name, channel: idOf(column.channel), isKept: true, because: column.because }];
    const question = questions.find(({ columns }) => columns.includes(name));
    const reading = named.find((one) => one.index === index)?.reading;
    return [{ name, channel: undefined, isKept: false, because: question?.why ?? whyUnused(reading, sourceOf) }];
  });
}

function whyUnused(
  reading: NameReading | undefined,
  sourceOf: (channel: Channel | "mode") => string | undefined,
): string {
  if (reading?.kind === "time") return "another column tells the time";
  if (reading?.kind !== "channel") return NAME_UNKNOWN;
  const { channel } = reading.words;
  const source = sourceOf(channel);
  return source === undefined
    ? `another column is more likely ${idOf(channel)}`
    : `${idOf(channel)} is taken from ${quoteText(source)}`;
}
