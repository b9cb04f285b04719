import type { Say } from "../../rules/say.js";
import { type Markup, markup } from "./markup.js";

/** @returns a value with its unit, in the units people asked for */
export function quantity(value: number | string, unit: string, say: Say): string {
  if (typeof value === "string") return value;
  if (unit === "m") return say.length(value);
  if (unit === "m/s") return say.speed(value);
  if (unit === "%") return say.percent(value);
  if (unit === "s") return say.duration(value);
  const text = Number.isInteger(value) ? String(value) : value.toFixed(3).replace(/\.?0+$/, "");
  return unit === "1" || unit === "" ? text : `${text} ${unit}`;
}

/**
 * A number of the result as people read it, with the very value beside it for programs.
 * @param pointer where it stands in the log's entry of the JSON result (RFC 6901)
 */
export function datum(pointer: string, value: number | string | null, text: string): Markup {
  return markup`<data value="${String(value)}" data-of="${pointer}">${text}</data>`;
}

/** @returns a step of a JSON pointer, escaped as RFC 6901 §3 asks */
export function pointerStep(name: string): string {
  return name.replaceAll("~", "~0").replaceAll("/", "~1");
}
