import type { FlightResult } from "../score/result.js";
import { type Style, wrap } from "./text-style.js";

/** What takes points besides rules. */
const NAMES: Readonly<Record<string, string>> = {
  cap: "cap: a failing stretch, so at most 59",
  rounding: "rounding down",
};

/**
 * @returns the sum of a score, line by line: what the moments lost by rule, the share part, what the conduct cost, cap
 *   and rounding. The hundredths printed add up exactly to the score.
 */
export function scoreSum(flight: FlightResult, style: Style): string[] {
  const { score, share_part, points_lost, findings } = flight;
  if (score === null || share_part === null) return [style.faint("No score: coverage is under the floor.")];
  const lines = [style.strong("How the score adds up"), row(" ", 100, "every moment clear")];
  let lost = 0;
  let isShared = false;
  // The result lists rules that judge moments before those that judge conduct.
  const subtotal = (): void => {
    if (isShared || lost < 100 - share_part - 1e-4) return;
    isShared = true;
    lines.push(row("=", hundredths(100 - lost), "share part: the worth of the moments by time"));
  };
  subtotal();
  for (const [name, points] of Object.entries(points_lost)) {
    // Each line is what it takes off the running sum as printed, so that what is printed adds up.
    const taken = hundredths(lost + points) - hundredths(lost);
    const isConduct = isShared && NAMES[name] === undefined;
    lines.push(row("-", taken, (NAMES[name] ?? name) + (isConduct ? " (conduct)" : "")));
    lost += points;
    subtotal();
  }
  lines.push(row("=", score, "score"));
  const free = new Set(findings.flatMap(({ related }) => related));
  const billed = findings.find(({ related }) => related.length > 0)?.rule;
  if (free.size === 0 || billed === undefined) return lines;
  const text = `One cause, one bill: ${[...free].join(" and ")} ${free.size === 1 ? "has" : "have"} the cause of ${billed} and ${free.size === 1 ? "takes" : "take"} no points.`;
  return [...lines, ...wrap(text, style.options.width, "  ", "  ")];
}

function row(sign: string, points: number, what: string): string {
  return `  ${sign}${points.toFixed(2).padStart(7)}  ${what}`;
}

function hundredths(points: number): number {
  return Math.round(points * 100) / 100;
}
