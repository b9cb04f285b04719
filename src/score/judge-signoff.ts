import { roundValue } from "../num/round.js";
import { assumedPaths } from "./assumed.js";
import { findCopies, type NamedFlight } from "./copies.js";
import { counted as count, floor, minutesOf } from "./signoff-words.js";
import { siteCount, siteMinutes, sitesOf } from "./signoff-sites.js";
import type { FlightResult, LogResult } from "./result.js";
import type {
  MustBeClear,
  Requirement,
  SignedFlight,
  SignedLog,
  SignoffOutcome,
  SignoffPolicy,
} from "./signoff-record.js";

/** Project default: a rule is clear only where this much of the time it arose was assessed. */
const ASSESSED_SHARE = 0.95;
const DAY_S = 86_400;

/**
 * Judges logs against what a sign-off asks. Every log that is given is recorded, and every distinct flight must meet the
 * requirements on each: who could leave out what did not go well would sign off on luck.
 * @param logs audited under one setting
 * @param asOf the day it counts from, `2026-05-20`; flights up to its end (UTC) may count
 */
export function judgeSignoff(logs: readonly LogResult[], policy: SignoffPolicy, asOf: string): SignoffOutcome {
  const named = logs.flatMap((log) => log.flights.map((flight) => ({ name: nameOf(log, flight), flight })));
  const copies = findCopies(named);
  const counted = named.filter(({ flight }) => !copies.has(flight));
  const sites = sitesOf(counted);
  const requirements = [
    logsRead(logs),
    ...totals(counted, policy),
    ...eachFlight(counted, policy, asOf),
    ...(policy.sites > 0 ? [siteCount(sites, policy)] : []),
    ...(policy.site_minutes > 0 ? [siteMinutes(sites, policy)] : []),
  ];
  return {
    passed: requirements.every(({ met }) => met),
    requirements,
    totals: {
      logs: logs.length,
      flights: counted.length,
      copies: copies.size,
      minutes: minutesOf(counted),
    },
    sites,
    logs: logs.map((log) => signedLog(log, copies, policy, asOf)),
  };
}

function nameOf({ path, flights }: LogResult, { index }: FlightResult): string {
  return flights.length > 1 ? `${path}, flight ${index}` : path;
}

function logsRead(logs: readonly LogResult[]): Requirement {
  const unread = logs.filter(({ parser }) => parser === null).map(({ path }) => path);
  return {
    id: "logs-read",
    rule: null,
    required: logs.length,
    found: logs.length - unread.length,
    unit: "logs",
    met: unread.length === 0,
    message: readMessage(logs.length, unread.length),
    exceptions: unread,
  };
}

function readMessage(given: number, unread: number): string {
  if (unread > 0) return "Not every log could be read.";
  return given === 1 ? "The log could be read." : `All ${count(given, "log")} could be read.`;
}

function totals(counted: readonly NamedFlight[], policy: SignoffPolicy): Requirement[] {
  const minutes = minutesOf(counted);
  return [
    {
      id: "flights",
      rule: null,
      required: policy.flights,
      found: counted.length,
      unit: "flights",
      met: counted.length >= policy.flights,
      message: `${count(counted.length, "flight")}; asked for: ${policy.flights}.`,
      exceptions: [],
    },
    {
      id: "minutes",
      rule: null,
      required: policy.minutes,
      found: minutes,
      unit: "min",
      met: minutes >= policy.minutes,
      message: `${floor(minutes, 1)} minutes in the air; asked for: ${policy.minutes}.`,
      exceptions: [],
    },
  ];
}

function eachFlight(counted: readonly NamedFlight[], policy: SignoffPolicy, asOf: string): Requirement[] {
  const scores = counted.map(({ flight }) => flight.score);
  const leastScore = scores.some((score) => score === null) ? null : leastOf(scores.map((score) => score ?? 0));
  const short = counted.filter(({ flight }) => !hasScore(flight, policy));
  const thinly = counted.filter(({ flight }) => flight.coverage.share < policy.coverage);
  const late = counted.filter(({ flight }) => !isRecent(flight, policy, asOf));
  return [
    {
      id: "score",
      rule: null,
      required: policy.score,
      found: leastScore,
      unit: "points",
      met: short.length === 0,
      message: `Every flight has a score of at least ${policy.score}.`,
      exceptions: short.map(({ name, flight }) => `${name}: ${flight.score === null ? "no score" : flight.score}`),
    },
    {
      id: "coverage",
      rule: null,
      required: policy.coverage,
      found: leastOf(counted.map(({ flight }) => flight.coverage.share)),
      unit: "1",
      met: thinly.length === 0,
      message: `At least ${percent(policy.coverage)} % of every flight could be assessed.`,
      exceptions: thinly.map(({ name, flight }) => `${name}: ${percent(flight.coverage.share)} %`),
    },
    ...policy.must_be_clear.map((rule) => mustBeClear(counted, rule)),
    {
      id: "within",
      rule: null,
      required: policy.within_s,
      found: oldest_s(counted, asOf),
      unit: "s",
      met: late.length === 0,
      message: `Every flight was within ${days(policy.within_s)} up to ${asOf}.`,
      exceptions: late.map(({ name, flight }) => `${name}: ${ageOf(flight, asOf)}`),
    },
  ];
}

