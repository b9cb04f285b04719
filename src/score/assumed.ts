import type { FlightResult } from "./result.js";

/** @returns paths of homeleg.yaml whose values were assumed, since neither the log nor the settings say them */
export function assumedPaths({ inputs, drain }: Pick<FlightResult, "inputs" | "drain">): string[] {
  const paths = Object.entries(inputs).flatMap(([path, { basis }]) => (basis === "assumed" ? [path] : []));
  return drain.basis === "assumed" ? [...paths, "aircraft.drain"] : paths;
}
