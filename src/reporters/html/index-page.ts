import { sayIn } from "../../rules/say.js";
import { assumedPaths } from "../../score/assumed.js";
import type { FlightResult, LogResult, RunToReport } from "../../score/result.js";
import { flightVerdict, flightVerdictWord } from "../flight-words.js";
import { INDEX_SCRIPT } from "./index-script.js";
import { cautions, type HtmlOptions } from "./log-page.js";
import { type Markup, markup, type Part } from "./markup.js";
import { page } from "./page.js";
import { datum } from "./quantity.js";
import { legend } from "./bands-figure.js";
import { type DatedScore, scoreTrend } from "./score-trend.js";
import { facts } from "./sections.js";
import { PATTERNS } from "./svg.js";

/** A log or one of its flights. */
interface Entry {
  readonly log: LogResult;
  readonly at: number;
  readonly name: string;
  readonly flight: FlightResult | undefined;
}

/** A row of the index, drawn already: the results of all logs may not fit into memory together. */
interface Row {
  readonly gravity: number;
  /** 101 where there is none. */
  readonly score: number;
  readonly dated: DatedScore | undefined;
  readonly line: Markup;
}

/**
 * @param run all its logs
 * @param names file name of the page of each log, in the same order
 * @returns the index of a folder of pages: every flight in a row, the worst first
 */
export function indexPage(run: RunToReport, names: readonly string[], options: HtmlOptions): string {
  const rows: Row[] = [];
  const assumed = new Set<string>();
  let at = 0;
  for (const log of run.logs) {
    const flights = log.flights.length === 0 ? [undefined] : log.flights;
    for (const flight of flights) rows.push(rowOf({ log, at, name: names[at] ?? "", flight }, options));
    for (const path of log.flights.flatMap(assumedPaths)) assumed.add(path);
    at += 1;
  }
  rows.sort((a, b) => a.gravity - b.gravity || a.score - b.score);
  const body = markup`<a class="skip" href="#logs">Skip to the flights</a>
${PATTERNS}
<header class="title"><h1><span class="kind">Flight audits</span>${run.summary.flights} ${run.summary.flights === 1 ? "flight" : "flights"} in ${run.summary.logs} ${run.summary.logs === 1 ? "log" : "logs"}</h1><p>homeleg ${options.toolVersion}</p></header>
<main>
${summary(run, options)}
<section aria-labelledby="logs"><h3 id="logs">Flights, the worst first</h3>${table(rows)}<p class="legendline">${legend()}</p></section>
<section aria-labelledby="trend"><h3 id="trend">Scores over time</h3>${scoreTrend(rows.flatMap(({ dated }) => (dated === undefined ? [] : [dated])))}</section>
${cautions(run.summary.flights === 0 ? undefined : assumed)}
</main>`;
  return page({ title: "Flight audits", body, script: INDEX_SCRIPT, sha256: options.sha256 });
}

const GRAVITY = { fail: 1, unknown: 2, thin: 3, clear: 4 } as const;

function gravity({ log, flight }: Entry): number {
  if (log.parser === null) return 0;
  return flight === undefined ? 5 : GRAVITY[flightVerdict(flight)];
}

function rowOf(entry: Entry, options: HtmlOptions): Row {
  const score = entry.flight?.score ?? 101;
  return { gravity: gravity(entry), score, dated: datedOf(entry), line: line(entry, options) };
}

function datedOf({ log, flight }: Entry): DatedScore | undefined {
  if (flight === undefined || flight.score === null || flight.start_utc === null) return undefined;
  return { time: Date.parse(flight.start_utc), score: flight.score, verdict: flightVerdict(flight), path: log.path };
}

function summary({ summary }: RunToReport, { units }: HtmlOptions): Markup {
  const say = sayIn(units);
  const { gate } = summary;
  const rows: [string, Part][] = [
    ["In the air", datum("/summary/airborne_s", summary.airborne_s, say.duration(summary.airborne_s))],
    ["Findings", datum("/summary/findings", summary.findings, String(summary.findings))],
    ...(summary.score_min === null
      ? []
      : [
          ["Lowest score", datum("/summary/score_min", summary.score_min, String(summary.score_min))] as [string, Part],
        ]),
    ...(summary.score_median === null
      ? []
      : [
          ["Median score", datum("/summary/score_median", summary.score_median, String(summary.score_median))] as [
            string,
            Part,
          ],
        ]),
    ...(summary.logs_unreadable > 0
      ? [
          ["Not read", datum("/summary/logs_unreadable", summary.logs_unreadable, String(summary.logs_unreadable))] as [
            string,
            Part,
          ],
        ]
      : []),
    ["Gate", gate.passed ? "passed" : "not passed"],
  ];
  const reasons =
    gate.reasons.length === 0
      ? undefined
      : markup`<details><summary>Why the gate was not passed</summary><ul class="notes">${gate.reasons.map(({ message }) => markup`<li>${message}</li>`)}</ul></details>`;
  return markup`${facts(rows)}${reasons}`;
}

