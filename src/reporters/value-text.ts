import type { Say } from "../rules/say.js";

/** Speeds that go up or down: in imperial units the trade gives them in feet a minute, winds and air speeds in knots. */
const VERTICAL = /^aircraft\.speeds\.(climb|descent|landing)$/;

/**
 * @param path in homeleg.yaml, which says what kind of speed a speed is
 * @returns a number taken as given, in the units of the prose
 */
export function valueText(path: string, value: number, unit: string, say: Say): string {
  if (unit === "m") return say.length(value);
  if (unit === "m/s") return VERTICAL.test(path) ? say.climb(value) : say.speed(value);
  const text = Number.isInteger(value) ? String(value) : value.toFixed(3).replace(/0+$/, "");
  return unit === "1" || unit === "" ? text : `${text} ${unit}`;
}
