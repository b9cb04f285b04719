import type { InspectedFlight } from "../inspect/inspection.js";

/** @returns what each rule lacks in any of the flights: one file of settings serves them all */
export function wantsByRule(flights: readonly InspectedFlight[]): ReadonlyMap<string, readonly string[]> {
  const wants = new Map<string, string[]>();
  for (const { rule, missing } of flights.flatMap(({ not_assessed }) => not_assessed)) {
    const known = wants.get(rule) ?? [];
    wants.set(rule, [...known, ...missing.filter((label) => !known.includes(label))]);
  }
  return wants;
}
