import type { Feature } from "./geojson.js";
import { isTooLong, lengthOf } from "./length.js";
import { quoteValue } from "./quote-value.js";

/** What was odd about a site's files and did not stop the audit. */
export interface SiteProblem {
  readonly severity: "warning" | "note";
  readonly code: string;
  readonly message: string;
  readonly line: undefined;
}

/** Reads the lengths of one feature, and tells what it cannot read. */
export interface LengthReader {
  readonly name: string;
  /**
   * @param meanwhile what is done where it is not understood
   * @param longest_m what is taken where it is over 100 km; otherwise that is not understood either
   * @returns m; undefined where it is not there or not understood
   */
  readonly read: (key: string, meanwhile: string, longest_m?: number) => number | undefined;
  readonly warn: (code: string, what: string) => void;
}

/** Problems of one kind in one file that are told one by one. */
const TOLD_MOST = 5;
/** Decimal commas are common in maps by hand; a comma before three digits may mean thousands, and is not guessed. */
const DECIMAL_COMMA = /^(\d+),(\d{1,2})(\D.*)?$/;

/**
 * @param kind begins the codes of its problems
 * @returns a reader for the lengths of a feature, which adds to `problems`
 */
export function lengthReader(
  { number, properties }: Feature,
  name: string,
  file: string,
  kind: string,
  problems: SiteProblem[],
): LengthReader {
  const tell = (severity: "warning" | "note", code: string, what: string): void => {
    const message = `${file}: feature ${number} (${name}) ${what}`;
    problems.push({ severity, code: `${kind}-${code}`, message, line: undefined });
  };
  const read = (key: string, meanwhile: string, longest_m?: number): number | undefined => {
    const value = properties[key];
    if (value === undefined || value === null || value === "") return undefined;
    const dotted = typeof value === "string" ? value.trim().replace(DECIMAL_COMMA, "$1.$2$3") : value;
    const length_m = lengthOf(dotted);
    // A top may lie below the sea; nothing else is negative.
    if (length_m >= 0 || (key === "top" && !Number.isNaN(length_m))) {
      if (typeof value === "string" && dotted !== value.trim()) {
        tell("note", "decimal-comma", `has the ${key} ${quoteValue(value)}, taken as ${length_m} m: write a dot.`);
      }
      return length_m;
    }
    const most_m = isTooLong(dotted) ? longest_m : undefined;
    const why = isTooLong(dotted) ? "is over 100 km" : "is not understood";
    const taken = most_m === undefined ? meanwhile : `${most_m} m is taken`;
    tell("warning", "bad-length", `has the ${key} ${quoteValue(value)}, which ${why}: ${taken}.`);
    return most_m;
  };
  return { name, read, warn: (code, what) => tell("warning", code, what) };
}

/** @returns the first few problems of each kind, and a count of the rest, so that a whole map can be given */
export function withoutCrowd(problems: readonly SiteProblem[], file: string): SiteProblem[] {
  const counts = new Map<string, number>();
  const told = problems.filter(({ code }) => {
    const count = (counts.get(code) ?? 0) + 1;
    counts.set(code, count);
    return count <= TOLD_MOST;
  });
  for (const [code, count] of counts) {
    const more = count - TOLD_MOST;
    const severity = problems.find((problem) => problem.code === code)?.severity;
    if (more <= 0 || severity === undefined) continue;
    const message = `${file}: ${more} more feature${more === 1 ? "" : "s"} of this kind (${code}).`;
    told.push({ severity, code, message, line: undefined });
  }
  return told;
}
