import { CHANNELS, type Channel, type ChannelId } from "../track/channels.js";
import type { ColumnQuestion } from "./column-use.js";
import { columnsSnippet } from "./columns-snippet.js";
import type { ProblemList } from "./problem-list.js";
import { quoteText } from "./quote-text.js";
import type { NameReading } from "./recognise-name.js";
import { dimensionOf, ownUnit, unitNames } from "./units.js";

/** What a log calls its channels: columns of a CSV file, elements of a GPX file. */
export type SourceKind = "Column" | "Element";

/**
 * Asks for the unit of a column that is left out for want of one, with the line for homeleg.yaml to paste.
 *
 * @param strangeUnit what is stated but not known; undefined if nothing is stated
 * @param likely the unit that the values speak for, where it is not the channel's own
 */
export function askUnit(
  kind: SourceKind,
  name: string,
  channel: Channel,
  strangeUnit: string | undefined,
  problems: ProblemList,
  likely?: string,
): void {
  const { id } = CHANNELS[channel];
  const own = likely ?? ownUnit(channel).name;
  const lack =
    strangeUnit === undefined ? "states no unit" : `states the unit ${quoteText(strangeUnit)}, which is not known`;
  problems.ask(
    { kind: "unit", columns: [name], channels: [id], unit: own, why: `looks like ${id} but ${lack}`, isCovered: false },
    "warning",
    "unit-unknown",
    `${kind} ${quoteText(name)} looks like ${id} but ${lack}: not used. ` +
      `If it is in ${own}, add to homeleg.yaml: ${columnsSnippet(id, name, own)} ` +
      `(known units: ${unitNames(dimensionOf(channel)).join(", ")}).`,
  );
}

/**
 * Asks which channel a column is whose name leaves it open: a height above what, a speed through what.
 *
 * @param isCovered true if the log has another column for one of them: then it is only a note
 */
export function askMeaning(
  kind: SourceKind,
  name: string,
  { channels, why, hasUnit }: Extract<NameReading, { kind: "unclear" }>,
  isCovered: boolean,
  problems: ProblemList,
): void {
  const [first, ...others] = channels;
  const ids: ColumnQuestion["channels"] = [idOf(first), ...others.map(idOf)];
  const unit = hasUnit ? undefined : ownUnit(first).name;
  const snippet = columnsSnippet(idOf(first), name, unit);
  problems.ask(
    { kind: "meaning", columns: [name], channels: ids, unit, why, isCovered },
    isCovered ? "note" : "warning",
    "meaning-unclear",
    `${kind} ${quoteText(name)} ${why}: not used. ` +
      `Say which of ${ids.join(", ")} it is in homeleg.yaml, such as: ${snippet}`,
  );
}

/** @returns the name of a channel in homeleg.yaml */
export function idOf(channel: Channel | "mode"): ChannelId {
  return channel === "mode" ? channel : CHANNELS[channel].id;
}
