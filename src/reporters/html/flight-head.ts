import { flightVerdict, flightVerdictWord } from "../flight-words.js";
import { headlineOf } from "../text-flight.js";
import { type Markup, markup } from "./markup.js";
import { datum, pointerStep } from "./quantity.js";
import { facts } from "./sections.js";
import type { Sheet } from "./sheet.js";

/** @returns the title block of a flight: verdict, what it means, the facts, and the sum of the score */
export function flightHead(sheet: Sheet): Markup {
  const { log, flight, say, pointer } = sheet;
  const verdict = flightVerdict(flight);
  const which =
    log.flights.length > 1 ? markup`<p class="which">Flight ${flight.index} of ${log.flights.length}</p>` : undefined;
  const coverage = datum(
    `${pointer}/coverage/share`,
    flight.coverage.share,
    `${Math.floor(flight.coverage.share * 100)} %`,
  );
  const score =
    flight.score === null
      ? markup`<span class="figure">none</span>`
      : markup`<span class="figure">${datum(`${pointer}/score`, flight.score, String(flight.score))}</span><span class="of"> of 100</span>`;
  return markup`<div class="block"><div class="stamp ${verdict}"><span class="word">${flightVerdictWord(flight).toUpperCase()}</span></div>
<div class="gist">${which}<p class="headline">${headlineOf(flight, say)}</p><p class="scoreline">Score ${score} <span class="of">with ${coverage} of the questions answered</span></p>${flightFacts(sheet)}</div>
${ledger(sheet)}</div>`;
}

function flightFacts({ flight, say, pointer }: Sheet): Markup {
  const length = (name: "distance_flown_m" | "farthest_m" | "highest_m", what: string): [string, Markup][] => {
    const value = flight[name];
    return value === null ? [] : [[what, datum(`${pointer}/${name}`, value, say.length(value))]];
  };
  const { battery_start_pct: from, battery_end_pct: to } = flight;
  const rows: [string, Markup][] = [
    ...(flight.start_utc === null
      ? []
      : [
          [
            "Took off",
            datum(`${pointer}/start_utc`, flight.start_utc, `${flight.start_utc.slice(0, 19).replace("T", " ")} UTC`),
          ] as [string, Markup],
        ]),
    ["In the air", datum(`${pointer}/airborne_s`, flight.airborne_s, say.duration(flight.airborne_s))],
    ...length("distance_flown_m", "Flown"),
    ...length("farthest_m", "Farthest out"),
    ...length("highest_m", "Highest"),
    ...(from === null || to === null
      ? []
      : [
          [
            "Battery",
            markup`${datum(`${pointer}/battery_start_pct`, from, say.percent(from))} to ${datum(`${pointer}/battery_end_pct`, to, say.percent(to))}`,
          ] as [string, Markup],
        ]),
    ...(flight.fail_s > 0
      ? [["Failing", datum(`${pointer}/fail_s`, flight.fail_s, say.duration(flight.fail_s))] as [string, Markup]]
      : []),
    ...(flight.thin_s > 0
      ? [["Thin", datum(`${pointer}/thin_s`, flight.thin_s, say.duration(flight.thin_s))] as [string, Markup]]
      : []),
  ];
  return facts(rows);
}

/** What the lines of a score that are no rules mean. */
const LINES: Readonly<Record<string, string>> = {
  cap: "cap: no more than 59 with a stretch that fails",
  rounding: "rounded down",
};

/** The score as a sum: from 100 down, line by line. */
function ledger({ flight, pointer }: Sheet): Markup {
  if (flight.score === null) {
    return markup`<div class="ledger"><p>No score: too few of the questions could be answered.</p></div>`;
  }
  const rows = Object.entries(flight.points_lost).map(
    ([name, points]) =>
      markup`<tr><th scope="row">${LINES[name] ?? name}</th><td>−${datum(`${pointer}/points_lost/${pointerStep(name)}`, points, points.toFixed(2))}</td></tr>`,
  );
  return markup`<table class="ledger"><caption>How the score adds up</caption><tbody><tr><th scope="row">all of it</th><td>100.00</td></tr>${rows}</tbody>
<tfoot><tr><th scope="row">score</th><td>${datum(`${pointer}/score`, flight.score, flight.score.toFixed(2))}</td></tr></tfoot></table>`;
}
