import { clock, type Say, sayIn } from "../rules/say.js";
import { assumedPaths } from "../score/assumed.js";
import type { DrainRecord, FlightResult, LogResult } from "../score/result.js";
import { flightVerdict, flightVerdictWord, openQuestions } from "./flight-words.js";
import { flownLines } from "./text-flown.js";
import { findingLines } from "./text-findings.js";
import { scoreSum } from "./text-score.js";
import { printable, type Style, wrap } from "./text-style.js";
import { valueText } from "./value-text.js";
import { withoutFolders } from "./without-folders.js";

/** @returns the report of one flight; `isFull` adds everything that was taken as given */
export function flightLines(log: LogResult, flight: FlightResult, style: Style, isFull: boolean): string[] {
  return [
    ...headLines(log, flight, style),
    ...verdictLines(flight, style),
    "",
    ...stripLines(flight, style),
    ...flownLines(flight, style),
    ...findingLines(flight, style),
    ...(style.options.explainScore ? ["", ...scoreSum(flight, style)] : []),
    ...(isFull ? givenLines(flight, style) : briefGivenLines(flight, style)),
    ...notAssessedLines(flight, style, isFull),
  ];
}

/** @returns one line: verdict, score, coverage, name */
export function quietLine(log: LogResult, flight: FlightResult, style: Style): string {
  const verdict = flightVerdict(flight);
  const score = flight.score === null ? " --" : String(flight.score).padStart(3);
  const coverage = `${Math.floor(flight.coverage.share * 100)}`.padStart(3);
  const name = printable(log.path, style.options.ascii) + (log.flights.length > 1 ? `, flight ${flight.index}` : "");
  const rules = [...new Set(flight.findings.filter((f) => f.verdict === verdict).map(({ rule }) => rule))].join(" ");
  const word = style.verdict(verdict, flightVerdictWord(flight).toUpperCase().padEnd(7));
  return `${word} score ${score}  coverage ${coverage} %  ${name}${rules === "" ? "" : `  ${rules}`}`;
}

function headLines(log: LogResult, flight: FlightResult, style: Style): string[] {
  const { ascii, width, units } = style.options;
  const say = sayIn(units);
  const name = printable(log.path, ascii);
  const which = log.flights.length > 1 ? `, flight ${flight.index} of ${log.flights.length}` : "";
  const started = flight.start_utc === null ? "" : `${flight.start_utc.slice(0, 19).replace("T", " ")} UTC, `;
  const facts = [
    say.duration(flight.airborne_s),
    ...(flight.distance_flown_m === null ? [] : [`${say.length(flight.distance_flown_m)} flown`]),
    ...(flight.farthest_m === null ? [] : [`up to ${say.length(flight.farthest_m)} out`]),
    ...(flight.highest_m === null ? [] : [`${say.length(flight.highest_m)} up`]),
    ...batteryFact(flight, say),
  ];
  return [style.strong(name + which), ...wrap(`${started}${facts.join(", ")}`, width, "", "")];
}

function batteryFact({ battery_start_pct: from, battery_end_pct: to }: FlightResult, say: Say): string[] {
  return from === null || to === null ? [] : [`battery ${say.percent(from)} to ${say.percent(to)}`];
}

const HEADLINE = {
  clear: "A recovery begun at any judged moment would have come home.",
  thin: "A recovery would have come home from every judged moment, but not with all margins kept.",
  unknown: "Too little is known to say whether a recovery would have come home.",
} as const;

function verdictLines(flight: FlightResult, style: Style): string[] {
  const verdict = flightVerdict(flight);
  const score = flight.score === null ? "no score" : `score ${flight.score} of 100`;
  const coverage = `coverage ${Math.floor(flight.coverage.share * 100)} %`;
  return [
    "",
    `${style.verdict(verdict, flightVerdictWord(flight).toUpperCase())}  ${style.strong(`${score}, ${coverage}`)}`,
    ...wrap(headlineOf(flight, sayIn(style.options.units)), style.options.width, "      ", "      "),
  ];
}

/** @returns what the verdict of a flight means, in a sentence or two */
export function headlineOf(flight: FlightResult, say: Say): string {
  const verdict = flightVerdict(flight);
  const conductOnly = flight.fail_s === 0 ? "The flight was conducted in a way that fails." : "";
  const failing = `For ${say.duration(flight.fail_s)} of this flight ${failureWords(flight)}.`;
  const open = openQuestions(flight);
  const known =
    verdict === "thin"
      ? "What could be assessed would have worked, with not all margins kept"
      : "Nothing that could be assessed speaks against a recovery";
  const partly = `${known}, but ${open.join(", ")} could not be: whether it would have come home is not known.`;
  const usual =
    (verdict === "clear" || verdict === "thin") && open.length > 0
      ? partly
      : HEADLINE[verdict === "fail" ? "unknown" : verdict];
  // A fail too short to be a finding is still said.
  const but = flight.fail_s > 0 ? ` All but for ${say.duration(flight.fail_s)}, too short to be a finding.` : "";
  const text = verdict === "fail" ? conductOnly || failing : usual + (verdict === "unknown" ? "" : but);
  return text + turnbackText(flight);
}

/**
 * A weak fix or a point that strays does not stop a recovery from flying; it makes it end in the wrong place. A keep-out
 * zone does not stop it either, and where a lost link lands or holds there is none.
 */
