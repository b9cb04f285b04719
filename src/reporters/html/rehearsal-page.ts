import { clock, sayIn } from "../../rules/say.js";
import { assumedPaths } from "../../score/assumed.js";
import type { RehearsalResult } from "../../score/rehearsal-result.js";
import { rehearsalFacts, verdictRows } from "../rehearsal-words.js";
import { budgetFigure } from "./budget-figure.js";
import { cautions, type HtmlOptions } from "./log-page.js";
import { type Markup, markup, type Part } from "./markup.js";
import { page } from "./page.js";
import { datum, pointerStep } from "./quantity.js";
import { canBeDrawn, recoveryCaption, recoveryFigure, unknownWay } from "./recovery-figure.js";
import { rehearsedRecovery } from "./rehearsed-recovery.js";
import { facts, sections } from "./sections.js";
import type { RecoverySheet } from "./sheet.js";
import { type Drawing, drawing, PATTERNS, standAlone } from "./svg.js";
import { givenTable, table } from "./tables.js";

/** @returns one recovery as a page of its own: facts, picture, battery, verdicts, what was taken as given */
export function rehearsalPage(rehearsal: RehearsalResult, { units, toolVersion, sha256 }: HtmlOptions): string {
  const { path, inputs, drain, at_s } = rehearsal;
  const say = sayIn(units);
  const flight = { inputs, drain, drain_fitted: null };
  const parts = sections([
    ["side", "From the side", picture(rehearsal, units)],
    ["battery", "Battery, phase by phase", budget(rehearsal, units)],
    ["verdicts", "Verdicts at this moment", verdicts(rehearsal)],
    ["given", "Taken as given", givenTable({ flight, pointer: "", say })],
  ]);
  const body = markup`<a class="skip" href="#verdicts">Skip to the verdicts</a>
${PATTERNS}
<header class="title"><h1><span class="kind">One recovery, from ${clock(at_s)}</span>${path}</h1><p>homeleg ${toolVersion}</p></header>
<main>
${head(rehearsal, units)}
${parts}
${cautions(new Set(assumedPaths({ inputs, drain })))}
</main>`;
  return page({ title: `${path} · recovery from ${clock(at_s)}`, body, sha256 });
}

/** @returns one recovery from the side as a file of its own */
export function rehearsalDrawing(rehearsal: RehearsalResult, { units }: Pick<HtmlOptions, "units">): string {
  const description = rehearsalFacts(rehearsal, sayIn(units)).join(" ");
  const way = sideDrawing(rehearsal, units);
  if (typeof way !== "string") return standAlone({ ...way, description });
  const body = markup`<text class="label" x="20" y="34">${way}</text>`;
  return standAlone({ id: "side", height: 60, title: "The recovery from the side", description, body });
}

/** The drawing, not linked to any other; or why there is none. */
function sideDrawing(rehearsal: RehearsalResult, units: HtmlOptions["units"]): Drawing | string {
  const recovery = rehearsedRecovery(rehearsal);
  if (recovery.isAtHand) return "At hand: it lands from where it is, and there is no way home to draw.";
  if (!canBeDrawn(recovery)) return unknownWay(recovery);
  const { linked: _linked, ...alone } = recoveryFigure(sheetOf(rehearsal, units), recovery, "side");
  return alone;
}

function picture(rehearsal: RehearsalResult, units: HtmlOptions["units"]): Markup {
  const way = sideDrawing(rehearsal, units);
  if (typeof way === "string") return markup`<p class="none">${way}</p>`;
  const caption = recoveryCaption(sheetOf(rehearsal, units), rehearsedRecovery(rehearsal));
  return markup`<figure class="picture">${drawing(way)}<figcaption>${caption}</figcaption></figure>`;
}

function budget(rehearsal: RehearsalResult, units: HtmlOptions["units"]): Part {
  return markup`<div class="picture">${budgetFigure(sheetOf(rehearsal, units), rehearsedRecovery(rehearsal), "budget")}</div>`;
}

function sheetOf({ limits }: RehearsalResult, units: HtmlOptions["units"]): RecoverySheet {
  const { touchdown_floor_pct: floor_pct, touchdown_reserve_pct: reserve_pct, clearance_m, corridor_m } = limits;
  return { picture: { limits: { floor_pct, reserve_pct, clearance_m, corridor_m } }, say: sayIn(units), units };
}

function head(rehearsal: RehearsalResult, units: HtmlOptions["units"]): Markup {
  const say = sayIn(units);
  const { at_s, at_utc, flight, distance_m, height_m, battery_pct } = rehearsal;
  const [worst] = verdictRows(rehearsal);
  const word = worst === undefined || worst.verdict === "n/a" ? "unknown" : worst.verdict;
  const [, ...sentences] = rehearsalFacts(rehearsal, say);
  const known = (pointer: string, value: number | null, put: (value: number) => string): Markup =>
    datum(pointer, value, value === null ? "not known" : put(value));
  const rows: (readonly [string, Part])[] = [
    ["Begun at", datum("/at_s", at_s, clock(at_s))],
    ...(at_utc === null
      ? []
      : [["Time", datum("/at_utc", at_utc, `${at_utc.slice(0, 19).replace("T", " ")} UTC`)] as const]),
    ["Flight", datum("/flight", flight, String(flight))],
    ["To the recovery point", known("/distance_m", distance_m, say.length)],
    ["Above it", known("/height_m", height_m, say.length)],
    ["Battery", known("/battery_pct", battery_pct, say.percent)],
    ["Wind at the height of the leg", wind(rehearsal, units)],
  ];
  return markup`<div class="block pair"><div class="stamp ${word}"><span class="word">${word.toUpperCase()}</span></div>
<div class="gist"><p class="headline">${sentences.join(" ")}</p>${facts(rows)}</div></div>`;
}

function wind({ wind: { speed_ms, from_deg, basis } }: RehearsalResult, units: HtmlOptions["units"]): Part {
  if (speed_ms === null) return "not known";
  const speed = datum("/wind/speed_ms", speed_ms, sayIn(units).speed(speed_ms));
  const from =
    from_deg === null ? undefined : markup` from ${datum("/wind/from_deg", from_deg, from_deg.toFixed(0))} deg`;
  return markup`${speed}${from}, ${basis}`;
}

function verdicts(rehearsal: RehearsalResult): Markup {
  const rows = verdictRows(rehearsal).map(
    ({ rule, verdict, why }) =>
      markup`<tr><th scope="row">${rule}</th><td class="prose"><span class="verdictword ${verdict === "n/a" ? "unknown" : verdict}">${datum(`/verdicts/${pointerStep(rule)}`, verdict, verdict)}</span></td><td class="prose">${why}</td></tr>`,
  );
  return table("Verdicts", ["Rule", "<Verdict", "<Why"], rows);
}
