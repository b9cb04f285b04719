import { median } from "../num/quantile.js";
import { roundValue } from "../num/round.js";
import type { FlightFacts, LogFacts } from "./log-facts.js";
import type { Summary } from "./result.js";

/** What a run must meet to pass, beyond having no `fail` finding. */
export interface GateOptions {
  /** The gravest verdict that does not pass: `fail` lets thin findings through. */
  readonly gate: "fail" | "thin";
  readonly minScore: number | undefined;
  /** 0–1; 0 also lets flights through that have no score for want of coverage. */
  readonly minCoverage: number | undefined;
}

/** The gate of a run without options. */
export const DEFAULT_GATE: GateOptions = { gate: "fail", minScore: undefined, minCoverage: undefined };

type Reason = Summary["gate"]["reasons"][number];

/** How complete a run is. */
export interface RunExtent {
  /** `37 of 120` logs, where it was ended early. */
  readonly interruptedAfter?: string | undefined;
  /** A part of a run may have no logs. */
  readonly isShard?: boolean;
}

/** @returns the run in numbers, and whether it passes the gate, with every reason why not */
export function summarize(
  logs: readonly LogFacts[],
  options: GateOptions = DEFAULT_GATE,
  { interruptedAfter, isShard = false }: RunExtent = {},
): Summary {
  const flights = logs.flatMap((log) => log.flights.map((flight) => ({ log, flight })));
  const scores = flights.flatMap(({ flight }) => (flight.score === null ? [] : [flight.score]));
  const unreadable = logs.filter(({ parser }) => parser === null);
  const isJudged = flights.some(({ flight }) => flight.recoverable_share !== null);
  const isJudgeable = !isShard || logs.length > 0;
  const reasons = [
    ...(interruptedAfter === undefined
      ? []
      : [{ code: "interrupted", message: `The run was interrupted after ${interruptedAfter} logs.` }]),
    ...unreadable.map(({ path }) => ({ code: "unreadable", message: `${path}: could not be read.` })),
    ...(isJudged || !isJudgeable ? [] : [{ code: "nothing-judged", message: "No moment of the run could be judged." }]),
    ...flights.flatMap(({ log, flight }) => flightReasons(nameOf(log, flight), flight, options)),
  ];
  const add = (total: number, more: number): number => total + more;
  return {
    logs: logs.length,
    logs_unreadable: unreadable.length,
    flights: flights.length,
    airborne_s: roundValue(flights.map(({ flight }) => flight.airborne_s).reduce(add, 0)) ?? 0,
    score_min: scores.length === 0 ? null : Math.min(...scores),
    score_median: scores.length === 0 ? null : roundValue(median(scores)),
    fail_s: roundValue(flights.map(({ flight }) => flight.fail_s).reduce(add, 0)) ?? 0,
    findings: flights.map(({ flight }) => flight.findings.length).reduce(add, 0),
    gate: { passed: reasons.length === 0, reasons },
  };
}

function nameOf({ path, flights }: LogFacts, { index }: FlightFacts): string {
  return flights.length > 1 ? `${path}, flight ${index}` : path;
}

function flightReasons(name: string, flight: FlightFacts, { gate, minScore, minCoverage }: GateOptions): Reason[] {
  const reasons: Reason[] = [];
  const failing = ruleIds(flight, "fail");
  const thin = ruleIds(flight, "thin");
  if (failing.length > 0) reasons.push({ code: "fail-finding", message: `${name}: fails ${failing.join(", ")}.` });
  if (gate === "thin" && thin.length > 0) {
    reasons.push({ code: "thin-finding", message: `${name}: thin under ${thin.join(", ")}.` });
  }
  if (flight.score === null && minCoverage !== 0) {
    reasons.push({
      code: "no-score",
      message: `${name}: no score, since only ${percent(flight.coverage.share)} % could be assessed.`,
    });
  }
  if (minCoverage !== undefined && flight.coverage.share < minCoverage) {
    const [share, wanted] = apart(flight.coverage.share, minCoverage);
    reasons.push({ code: "coverage", message: `${name}: coverage ${share} %, wanted ${wanted} %.` });
  }
  if (minScore !== undefined && flight.score !== null && flight.score < minScore) {
    reasons.push({ code: "score", message: `${name}: score ${flight.score}, wanted ${minScore}.` });
  }
  if (minScore !== undefined && flight.score === null && minCoverage === 0) {
    reasons.push({ code: "score", message: `${name}: no score, wanted ${minScore}.` });
  }
  return reasons;
}

/** Whole per cent, as far down as it takes: what is not all of it must not read as 100. */
function percent(share: number, decimals: number = 0): number {
  const scale = 10 ** decimals;
  return Math.floor(share * 100 * scale + 1e-6) / scale;
}

/** Two shares in per cent, with as many decimals as keep them apart. */
function apart(a: number, b: number): [number, number] {
  let decimals = 0;
  while (decimals < 6 && (percent(a, decimals) === percent(b, decimals) || percent(b, decimals) < b * 100 - 1e-6)) {
    decimals += 1;
  }
  return [percent(a, decimals), percent(b, decimals)];
}

function ruleIds({ findings }: FlightFacts, verdict: "fail" | "thin"): string[] {
  return [...new Set(findings.filter((finding) => finding.verdict === verdict).map(({ rule }) => rule))];
}
