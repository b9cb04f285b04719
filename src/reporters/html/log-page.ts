import type { FlightPicture } from "../../pictures/picture.js";
import { sayIn } from "../../rules/say.js";
import { assumedPaths } from "../../score/assumed.js";
import type { LogResult } from "../../score/result.js";
import { bandsFigure } from "./bands-figure.js";
import { batteryFigure } from "./battery-figure.js";
import { findingBlocks, tagNumbers } from "./finding-blocks.js";
import { findingSection } from "./finding-section.js";
import { flightHead } from "./flight-head.js";
import { jsonBlock, type Markup, markup, type Part } from "./markup.js";
import { page } from "./page.js";
import { PAGE_SCRIPT } from "./page-script.js";
import { planFigure } from "./plan-figure.js";
import { lengthUnit } from "./scales.js";
import { type Section, sections } from "./sections.js";
import type { Sheet } from "./sheet.js";
import { PATTERNS } from "./svg.js";
import { findingsTable, givenTable, logNotes, notAssessedTable } from "./tables.js";

/** How pages are to look. */
export interface HtmlOptions {
  readonly units: "metric" | "imperial";
  readonly toolVersion: string;
  /** @returns base64 of a text's SHA-256 */
  readonly sha256: (text: string) => string;
}

/**
 * @param log as in the JSON result
 * @param pictures of its flights, in their order
 * @param indexName file name of the index beside it; undefined where the page stands alone
 * @returns the page of one log, whole in one text
 */
export function logPage(
  log: LogResult,
  pictures: readonly FlightPicture[],
  options: HtmlOptions,
  indexName?: string,
): string {
  const flights = log.flights.flatMap((flight, i) => {
    const picture = pictures[i];
    const sheet = {
      log,
      flight,
      pointer: `/flights/${i}`,
      id: `f${flight.index}`,
      say: sayIn(options.units),
      units: options.units,
    };
    return picture === undefined ? [] : [flightSection({ ...sheet, picture })];
  });
  const body = markup`<a class="skip" href="#findings-f${log.flights[0]?.index ?? 0}">Skip to the findings</a>
${PATTERNS}
<header class="title"><h1><span class="kind">Flight audit</span>${log.path}</h1><p>homeleg ${options.toolVersion}${indexName === undefined ? undefined : markup` · <a href="${indexName}">all logs</a>`}</p></header>
<main>
${contents(log)}
${flights.length === 0 ? markup`<p class="headline">${log.parser === null ? "This log could not be read." : "This log holds no flight."}</p>` : flights}
<section aria-labelledby="about"><h3 id="about">About the log</h3>${logNotes(log)}</section>
${cautions(log.flights.length === 0 ? undefined : new Set(log.flights.flatMap(assumedPaths)))}
<div class="moment" role="status" aria-live="polite"></div>
</main>`;
  return page({ title: `${log.path} · flight audit`, body, script: PAGE_SCRIPT, sha256: options.sha256 });
}

function contents({ flights }: LogResult): Part {
  if (flights.length < 2) return undefined;
  return markup`<nav class="flights" aria-label="Flights of this log">${flights.map(({ index }, i) => markup`${i > 0 ? " · " : ""}<a href="#f${index}">flight ${index}</a>`)}</nav>`;
}

function flightSection(sheet: Sheet): Markup {
  const { id, flight, log, picture } = sheet;
  const blocks = findingBlocks(sheet);
  const tags = tagNumbers(sheet, blocks);
  const name = `Flight ${flight.index}`;
  const parts: Section[] = [
    ["battery", "Battery against need", batteryFigure(sheet)],
    ["findings", "Findings, with the recovery from each worst moment", findingSection(sheet, blocks, tags)],
    ["plan", "From above", planFigure(sheet, tags)],
    ["bands", "Verdicts over time", bandsFigure(sheet)],
    ["table", "All findings", findingsTable(sheet)],
    ["given", "Taken as given", givenTable(sheet)],
    ["open", "Could not be assessed", notAssessedTable(sheet)],
  ];
  return markup`<section class="flight" id="${id}" aria-label="${name}">${log.flights.length > 1 ? markup`<h2>${name}</h2>` : markup`<h2 class="skip">${name}</h2>`}
${flightHead(sheet)}
${sections(parts, `-${id}`)}
${jsonBlock(`${id}-data`, linkData(picture, blocks[0]?.head.worst.at_s ?? flight.turnback?.last_safe_s, sheet.units))}</section>`;
}

/** What the script shows of a moment: numbers and words of this program, nothing from the log's text. */
function linkData({ moments }: FlightPicture, start_s: number | null | undefined, units: Sheet["units"]): unknown {
  const known = (values: readonly number[], digits: number): (number | null)[] =>
    values.map((value) => (Number.isFinite(value) ? Number(value.toFixed(digits)) : null));
  return {
    unit: lengthUnit(units).unit,
    // The moment shown first: that of the gravest finding, else the one to turn back at.
    start: Math.max(0, moments.at_s.indexOf(start_s ?? Number.NaN)),
    at: moments.at_s,
    battery: known(moments.battery_pct, 6),
    need: known(moments.needMiddle_pct, 6),
    endless: moments.needMiddle_pct.map((value) => value === Number.POSITIVE_INFINITY),
    upper: known(moments.needUpper_pct, 6),
    left: known(moments.touchdownMiddle_pct, 6),
    distance: known(moments.distance_m, 2),
    height: known(moments.height_m, 2),
    over: known(moments.overPoint_m, 2),
    east: known(
      moments.spot.map(([east_m]) => east_m),
      2,
    ),
    north: known(
      moments.spot.map(([, north_m]) => north_m),
      2,
    ),
    verdict: moments.verdict,
    rules: moments.rules,
  };
}

/**
 * @param assumed paths of all that was assumed; undefined where there is no flight
 * @returns what every page says at its end
 */
export function cautions(assumed: ReadonlySet<string> | undefined): Markup {
  const known =
    assumed === undefined
      ? undefined
      : markup`<li>${assumed.size === 0 ? "Nothing was assumed that is neither in the log nor declared." : `Assumed, since neither the log nor the settings say: ${[...assumed].join(", ")}.`}</li>`;
  return markup`<section class="cautions" aria-label="Cautions"><ul>
<li>This is advice after the fact, worked out from a record. It is not a clearance, and no legal or airworthiness approval.</li>
<li>Local rules and licensed practice come first.</li>
<li>It knows what the log and the settings say, and no more: trees grow, cranes move, winds turn, batteries age. Obstacle sensing is never counted on.</li>
<li>A clear verdict says that a modelled recovery would have come home by the numbers given. It says nothing of the next flight.</li>
${known}</ul></section>`;
}
