import { sayIn } from "../rules/say.js";
import type { RehearsalResult } from "../score/rehearsal-result.js";
import { xmlText } from "./escape/xml-text.js";
import { CAUTION } from "./flight-words.js";
import { PHASE_HEADS, phaseRows, rehearsalFacts } from "./rehearsal-words.js";
import { rehearsalSvg } from "./side-view-svg.js";

/** Nothing is loaded and no script runs; the styles of the page are its own. */
const POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

const STYLE = `
  :root { color-scheme: light dark } body { font: 16px/1.5 sans-serif; max-width: 52rem; margin: 1rem auto; padding: 0 1rem }
  svg { width: 100%; height: auto } table { border-collapse: collapse; margin: 1rem 0; display: block; overflow-x: auto }
  th, td { padding: .25rem .75rem; border-bottom: 1px solid #8a8a8a; text-align: end } th:first-child, td.words { text-align: start }
  h1 { overflow-wrap: anywhere; font-size: 1.4rem } table:not(.verdicts) tbody tr:last-child { font-weight: bold } table.verdicts tr { font-weight: normal }
  table.verdicts th { text-align: start }`;

/** @returns one recovery as a page of its own: facts, picture, phases, verdicts, cautions */
export function rehearsalHtml(
  rehearsal: RehearsalResult,
  { units }: { readonly units: "metric" | "imperial" },
): string {
  const say = sayIn(units);
  const cells = (row: readonly string[], kind: "td" | "th"): string =>
    row
      .map(
        (cell, at) =>
          (at === 0
            ? `<th scope="${kind === "th" ? "col" : "row"}">`
            : `<${kind}${kind === "th" ? ' scope="col"' : ""}>`) +
          xmlText(cell) +
          (at === 0 ? "</th>" : `</${kind}>`),
      )
      .join("");
  const verdicts = Object.entries(rehearsal.verdicts).map(
    ([rule, verdict]) =>
      `<tr><th scope="row">${xmlText(rule)}</th><td class="words">${xmlText(verdict.toUpperCase())}</td><td class="words">${xmlText(rehearsal.reasons[rule] ?? "")}</td></tr>`,
  );
  const assumed = Object.entries(rehearsal.inputs)
    .filter(([, { basis }]) => basis === "assumed")
    .map(([path]) => path)
    .concat(rehearsal.drain.basis === "assumed" ? ["aircraft.drain"] : []);
  return [
    "<!doctype html>",
    '<html lang="en"><head><meta charset="utf-8">',
    `<meta http-equiv="Content-Security-Policy" content="${POLICY}">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<title>A recovery from ${xmlText(rehearsal.path)}</title>`,
    `<style>${STYLE}\n</style></head><body><main>`,
    `<h1>${xmlText(rehearsal.path)}</h1>`,
    ...rehearsalFacts(rehearsal, say).map((text) => `<p>${xmlText(text)}</p>`),
    rehearsalSvg(rehearsal, { units }),
    `<h2>Phases</h2><table><thead><tr>${cells(PHASE_HEADS, "th")}</tr></thead><tbody>`,
    ...phaseRows(rehearsal, say).map((row) => `<tr>${cells(row, "td")}</tr>`),
    "</tbody></table>",
    '<h2>Verdicts</h2><table class="verdicts"><thead><tr><th scope="col">Rule</th><th scope="col">Verdict</th><th scope="col">Why</th></tr></thead><tbody>',
    ...verdicts,
    "</tbody></table>",
    `<h2>Cautions</h2><p>${xmlText(assumed.length === 0 ? "Nothing was assumed." : `Assumed: ${assumed.join(", ")}.`)}</p>`,
    `<p>${xmlText(CAUTION)}</p></main></body></html>`,
    "",
  ].join("\n");
}
