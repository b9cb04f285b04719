import { roundDegrees, roundValue } from "../num/round.js";
import { type ColumnQuestion, NAME_UNKNOWN } from "../parsers/column-use.js";
import { columnEntry, columnsSnippet } from "../parsers/columns-snippet.js";
import type { ReadLogResult } from "../parsers/read-log.js";
import { CHANNEL_KEYS, CHANNELS } from "../track/channels.js";
import type { InspectedColumn, InspectedQuestion } from "./inspection.js";

/** @returns each column of the log: what it fills with its unit, share and range, or why it is not used */
export function inspectColumns(parsed: ReadLogResult): InspectedColumn[] {
  return parsed.columns.map(({ name, channel, isKept, because }) => {
    const source = channel === undefined || !isKept ? undefined : parsed.channels[channel];
    return {
      column: name,
      channel: channel ?? null,
      unit: source?.unit ?? null,
      filled_share: source === undefined ? null : roundValue(source.filledShare),
      range: isKept && channel !== undefined ? rangeOf(parsed, channel) : null,
      because,
      question: channel === undefined ? questionAbout(name, parsed.questions) : null,
      entry: because === NAME_UNKNOWN ? columnEntry("CHANNEL", name) : null,
    };
  });
}

function rangeOf({ track }: ReadLogResult, id: string): InspectedColumn["range"] {
  const channel = CHANNEL_KEYS.find((key) => CHANNELS[key].id === id);
  if (channel === undefined) return null;
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const value of track.columns[channel] ?? []) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  const { unit } = CHANNELS[channel];
  const round = unit === "deg" ? roundDegrees : roundValue;
  const [least, greatest] = [round(low), round(high)];
  return least === null || greatest === null ? null : { least, greatest, unit };
}

function questionAbout(name: string, questions: readonly ColumnQuestion[]): InspectedQuestion | null {
  const question = questions.find(({ columns }) => columns.includes(name));
  if (question === undefined) return null;
  const { kind, channels, unit, isCovered } = question;
  return {
    kind,
    channels,
    yaml: columnsSnippet(channels[0], name, unit),
    entry: columnEntry(channels[0], name, unit),
    is_covered: isCovered,
  };
}
