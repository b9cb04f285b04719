import { supportsColor } from "chalk";
import type { TextOptions } from "../index.js";

/** What the command line says about the look of a text report. */
export interface LookFlags {
  readonly units: "metric" | "imperial";
  readonly color: "auto" | "always" | "never";
  readonly ascii?: boolean;
  readonly quiet?: boolean;
  readonly explainScore?: boolean;
}

const WIDTH_PIPED = 80;
const WIDTH_MOST = 110;
const WIDTH_LEAST = 40;

/** @returns the look: colour only on a terminal and never against `NO_COLOR`, the terminal's own width up to 110 */
export function lookOf(flags: LookFlags, isToTerminal: boolean): TextOptions {
  const columns = isToTerminal ? (process.stdout.columns ?? WIDTH_PIPED) : WIDTH_PIPED;
  return {
    color: colorLevel(flags.color, isToTerminal),
    ascii: flags.ascii ?? false,
    width: Math.max(WIDTH_LEAST, Math.min(WIDTH_MOST, columns)),
    units: flags.units,
    quiet: flags.quiet ?? false,
    explainScore: flags.explainScore ?? false,
  };
}

function colorLevel(when: LookFlags["color"], isToTerminal: boolean): TextOptions["color"] {
  if (when === "always") return 3;
  const isUnwanted = (process.env["NO_COLOR"] ?? "") !== "";
  if (when === "never" || isUnwanted || !isToTerminal) return 0;
  return supportsColor === false ? 0 : supportsColor.level;
}
