import { sayIn } from "../rules/say.js";
import { assumedPaths } from "../score/assumed.js";
import type { RehearsalResult } from "../score/rehearsal-result.js";
import { CAUTION } from "./flight-words.js";
import { PHASE_HEADS, phaseRows, rehearsalFacts, verdictRows } from "./rehearsal-words.js";
import { sideView } from "./side-view.js";
import { sideViewText } from "./side-view-text.js";
import { printable, type Style, styleFor, type TextOptions, wrap } from "./text-style.js";

/** @returns one recovery for people: facts, phases, verdicts, and a picture from the side */
export function rehearsalText(rehearsal: RehearsalResult, options: TextOptions): string {
  const style = styleFor(options);
  const say = sayIn(options.units);
  const { ascii, width } = options;
  const view = sideView(rehearsal);
  const picture = view === undefined ? [] : ["", ...sideViewText(view, options, say)];
  const lines = [
    style.strong(printable(rehearsal.path, ascii)),
    ...rehearsalFacts(rehearsal, say).flatMap((text) => wrap(printable(text, ascii), width, "", "")),
    "",
    ...tableLines([PHASE_HEADS, ...phaseRows(rehearsal, say)], style),
    ...picture,
    "",
    ...verdictLines(rehearsal, style),
    "",
    ...wrap(assumedText(rehearsal), width, "", "").map(style.faint),
    ...wrap(printable(CAUTION, ascii), width, "", "").map(style.faint),
  ];
  return `${lines.join("\n")}\n`;
}

/** Numbers stand under each other; the first column is words. */
function tableLines(rows: readonly (readonly string[])[], style: Style): string[] {
  const widths = (rows[0] ?? []).map((_, at) => Math.max(...rows.map((row) => row[at]?.length ?? 0)));
  const [head = "", ...lines] = rows.map((row) =>
    row
      .map((cell, at) => (at === 0 ? cell.padEnd(widths[0] ?? 0) : cell.padStart(widths[at] ?? 0)))
      .join("  ")
      .trimEnd(),
  );
  return [style.strong(head), ...lines];
}

function verdictLines(rehearsal: RehearsalResult, style: Style): string[] {
  const { ascii, width } = style.options;
  const rows = verdictRows(rehearsal);
  const longest = Math.max(0, ...rows.map(({ rule }) => rule.length));
  return rows.flatMap(({ rule, verdict, why }) => {
    const word = verdict.toUpperCase().padEnd(7);
    const painted = verdict === "n/a" ? style.faint(word) : style.verdict(verdict, word);
    const head = `${word}  ${rule.padEnd(longest)}  `;
    const [first = "", ...rest] = wrap(printable(why, ascii), width, head, " ".repeat(head.length));
    return [painted + first.slice(word.length), ...rest];
  });
}

function assumedText(rehearsal: RehearsalResult): string {
  const assumed = assumedPaths(rehearsal);
  return assumed.length === 0 ? "Nothing was assumed." : `Assumed: ${assumed.join(", ")}.`;
}
