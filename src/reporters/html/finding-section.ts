import { clock } from "../../rules/say.js";
import type { Finding } from "../../score/result.js";
import { assumedInputs, byRule } from "../text-findings.js";
import { budgetFigure } from "./budget-figure.js";
import type { Block } from "./finding-blocks.js";
import { type Markup, markup, type Part } from "./markup.js";
import { datum } from "./quantity.js";
import { canBeDrawn, recoveryCaption, recoveryFigure, unknownWay } from "./recovery-figure.js";
import type { Sheet } from "./sheet.js";
import { drawing } from "./svg.js";

/** Blocks shown open; further ones are folded. */
const OPEN_MOST = 8;
/** Of one rule; a reader who has seen two weak fixes has seen them all. */
const SAME_RULE_MOST = 2;
/** Recoveries drawn in a flight; further findings are in the table. */
const DRAWN_MOST = 40;

/** @returns every finding with the recovery of its worst moment: from the side, and what it uses */
export function findingSection(sheet: Sheet, blocks: readonly Block[], tags: ReadonlyMap<number, number>): Markup {
  const drawn = new Set<number>();
  const shown = new Map<string, number>();
  const parts = blocks.map((block, i) => {
    const before = shown.get(block.head.rule) ?? 0;
    shown.set(block.head.rule, before + 1);
    const isOpen = i < OPEN_MOST && before < SAME_RULE_MOST;
    return isOpen ? article(sheet, block, tags, drawn) : folded(sheet, block, tags, drawn);
  });
  const none =
    sheet.flight.findings.length === 0 ? "No findings." : "No finding that rests on more than an assumption.";
  if (parts.length === 0) return markup`<p class="none">${none}</p>${byAssumption(sheet)}`;
  return markup`${parts}${byAssumption(sheet)}`;
}

/** Where a finding stands in the log's JSON result. */
function place({ pointer, flight }: Sheet, finding: Finding): string {
  return `${pointer}/findings/${flight.findings.indexOf(finding)}`;
}

function article(
  sheet: Sheet,
  { head, others, sameCause }: Block,
  tags: ReadonlyMap<number, number>,
  drawn: Set<number>,
): Markup {
  const number = numberOf(sheet, head, tags);
  return markup`<article class="finding ${head.verdict}" data-from="${head.start_s}" data-to="${head.end_s}" data-at="${head.worst.at_s}">
<h4>${number === undefined ? undefined : markup`<span class="tagbox">${number}</span> `}<span class="verdictword ${head.verdict}">${head.verdict}</span> ${head.rule}</h4>
${words(sheet, head)}
${recovery(sheet, head, drawn)}
${others.map((other) => lesser(sheet, other, "also", drawn))}${sameCause.map((other) => lesser(sheet, other, "same cause:", drawn))}</article>`;
}

function folded(sheet: Sheet, block: Block, tags: ReadonlyMap<number, number>, drawn: Set<number>): Markup {
  const { head } = block;
  const number = numberOf(sheet, head, tags);
  return markup`<details class="more"><summary>${number === undefined ? "" : `${number}  `}${head.verdict} under ${head.rule}, ${clock(head.start_s)} to ${clock(head.end_s)}</summary>${article(sheet, block, tags, drawn)}</details>`;
}

function numberOf({ picture, flight }: Sheet, finding: Finding, tags: ReadonlyMap<number, number>): number | undefined {
  const index = flight.findings.indexOf(finding);
  return tags.get(picture.recoveries.findIndex(({ findings }) => findings.includes(index)));
}

/** What, when, by how much, what to do. */
function words(sheet: Sheet, finding: Finding): Markup {
  const { say } = sheet;
  const at = place(sheet, finding);
  const { start_s, end_s, duration_s, worst, message, advice, decided_by } = finding;
  const span =
    start_s === end_s
      ? undefined
      : markup` to ${datum(`${at}/end_s`, end_s, clock(end_s))}, ${datum(`${at}/duration_s`, duration_s, say.duration(duration_s))}, worst at ${datum(`${at}/worst/at_s`, worst.at_s, clock(worst.at_s))}`;
  return markup`<p class="when">${datum(`${at}/start_s`, start_s, clock(start_s))}${span}</p>
<p>${message} <span class="basis">Decided by what was ${decided_by}.</span></p><p class="advice"><b>Next time:</b> ${advice}</p>`;
}

function lesser(sheet: Sheet, finding: Finding, label: string, drawn: Set<number>): Markup {
  return markup`<details class="lesser" data-at="${finding.worst.at_s}"><summary>${label} <span class="verdictword ${finding.verdict}">${finding.verdict}</span> under ${finding.rule}, ${clock(finding.start_s)} to ${clock(finding.end_s)}</summary>${words(sheet, finding)}${recovery(sheet, finding, drawn)}</details>`;
}

function recovery(sheet: Sheet, finding: Finding, drawn: Set<number>): Part {
  const { picture, flight, id } = sheet;
  const index = flight.findings.indexOf(finding);
  const i = picture.recoveries.findIndex(({ findings }) => findings.includes(index));
  const one = picture.recoveries[i];
  if (one === undefined) return undefined;
  if (drawn.has(i)) return markup`<p class="none">The recovery from ${clock(one.at_s)} is drawn above.</p>`;
  if (drawn.size >= DRAWN_MOST)
    return markup`<p class="none">${DRAWN_MOST} recoveries are drawn above; this one is not, to keep the page small.</p>`;
  drawn.add(i);
  if (!canBeDrawn(one)) return markup`<p class="none">${unknownWay(one)}</p>`;
  return markup`<figure class="picture">${drawing(recoveryFigure(sheet, one, `${id}-r${i}`))}<figcaption>${recoveryCaption(sheet, one)}</figcaption></figure><figure class="picture">${budgetFigure(sheet, one, `${id}-b${i}`)}</figure>`;
}

/** Findings that only an assumption makes: one line each, what to declare. */
function byAssumption({ flight, say }: Sheet): Part {
  const declare = assumedInputs(flight);
  const lines = byRule(flight.findings.filter(({ by_assumption_alone }) => by_assumption_alone)).flatMap((findings) => {
    const [first] = findings;
    if (first === undefined) return [];
    const total_s = findings.reduce((sum, { duration_s }) => sum + duration_s, 0);
    return [
      markup`<li><span class="chip guess">thin?</span> ${first.rule} for ${say.duration(total_s)} from ${clock(first.start_s)}, by an assumption alone: declare ${declare.length > 0 ? declare.join(", ") : "the aircraft"} to know.</li>`,
    ];
  });
  return lines.length === 0 ? undefined : markup`<ul class="guesses">${lines}</ul>`;
}
