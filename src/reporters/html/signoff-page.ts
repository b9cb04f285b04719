import type { Requirement, SignedFlight, SignedLog, SignoffRecord } from "../../score/signoff-record.js";
import {
  assumedText,
  flightFacts,
  flightName,
  foundValue,
  foundWord,
  requirementValue,
  totalsText,
} from "../signoff-facts.js";
import { floor } from "../../score/signoff-words.js";
import type { HtmlOptions } from "./log-page.js";
import { type Markup, markup, type Part } from "./markup.js";
import { page } from "./page.js";
import { datum, pointerStep } from "./quantity.js";
import { facts, type Section, sections } from "./sections.js";
import { table } from "./tables.js";

/** @returns a sign-off as a page that can be printed and signed: every requirement, flight and file with its hash */
export function signoffPage(record: SignoffRecord, { sha256 }: Pick<HtmlOptions, "sha256">): string {
  const parts: Section[] = [
    ["requirements", "Requirements", requirementsTable(record)],
    ["flights", "Flights", flightsTable(record)],
    ...(record.sites.length === 0 ? [] : [["sites", "Sites", sitesTable(record)] as const]),
    ["assumed", "Assumed", markup`<p>${assumedText(record)}</p>`],
    ["files", "Files that were read", filesTable(record)],
    [
      "cautions",
      "Cautions",
      markup`<ul class="notes">${record.cautions.map((caution) => markup`<li>${caution}</li>`)}</ul>`,
    ],
    ["signatures", "Signatures", signatures(record)],
  ];
  const body = markup`<a class="skip" href="#requirements">Skip to the requirements</a>
<header class="title"><h1><span class="kind">Sign-off record</span>${record.trainee ?? "Trainee not named"}</h1><p>homeleg ${record.tool_version}</p></header>
<main>
${head(record)}
${sections(parts)}
</main>`;
  return page({ title: `Sign-off record${record.trainee === null ? "" : ` · ${record.trainee}`}`, body, sha256 });
}

function head(record: SignoffRecord): Markup {
  const { passed, requirements, totals, sets } = record;
  const unmet = requirements.filter(({ met }) => !met).length;
  const gist = passed
    ? "Every requirement is met."
    : `${unmet} of ${requirements.length} requirements ${unmet === 1 ? "is" : "are"} not met.`;
  const rows: (readonly [string, Part])[] = [
    ["Trainee", record.trainee ?? "not named"],
    ["Instructor", record.instructor ?? "not named"],
    ...(record.remark === null ? [] : [["Remark", record.remark] as const]),
    ["Logs", datum("/totals/logs", totals.logs, String(totals.logs))],
    ["Flights", datum("/totals/flights", totals.flights, String(totals.flights))],
    ["In the air", datum("/totals/minutes", totals.minutes, `${floor(totals.minutes, 1)} min`)],
    ...(sets.length === 0 ? [] : [["Set over the policy", sets.join(", ")] as const]),
  ];
  const word = passed ? "MET" : "NOT MET";
  return markup`<div class="block pair"><div class="stamp ${passed ? "clear" : "fail"}"><span class="word">${word}</span></div>
<div class="gist"><p class="headline">${gist}</p><p>${totalsText(record)}</p>${facts(rows)}</div></div>`;
}

function verdictWord(met: boolean): Markup {
  return markup`<span class="verdictword ${met ? "clear" : "fail"}">${met ? "met" : "not met"}</span>`;
}

function requirementsTable({ requirements }: SignoffRecord): Markup {
  const rows = requirements.map(
    (one, i) =>
      markup`<tr><th scope="row" class="prose">${one.message}${exceptions(one)}</th><td>${datum(`/requirements/${i}/required`, one.required, requirementValue(one, one.required))}</td><td>${foundWord(one)} ${datum(`/requirements/${i}/found`, one.found, foundValue(one))}</td><td>${verdictWord(one.met)}</td></tr>`,
  );
  return table("Requirements", ["<Requirement", "Asked for", "Found", "Verdict"], rows);
}