function mustBeClear(counted: readonly NamedFlight[], rule: string): Requirement {
  const others = counted.flatMap(({ name, flight }) => {
    const found = clearness(flight, rule);
    return found === "clear" ? [] : [`${name}: ${NOT_CLEAR[found]}`];
  });
  return {
    id: "must-be-clear",
    rule,
    required: counted.length,
    found: counted.length - others.length,
    unit: "flights",
    met: others.length === 0,
    message: `${rule} is clear in every flight.`,
    exceptions: others,
  };
}

const NOT_CLEAR: Readonly<Record<Exclude<MustBeClear, "clear">, string>> = {
  thin: "thin",
  fail: "fails",
  unknown: "not assessed for 95 % of the time",
  "n/a": "the question never arose",
};

/** Unknown is not clear, and neither is a question that never arose: a hover at hand shows nothing. */
function clearness({ findings, coverage }: FlightResult, rule: string): MustBeClear {
  const own = findings.filter((finding) => finding.rule === rule);
  if (own.some(({ verdict }) => verdict === "fail")) return "fail";
  if (own.length > 0) return "thin";
  const share = coverage.rules[rule] ?? null;
  if (share === null) return "n/a";
  return share >= ASSESSED_SHARE ? "clear" : "unknown";
}

function hasScore({ score }: FlightResult, policy: SignoffPolicy): boolean {
  return score !== null && score >= policy.score;
}

/** @returns age at the end of the day it counts from, s; negative for a flight after it; NaN without a date */
function age_s({ start_utc }: FlightResult, asOf: string): number {
  const end_s = Date.parse(`${asOf}T00:00:00Z`) / 1000 + DAY_S;
  return start_utc === null ? Number.NaN : end_s - Date.parse(start_utc) / 1000;
}

/** The day of the flight counts, not its hour: 90 days are 90 whole days before the one it counts from. */
function isRecent(flight: FlightResult, policy: SignoffPolicy, asOf: string): boolean {
  const age = age_s(flight, asOf);
  return age > 0 && age <= policy.within_s + DAY_S;
}

function ageOf(flight: FlightResult, asOf: string): string {
  const age = age_s(flight, asOf);
  if (Number.isNaN(age)) return "no date";
  return age <= 0 ? "later than that day" : `on ${flight.start_utc?.slice(0, 10)}`;
}

function oldest_s(counted: readonly NamedFlight[], asOf: string): number | null {
  const ages = counted.map(({ flight }) => age_s(flight, asOf));
  return ages.length === 0 || ages.some(Number.isNaN) ? null : roundValue(Math.max(...ages));
}

function signedLog(
  log: LogResult,
  copies: ReadonlyMap<FlightResult, string>,
  policy: SignoffPolicy,
  asOf: string,
): SignedLog {
  const { path, sha256, bytes } = log;
  return {
    path,
    sha256,
    bytes,
    unread: log.parser === null ? (log.problems[0]?.message ?? "It could not be read.") : null,
    flights: log.flights.map((flight): SignedFlight => {
      const verdicts = policy.must_be_clear.map((rule) => [rule, clearness(flight, rule)] as const);
      const copyOf = copies.get(flight) ?? null;
      return {
        index: flight.index,
        start_utc: flight.start_utc,
        airborne_s: flight.airborne_s,
        score: flight.score,
        coverage: flight.coverage.share,
        must_be_clear: Object.fromEntries(verdicts),
        findings: flight.findings.map(({ rule, verdict, duration_s }) => ({ rule, verdict, duration_s })),
        assumed: assumedPaths(flight),
        copy_of: copyOf,
        met:
          copyOf === null &&
          hasScore(flight, policy) &&
          flight.coverage.share >= policy.coverage &&
          verdicts.every(([, verdict]) => verdict === "clear") &&
          isRecent(flight, policy, asOf),
      };
    }),
  };
}

function leastOf(values: readonly number[]): number | null {
  return values.length === 0 ? null : Math.min(...values);
}

function percent(share: number): number {
  return floor(share * 100, 1);
}

function days(lasts_s: number): string {
  return count(Number((lasts_s / DAY_S).toFixed(2)), "day");
}
