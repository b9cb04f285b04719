import type { FlightResult } from "../score/result.js";

/** Assessed for less than this share of its time, a question counts as open (as a sign-off counts it). */
export const OPEN_UNDER_SHARE = 0.95;
/** The questions that the coverage is made of. */
const MAIN_RULES = ["reserve-short", "ceiling-low", "point-adrift", "headwind-stall", "fix-weak"] as const;

/** What every report says. */
export const CAUTION =
  "homeleg checks records after the fact. It gives advice, not clearance: it is no legal or airworthiness approval, and " +
  "local rules and licensed practice come first. What was assumed is said above.";

/** @returns main rules that were not assessed for most of the time: without them nobody can say "clear" without a but */
export function openQuestions({ coverage, inputs }: FlightResult): string[] {
  const zones = inputs["site.zones"] === undefined ? [] : ["overhead-cover", "keepout-crossed"];
  const action = inputs["settings.lost_link_action"] === undefined ? [] : ["action-unsuited"];
  return [...MAIN_RULES, ...zones, ...action].filter((id) => {
    const share = coverage.rules[id];
    return share !== null && share !== undefined && share < OPEN_UNDER_SHARE;
  });
}

/** The flight in one word: its gravest finding, else unknown where too little was assessed, else clear. */
export function flightVerdict({ findings, score }: FlightResult): "clear" | "thin" | "fail" | "unknown" {
  if (findings.some(({ verdict }) => verdict === "fail")) return "fail";
  if (score === null) return "unknown";
  return findings.length > 0 ? "thin" : "clear";
}

/** @returns the verdict with a question mark where a clear or thin flight has open questions */
export function flightVerdictWord(flight: FlightResult): string {
  const verdict = flightVerdict(flight);
  const isOpen = (verdict === "clear" || verdict === "thin") && openQuestions(flight).length > 0;
  return verdict + (isOpen ? "?" : "");
}
