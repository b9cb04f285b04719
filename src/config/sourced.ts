import type { Basis } from "./declared.js";

/** A value with what it rests on: printed with every report, so that nothing is taken as given in silence. */
export interface Sourced<T> {
  readonly value: T;
  readonly basis: Basis;
  /** Where it came from, for people: `homeleg.yaml:14`, `column battery_pct`, `project default`. */
  readonly from: string;
}

/** One line of "taken as given": an input of the audit as the JSON result shows it. */
export interface InputRecord {
  readonly value: number | string;
  readonly unit: string;
  readonly basis: Basis;
  readonly from: string;
}

const ORDER: readonly Basis[] = ["measured", "declared", "fitted", "inferred", "assumed"];

/** @returns the weakest of the bases; `measured` for none */
export function weakest(bases: readonly Basis[]): Basis {
  return ORDER[Math.max(0, ...bases.map((basis) => ORDER.indexOf(basis)))] ?? "assumed";
}
