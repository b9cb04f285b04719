import { counted, floor } from "../score/signoff-words.js";
import type { Requirement, SignedFlight, SignoffRecord } from "../score/signoff-record.js";

const DAY_S = 86_400;

/**
 * @param value in the unit of the requirement
 * @returns it as people read it; shares and minutes rounded down, so that what falls short never reads as if it did not
 */
export function requirementValue({ unit }: Requirement, value: number): string {
  if (unit === "1") return `${floor(value * 100, 1)} %`;
  if (unit === "min") return `${floor(value, 1)} min`;
  if (unit === "s") return counted(Number((value / DAY_S).toFixed(2)), "day");
  return unit === "points" ? String(value) : counted(value, unit.replace(/s$/, ""));
}

/**
 * @returns what was found as people read it; an age counts whole days back, and the record has it from the end of the day
 *   that it counts from
 */
export function foundValue(requirement: Requirement): string {
  const { id, found } = requirement;
  if (found === null) return "not known";
  return id === "within" ? counted(Math.ceil(found / DAY_S) - 1, "day") : requirementValue(requirement, found);
}

/** What `found` says of several flights. */
const FOUND_IS: Readonly<Partial<Record<Requirement["id"], string>>> = {
  score: "lowest",
  coverage: "lowest",
  within: "oldest",
};

/** @returns what was found, in words before the number; empty where the number is all */
export function foundWord({ id, found }: Requirement): string {
  return found === null ? "" : (FOUND_IS[id] ?? "");
}

/** @returns a flight's day, minutes (rounded down), score and coverage (rounded down), and whether it meets all */
export function flightFacts(flight: SignedFlight): {
  readonly state: "met" | "not met" | "copy";
  readonly day: string;
  readonly minutes: string;
  readonly score: string;
  readonly coverage: string;
} {
  return {
    state: flight.copy_of !== null ? "copy" : flight.met ? "met" : "not met",
    day: flight.start_utc?.slice(0, 10) ?? "no date",
    minutes: `${floor(flight.airborne_s / 60, 1)} min`,
    score: flight.score === null ? "no score" : String(flight.score),
    coverage: `${floor(flight.coverage * 100, 0)} %`,
  };
}

/** @returns name of a flight in a record: its log, and which of several it is */
export function flightName(
  { path, flights }: { readonly path: string; readonly flights: readonly unknown[] },
  { index }: SignedFlight,
): string {
  return flights.length > 1 ? `${path}, flight ${index}` : path;
}

/** @returns the sum of a record in a sentence */
export function totalsText({ totals, as_of, policy_file }: SignoffRecord): string {
  const copies = totals.copies === 0 ? "" : `, ${totals.copies} more recorded twice and counted once`;
  const flown = `${counted(totals.flights, "flight")} in ${counted(totals.logs, "log")}${copies}`;
  return `As of ${as_of}, under ${policy_file ?? "the project's default policy"}: ${flown}.`;
}

/** @returns what was assumed in any flight that counts, said once */
export function assumedText({ logs }: SignoffRecord): string {
  const paths = new Set(logs.flatMap(({ flights }) => flights.flatMap(({ assumed }) => assumed)));
  return paths.size === 0
    ? "Nothing was assumed that is neither in the logs nor declared."
    : `Assumed, since neither the logs nor the settings say: ${[...paths].join(", ")}.`;
}
