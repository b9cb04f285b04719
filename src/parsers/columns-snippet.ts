import type { ChannelId } from "../track/channels.js";

/** Signs that do not show, or that make a line read otherwise than it is. */
const HIDDEN = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/gu;

/** @returns the line of homeleg.yaml that maps a column: `columns: { height: { column: "Alt", unit: "m" } }` */
export function columnsSnippet(channel: ChannelId, column: string, unit?: string): string {
  return `columns: { ${columnEntry(channel, column, unit)} }`;
}

/**
 * @param channel `CHANNEL` where only a person can say which it is
 * @returns the entry under `columns:` alone: `height: { column: "Alt", unit: "m" }`
 */
export function columnEntry(channel: ChannelId | "CHANNEL", column: string, unit?: string): string {
  const stated = unit === undefined ? "" : `, unit: ${yamlText(unit)}`;
  return `${channel}: { column: ${yamlText(column)}${stated} }`;
}

/** A text as YAML reads it back, whatever is in it; unlike a quotation for people it is never cut. */
function yamlText(text: string): string {
  return JSON.stringify(text).replace(HIDDEN, (sign) =>
    sign.replace(/[^]/g, (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, "0")}`),
  );
}
