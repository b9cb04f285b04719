import { clock, sayIn } from "../rules/say.js";
import type { Finding, FlightResult } from "../score/result.js";
import { printable, type Style, wrap } from "./text-style.js";

/** Episodes of one rule printed whole; the rest are counted. */
const EPISODES_MOST = 3;

/** @returns the findings of a flight: what, when, by how much, what to do; the gravest rules first */
export function findingLines(flight: FlightResult, style: Style): string[] {
  const decided = flight.findings.filter(({ by_assumption_alone }) => !by_assumption_alone);
  const assumed = flight.findings.filter((finding) => !decided.includes(finding));
  const related = new Set(decided.flatMap((finding) => finding.related));
  const heads = byRule(decided.filter(({ rule }) => !related.has(rule)));
  return [
    ...heads.flatMap((findings) => ruleLines(findings, flight, style, "")),
    ...(assumed.length > 0
      ? ["", ...byRule(assumed).flatMap((findings) => assumedLines(findings, flight, style))]
      : []),
  ];
}

/** @returns findings by rule; a record that ends in the air comes first, then rules with a fail, else in the order given. */
export function byRule(findings: readonly Finding[]): Finding[][] {
  const groups = new Map<string, Finding[]>();
  for (const finding of findings) groups.set(finding.rule, [...(groups.get(finding.rule) ?? []), finding]);
  const rank = (group: readonly Finding[]): number => {
    if (group.some(({ evidence }) => evidence["ends_in_air"] === "yes")) return 0;
    return group.some(({ verdict }) => verdict === "fail") ? 1 : 2;
  };
  return [...groups.values()].sort((a, b) => rank(a) - rank(b));
}

function ruleLines(findings: readonly Finding[], flight: FlightResult, style: Style, indent: string): string[] {
  const episodes = new Map<number, Finding[]>();
  for (const one of findings) episodes.set(one.episode, [...(episodes.get(one.episode) ?? []), one]);
  // Within a rule the gravest and longest first: the reader may stop after one.
  const ranked = [...episodes.values()]
    .map((members) => [...members].sort(gravest))
    .sort((a, b) => gravest(a[0], b[0]));
  const shown = ranked.slice(0, EPISODES_MOST).flatMap((members) => episodeLines(members, flight, style, indent));
  const left = ranked.length - EPISODES_MOST;
  const more = left > 0 ? [`${indent}      and ${left} more stretch${left === 1 ? "" : "es"} under this rule`] : [];
  const others = new Set(findings.flatMap(({ related }) => related));
  const same = byRule(flight.findings.filter(({ rule }) => others.has(rule))).flatMap((group) =>
    relatedLines(group, style),
  );
  return [...shown, ...more, ...same];
}

/** Orders findings: fails first, then the longest. */
export function gravest(a: Finding | undefined, b: Finding | undefined): number {
  if (a === undefined || b === undefined) return 0;
  if (a.verdict !== b.verdict) return a.verdict === "fail" ? -1 : 1;
  return b.duration_s - a.duration_s;
}

function episodeLines(
  [worst, ...others]: readonly Finding[],
  flight: FlightResult,
  style: Style,
  indent: string,
): string[] {
  if (worst === undefined) return [];
  const { width, ascii } = style.options;
  const body = `${indent}      `;
  const head = `${style.verdict(worst.verdict, worst.verdict.toUpperCase())}  ${style.strong(worst.rule)}`;
  const also = others.map(
    (other) =>
      `${body}${style.faint(`also ${other.verdict} ${span(other, style)}, ${sayIn("metric").duration(other.duration_s)}`)}`,
  );
  return [
    "",
    `${indent}${head}  ${style.faint(when(worst, flight, style))}`,
    ...wrap(`${printable(worst.message, ascii)} Basis: ${worst.decided_by}.`, width, body, body),
    ...wrap(`Next time: ${printable(worst.advice, ascii)}`, width, body, body),
    ...also,
  ];
}

/** Findings of the same cause, which take no points of their own. */
function relatedLines(findings: readonly Finding[], style: Style): string[] {
  const { width, ascii } = style.options;
  const [worst] = [...findings].sort(gravest);
  if (worst === undefined) return [];
  const label = `same cause, ${worst.verdict} under ${worst.rule}: `;
  const text = `${label}${printable(worst.message, ascii)} ${printable(worst.advice, ascii)}`;
  return wrap(text, width, "      + ", "        ");
}

/** A finding that only an assumption makes: one line, what to declare. */
function assumedLines(findings: readonly Finding[], flight: FlightResult, style: Style): string[] {
  const { width } = style.options;
  const [first] = findings;
  if (first === undefined) return [];
  const total_s = findings.reduce((sum, { duration_s }) => sum + duration_s, 0);
  const declare = assumedBy(first.rule, flight);
  const text =
    `${first.rule} for ${sayIn("metric").duration(total_s)} from ${clock(first.start_s)}, by an assumption alone: ` +
    `declare ${declare.length > 0 ? declare.join(", ") : "the aircraft"} to know.`;
  const [head = "", ...rest] = wrap(text, width, "thin? ", "      ");
  return [style.faint(head), ...rest.map((line) => style.faint(line))];
}

/** Rules whose assumptions are heights of what stands there. */
const CEILINGS: readonly string[] = ["ceiling-low", "overhead-cover"];

/** @returns paths of homeleg.yaml that would settle what an assumption alone makes thin under a rule */
function assumedBy(rule: string, flight: FlightResult): string[] {
  if (rule === "cell-sag") return ["aircraft.battery.cell_floor"];
  return CEILINGS.includes(rule) ? assumedHeights(flight) : assumedInputs(flight);
}

function assumedHeights({ inputs }: FlightResult): string[] {
  return Object.entries(inputs)
    .filter(([path, { basis }]) => basis === "assumed" && path.startsWith("site.default_heights."))
    .map(([path]) => path);
}

/** @returns paths of homeleg.yaml whose values were assumed and widen the upper need */
export function assumedInputs({ inputs, drain }: FlightResult): string[] {
  const paths = Object.entries(inputs)
    .filter(([path, { basis }]) => basis === "assumed" && /^(wind$|aircraft\.speeds\.)/.test(path))
    .map(([path]) => path);
  return drain.basis === "declared" ? paths : [...paths, "aircraft.drain"];
}

function span({ start_s, end_s }: Finding, { dash }: Style): string {
  return start_s === end_s ? clock(start_s) : `${clock(start_s)}${dash}${clock(end_s)}`;
}

function when(finding: Finding, flight: FlightResult, style: Style): string {
  const { start_s, end_s, worst } = finding;
  const utc = utcOf(worst.at_s, flight);
  const at = start_s === end_s ? utc : `worst at ${clock(worst.at_s)}${utc === "" ? "" : ` (${utc})`}`;
  return `${span(finding, style)}, ${sayIn("metric").duration(finding.duration_s)}${at === "" ? "" : `, ${at}`}`;
}

/** The time of day of a moment; empty for a log without UTC. */
function utcOf(at_s: number, { start_utc, start_s }: FlightResult): string {
  if (start_utc === null) return "";
  return `${new Date(Date.parse(start_utc) + (at_s - start_s) * 1000).toISOString().slice(11, 19)} UTC`;
}
