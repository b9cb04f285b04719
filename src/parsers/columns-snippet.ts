import type { ChannelId } from "../track/channels.js";
import { quoteText } from "./quote-text.js";

/** @returns the line of homeleg.yaml that maps a column: `columns: { height: { column: "Alt", unit: "m" } }` */
export function columnsSnippet(channel: ChannelId, column: string, unit?: string): string {
  const stated = unit === undefined ? "" : `, unit: ${quoteText(unit)}`;
  return `columns: { ${channel}: { column: ${quoteText(column)}${stated} } }`;
}