function exceptions({ exceptions: all }: Requirement): Part {
  return all.length === 0
    ? undefined
    : markup`<ul class="notes">${all.map((exception) => markup`<li>${exception}</li>`)}</ul>`;
}

function flightsTable({ logs }: SignoffRecord): Markup {
  const rows = logs.flatMap((log, i) => {
    if (log.flights.length > 0)
      return log.flights.map((flight, k) => flightRow(log, flight, `/logs/${i}/flights/${k}`));
    const why = log.unread === null ? "no flight in it" : `not read: ${log.unread}`;
    return [markup`<tr><th scope="row" class="prose">${log.path}</th><td class="prose" colspan="6">${why}</td></tr>`];
  });
  return table(
    "Flights",
    ["<Flight", "Day (UTC)", "In the air", "Score", "Coverage", "Verdict", "<Rules that must be clear"],
    rows,
  );
}

function flightRow(log: SignedLog, flight: SignedFlight, pointer: string): Markup {
  const { state, day, minutes, score, coverage } = flightFacts(flight);
  const verdict = state === "copy" ? markup`<span class="verdictword unknown">copy</span>` : verdictWord(flight.met);
  const rules = Object.entries(flight.must_be_clear).map(([rule, found]) =>
    datum(`${pointer}/must_be_clear/${pointerStep(rule)}`, found, `${rule} ${found}`),
  );
  const counts =
    flight.copy_of === null
      ? rules.map((rule, i) => [i > 0 ? ", " : undefined, rule])
      : `another recording of ${flight.copy_of}, counted there`;
  return markup`<tr><th scope="row" class="prose">${flightName(log, flight)}</th><td>${datum(`${pointer}/start_utc`, flight.start_utc, day)}</td><td>${datum(`${pointer}/airborne_s`, flight.airborne_s, minutes)}</td><td>${datum(`${pointer}/score`, flight.score, score)}</td><td>${datum(`${pointer}/coverage`, flight.coverage, coverage)}</td><td>${verdict}</td><td class="prose">${counts}</td></tr>`;
}

function sitesTable({ sites }: SignoffRecord): Markup {
  const rows = sites.map(({ latitude_deg, longitude_deg, flights, minutes }, i) => {
    const value = (key: string, number: number, text: string): Markup => datum(`/sites/${i}/${key}`, number, text);
    return markup`<tr><th scope="row">${i + 1}</th><td>${value("latitude_deg", latitude_deg, latitude_deg.toFixed(5))}</td><td>${value("longitude_deg", longitude_deg, longitude_deg.toFixed(5))}</td><td>${value("flights", flights, String(flights))}</td><td>${value("minutes", minutes, `${floor(minutes, 1)} min`)}</td></tr>`;
  });
  return table("Sites", ["Site", "Latitude", "Longitude", "Flights", "In the air"], rows);
}

function filesTable({ logs, files, digest }: SignoffRecord): Markup {
  const row = (what: string, path: string, sha256: string): Markup =>
    markup`<tr><th scope="row" class="prose">${path}</th><td class="prose">${what}</td><td class="prose hash"><code>${sha256}</code></td></tr>`;
  const rows = [
    ...logs.map((log) => row(log.unread === null ? "log" : "log, not read", log.path, log.sha256)),
    ...files.map(({ path, sha256 }) => row("settings or site", path, sha256)),
  ];
  return markup`${table("Files", ["<File", "<What it is", "<SHA-256"], rows)}<p>Digest of the record as JSON: <code class="hash">${digest}</code>. <code>homeleg signoff --verify</code> reads that JSON and says what no longer matches.</p>`;
}

function signatures({ trainee, instructor }: SignoffRecord): Markup {
  const place = (role: string, name: string | null): Markup =>
    markup`<div class="signature"><p class="role">${role}</p><dl><div><dt>Name</dt><dd>${name ?? ""}</dd></div><div><dt>Date</dt><dd></dd></div><div><dt>Signature</dt><dd></dd></div></dl></div>`;
  return markup`<div class="signatures">${place("Trainee", trainee)}${place("Instructor", instructor)}</div>`;
}
