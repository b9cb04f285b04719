import { median } from "../num/quantile.js";
import type { Disagreement, Standing } from "./agreement.js";
import type { LogEvidence } from "./evidence.js";
import type { Ratio } from "./ratios.js";

/** Logs named in one message; the rest is counted, and listed in the result. */
const NAMED = 5;

/** @returns which logs do not agree, by how much, and what to leave out, for people */
export function sayDisagreement(
  { kind, logs }: Disagreement,
  told: readonly LogEvidence[],
  ratios: readonly Ratio[],
  standings: readonly Standing[],
): string {
  const name = (i: number): string => told[i]?.path ?? "";
  const level = (i: number): string => (standings[i]?.level ?? Number.NaN).toFixed(2);
  const listed = (of: readonly number[], show: (i: number) => string): string => {
    const rest = of.length - NAMED;
    return of.slice(0, NAMED).map(show).join(", ") + (rest > 0 ? ` and ${rest} more` : "");
  };
  if (kind === "two-groups") {
    const others = told.map((_, i) => i).filter((i) => !logs.includes(i));
    const middle = (of: readonly number[]): number => median(of.map((i) => ratios[i]?.ratio ?? Number.NaN));
    const times = (middle(logs) / middle(others)).toFixed(2);
    return (
      `The logs fall into two groups: ${listed(logs, name)} use${logs.length === 1 ? "s" : ""} ${times} times ` +
      `what ${listed(others, name)} use. Fit each group by itself.`
    );
  }
  if (kind === "log-apart") {
    const show = (i: number): string =>
      `${name(i)} uses ${level(i)} times what most of the logs do (1 ± ${(standings[i]?.allowed ?? Number.NaN).toFixed(2)} is allowed)`;
    return `${listed(logs, show)}. Leave ${logs.length === 1 ? "it" : "them"} out, or fit ${logs.length === 1 ? "it" : "them"} apart.`;
  }
  const sorted = logs.toSorted((a, b) => (ratios[a]?.ratio ?? 0) - (ratios[b]?.ratio ?? 0));
  const least = sorted[0] ?? 0;
  const most = sorted[sorted.length - 1] ?? 0;
  return (
    `The logs differ from each other by more than one aircraft does: ${name(least)} uses ${level(least)} and ` +
    `${name(most)} ${level(most)} times the median. Fit logs of one aircraft, one load and one kind of battery.`
  );
}