const HEADS = [
  ["Flight", "text"],
  ["Took off", "text"],
  ["Verdict", "number"],
  ["Score", "number"],
  ["Coverage", "number"],
  ["In the air", "number"],
  ["Farthest", "number"],
  ["Findings", "number"],
] as const;

function table(rows: readonly Row[]): Markup {
  const heads = HEADS.map(
    ([head, kind], i) => markup`<th scope="col" data-kind="${kind}" data-column="${i}">${head}</th>`,
  );
  return markup`<div class="wide" tabindex="0" role="group" aria-label="Flights"><table class="index" data-sortable="1"><thead><tr>${heads}<th scope="col" class="prose">Over time</th></tr></thead><tbody>${rows.map((row) => row.line)}</tbody></table></div>`;
}

function line(entry: Entry, { units }: HtmlOptions): Markup {
  const { log, flight, name, at } = entry;
  const say = sayIn(units);
  const link = markup`<a href="${encodeURIComponent(name)}${flight !== undefined && log.flights.length > 1 ? `#f${flight.index}` : ""}">${log.path}${flight !== undefined && log.flights.length > 1 ? `, flight ${flight.index}` : ""}</a>`;
  const rank = gravity(entry);
  if (flight === undefined) {
    const why = log.parser === null ? (log.problems[0]?.message ?? "not read") : "no flight in this log";
    return markup`<tr><th scope="row" data-sort="${log.path}">${link}</th><td data-sort=""></td><td data-sort="${rank}"><span class="verdictword unknown">${log.parser === null ? "unread" : "no flight"}</span></td><td data-sort=""></td><td data-sort=""></td><td data-sort=""></td><td data-sort=""></td><td data-sort=""></td><td class="prose">${why}</td></tr>`;
  }
  const verdict = flightVerdict(flight);
  const pointer = `/logs/${at}/flights/${log.flights.indexOf(flight)}`;
  const { score, coverage, airborne_s, farthest_m, findings, start_utc } = flight;
  return markup`<tr><th scope="row" data-sort="${log.path}">${link}</th><td data-sort="${start_utc ?? ""}">${start_utc === null ? "–" : start_utc.slice(0, 16).replace("T", " ")}</td><td data-sort="${rank}"><span class="verdictword ${verdict}">${flightVerdictWord(flight).toUpperCase()}</span></td><td data-sort="${score ?? ""}">${datum(`${pointer}/score`, score, score === null ? "–" : String(score))}</td><td data-sort="${coverage.share}">${datum(`${pointer}/coverage/share`, coverage.share, `${Math.floor(coverage.share * 100)} %`)}</td><td data-sort="${airborne_s}">${datum(`${pointer}/airborne_s`, airborne_s, say.duration(airborne_s))}</td><td data-sort="${farthest_m ?? ""}">${datum(`${pointer}/farthest_m`, farthest_m, farthest_m === null ? "–" : say.length(farthest_m))}</td><td data-sort="${findings.length}">${findings.length}</td><td class="prose">${strip(flight)}</td></tr>`;
}

/** The flight over time, small: the parts of the result's strip. */
function strip({ strip: parts }: FlightResult): Markup {
  const boxes: Markup[] = [];
  for (let from = 0; from < parts.length;) {
    let to = from + 1;
    while (to < parts.length && parts[to] === parts[from]) to += 1;
    boxes.push(
      markup`<rect class="band ${parts[from]}" x="${from * 2}" y="1" width="${(to - from) * 2}" height="13" />`,
    );
    from = to;
  }
  const share = (verdict: string): number => parts.filter((part) => part === verdict).length;
  const told = (["fail", "thin", "unknown", "clear"] as const)
    .filter((verdict) => share(verdict) > 0)
    .map((verdict) => `${verdict} ${share(verdict)} %`);
  return markup`<svg class="strip" viewBox="0 0 200 15" role="img" aria-label="Over time: ${told.join(", ")}">${boxes}</svg>`;
}
