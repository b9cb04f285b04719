import type { Band } from "../../pictures/picture.js";
import { clock } from "../../rules/say.js";
import type { Finding } from "../../score/result.js";
import { TIME_LEFT, TIME_RIGHT } from "./battery-figure.js";
import { type Markup, markup } from "./markup.js";
import { datum } from "./quantity.js";
import { fixed, type Scale, scaleOf, timeAxis } from "./scales.js";
import type { Sheet } from "./sheet.js";
import { drawing, verdictClass } from "./svg.js";

const TOP = 12;
const ROW = 24;
const BAND = 15;

/** @returns the verdict of each rule over time, and what the conduct rules found */
export function bandsFigure(sheet: Sheet): Markup {
  const { picture, flight, id } = sheet;
  const { start_s, end_s, bands } = picture;
  const x = scaleOf(start_s, end_s, TIME_LEFT, TIME_RIGHT);
  const conducts = conductRows(sheet);
  const rows = [
    ...bands.map(({ rule, bands: own }, row) => momentRow(rule, own, x, TOP + row * ROW)),
    ...conducts.map(([rule, own], row) => conductRow(rule, own, x, TOP + (bands.length + row) * ROW)),
  ];
  const bottom = TOP + rows.length * ROW + 4;
  const body = markup`${rows}${timeAxis(x, bottom)}<g class="cross" data-hair="${TOP} ${bottom}"></g>`;
  return markup`<figure class="picture">${drawing({
    id: `${id}-bands`,
    height: bottom + 32,
    title: "Verdicts over time",
    description: `${bands.length} rules that judge every moment, from ${clock(start_s)} to ${clock(end_s)}; the table below says for how much of the flight each was assessed.`,
    body,
    linked: { kind: "time", data: { left: TIME_LEFT, right: TIME_RIGHT, from: start_s, to: end_s, top: TOP, bottom } },
  })}<figcaption>${legend()} An empty place is one where the question does not arise; a bracket is a finding about how the flight was conducted.</figcaption>
${coverageTable(sheet, flight.findings)}</figure>`;
}

/** @returns the looks of the verdicts, in words */
export function legend(): Markup {
  return markup`<span class="chip clear">clear</span> <span class="chip thin">thin</span> <span class="chip guess">thin by an assumption alone</span> <span class="chip fail">fail</span> <span class="chip unknown">unknown</span>`;
}

function momentRow(rule: string, bands: readonly Band[], x: Scale, y: number): Markup {
  const boxes = bands.map(({ verdict, from_s, to_s }) => {
    const from = x(from_s);
    return markup`<rect class="band ${verdictClass(verdict)}" x="${fixed(from)}" y="${y + 3}" width="${fixed(Math.max(1, x(to_s) - from))}" height="${BAND}" />`;
  });
  return markup`<g class="row"><text x="${TIME_LEFT - 10}" y="${y + 15}">${rule}</text><path class="base" d="M${TIME_LEFT} ${y + 3.5 + BAND}H${TIME_RIGHT}" />${boxes}</g>`;
}

/** Findings of rules that judge the flight once, by rule. */
function conductRows({ flight, picture }: Sheet): [string, Finding[]][] {
  const moment = new Set(picture.bands.map(({ rule }) => rule));
  const rows = new Map<string, Finding[]>();
  for (const finding of flight.findings) {
    if (!moment.has(finding.rule)) rows.set(finding.rule, [...(rows.get(finding.rule) ?? []), finding]);
  }
  return [...rows];
}

function conductRow(rule: string, findings: readonly Finding[], x: Scale, y: number): Markup {
  const brackets = findings.map(({ verdict, start_s, end_s }) => {
    const from = x(start_s);
    const to = Math.max(x(end_s), from + 3);
    return markup`<path class="bracket ${verdict}" d="M${fixed(from)} ${y + 3}v${BAND}H${fixed(to)}v${-BAND}" /><text class="note" x="${fixed(Math.min(to + 6, TIME_RIGHT - 20))}" y="${y + 15}">${verdict}</text>`;
  });
  return markup`<g class="row"><text x="${TIME_LEFT - 10}" y="${y + 15}">${rule}</text>${brackets}</g>`;
}

function coverageTable({ flight, picture, pointer }: Sheet, findings: readonly Finding[]): Markup {
  const questions = new Map(picture.bands.map(({ rule, question }) => [rule, question]));
  const rows = Object.entries(flight.coverage.rules).map(([rule, share]) => {
    const own = findings.filter((finding) => finding.rule === rule);
    const count = (verdict: string): string => {
      const number = own.filter((finding) => finding.verdict === verdict).length;
      return number === 0 ? "–" : String(number);
    };
    const text =
      share === null ? "did not arise" : share > 0 && share < 0.01 ? "under 1 %" : `${Math.floor(share * 100)} %`;
    return markup`<tr><th scope="row">${rule}</th><td class="prose">${questions.get(rule) ?? "judges the flight once"}</td><td>${datum(`${pointer}/coverage/rules/${rule}`, share, text)}</td><td>${count("thin")}</td><td>${count("fail")}</td></tr>`;
  });
  return markup`<details><summary>By rule</summary><div class="wide" tabindex="0" role="group" aria-label="Rules, how much of the flight each was assessed, and their findings"><table>
<thead><tr><th scope="col">Rule</th><th scope="col" class="prose">Question</th><th scope="col">Assessed</th><th scope="col">Thin findings</th><th scope="col">Fail findings</th></tr></thead><tbody>${rows}</tbody></table></div></details>`;
}
