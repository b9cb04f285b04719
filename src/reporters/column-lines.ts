import type { InspectedColumn } from "../inspect/inspection.js";

/**
 * @returns the lines under `columns:` of homeleg.yaml that would settle what is open, each channel once: what else it may
 *   be, and a second column for it, are comments; empty where nothing is open
 */
export function columnLines(columns: readonly InspectedColumn[]): string[] {
  const named = new Set<string>();
  return columns.flatMap(({ question }) => {
    if (question === null || question.is_covered) return [];
    const { channels, entry } = question;
    const [first = "", ...others] = channels;
    const isNew = !named.has(first);
    named.add(first);
    const or = others.length === 0 ? [] : [`# or ${others.join(", ")}`];
    return [isNew ? entry : `# or ${entry}`, ...or];
  });
}