function failureWords({ findings }: FlightResult): string {
  const ids = new Set(findings.filter(({ verdict }) => verdict === "fail").map(({ rule }) => rule));
  const only = (...some: readonly string[]): boolean => ids.size > 0 && [...ids].every((id) => some.includes(id));
  if (only("action-unsuited")) return "a lost link would have brought the aircraft down where it must not";
  if (only("keepout-crossed")) return "a recovery would have crossed a keep-out zone";
  const whom = only("point-adrift", "fix-weak") ? " to the operator" : "";
  return `a recovery would not have come home${whom}`;
}

function turnbackText({ turnback }: FlightResult): string {
  if (turnback === null || turnback.last_safe_s === null) return "";
  const late =
    turnback.outbound_after_s >= 1 ? `, ${sayIn("metric").duration(turnback.outbound_after_s)} before it did` : "";
  return ` Last moment to turn back with the reserve kept: ${clock(turnback.last_safe_s)}${late}.`;
}

function stripLines(flight: FlightResult, style: Style): string[] {
  const from = clock(flight.start_s);
  const to = clock(flight.end_s);
  const room = Math.min(flight.strip.length, style.options.width - from.length - to.length - 2);
  const grave = ["unknown", "clear", "thin", "fail"] as const;
  const strip = Array.from({ length: room }, (_, i) => {
    const part = flight.strip.slice(
      Math.floor((i * flight.strip.length) / room),
      Math.max(Math.floor(((i + 1) * flight.strip.length) / room), Math.floor((i * flight.strip.length) / room) + 1),
    );
    const worst = part.reduce(
      (a, b) => (grave.indexOf(b) > grave.indexOf(a) ? b : a),
      "unknown" as (typeof grave)[number],
    );
    return style.verdict(worst, style.marks[worst]);
  }).join("");
  const { marks } = style;
  const legend = `${marks.clear} clear  ${marks.thin} thin  ${marks.fail} fail  ${marks.unknown} unknown`;
  return [`${from} ${strip} ${to}`, `${" ".repeat(from.length + 1)}${style.faint(legend)}`];
}

function givenLines(flight: FlightResult, style: Style): string[] {
  const { ascii } = style.options;
  const say = sayIn(style.options.units);
  const rows = Object.entries(flight.inputs).map(([path, { value, unit, basis, from }]) => [
    path,
    typeof value === "string" ? value : valueText(path, value, unit, say),
    `${basis}, ${withoutFolders(from)}`,
  ]);
  const { drain } = flight;
  rows.push([
    "drain",
    ratesText(drain),
    `${drain.basis}, ${withoutFolders(drain.from)}; hover/climb/cruise/descent in %/min, ${spreadText(drain)}`,
  ]);
  if (flight.drain_fitted !== null) {
    rows.push(["drain flown", ratesText(flight.drain_fitted), "fitted from this flight, for comparison"]);
  }
  rows.push(["obstacle sensing", "not counted on", "a recovery is judged as if it had none"]);
  return ["", style.strong("Taken as given"), ...tableLines(rows, style.options.width, ascii)];
}

/** Assumed rates have no spread of their own: their bounds are added to the upper need. */
function spreadText({ basis, spread_pct }: DrainRecord): string {
  return basis === "assumed" ? "wide bounds for the upper need" : `spread ${spread_pct} %`;
}

/** Rates as one cell; the order is said beside it. */
function ratesText(rates: DrainRecord): string {
  const all = [rates.hover_pct_per_min, rates.climb_pct_per_min, rates.cruise_pct_per_min, rates.descent_pct_per_min];
  return all.map((value) => value.toFixed(1)).join("/");
}

/** Values longer than this get a line of their own. */
const VALUE_WIDTH = 15;

/** Three columns; the last is wrapped under itself. */
function tableLines(rows: readonly (readonly string[])[], width: number, ascii: boolean): string[] {
  const safe = rows.map((row) => row.map((cell) => printable(cell, ascii)));
  const first = Math.max(...safe.map(([name = ""]) => name.length));
  const second = Math.min(VALUE_WIDTH, Math.max(...safe.map(([, value = ""]) => value.length)));
  const indent = " ".repeat(first + second + 6);
  return safe.flatMap(([name = "", value = "", why = ""]) => {
    const head = `  ${name.padEnd(first)}  ${value.padEnd(second)}  `;
    // A long value pushes its own line, not the whole table, and not the edge of the screen either.
    if (value.length > second) {
      const beside = `  ${name.padEnd(first)}  `;
      return [...wrap(value, width, beside, " ".repeat(beside.length)), ...wrap(why, width, indent, indent)];
    }
    return wrap(why, width, head, indent);
  });
}

function briefGivenLines(flight: FlightResult, style: Style): string[] {
  const assumed = assumedPaths(flight);
  if (assumed.length === 0) return [];
  return ["", ...wrap(`Assumed: ${assumed.join(", ")}.`, style.options.width, "", "         ").map(style.faint)];
}

function notAssessedLines(flight: FlightResult, style: Style, isFull: boolean): string[] {
  const { width, ascii } = style.options;
  const rows = flight.not_assessed.map(({ rule, missing, share }) => {
    const part = share === 1 ? "" : ` (${share < 0.01 ? "under 1" : Math.round(share * 100)} % of the time)`;
    return `${rule}${part}: wants ${missing.map((text) => printable(text, ascii)).join("; ")}`;
  });
  if (rows.length === 0) return [];
  const body = isFull
    ? rows.flatMap((row) => wrap(row, width, "  ", "    "))
    : wrap(rows.join(". "), width, "  ", "  ");
  const hints =
    flight.coverage_hints.length === 0
      ? []
      : [
          "",
          "These lines in homeleg.yaml would lift the coverage:",
          ...flight.coverage_hints.map((line) => `  ${printable(line, ascii)}`),
        ];
  return ["", style.strong("Could not be assessed"), ...body, ...hints];
}
