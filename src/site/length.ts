const M_PER_FT = 0.3048;
const M_PER_IN = 0.0254;

const METRES = /^([+-]?\d+(?:\.\d+)?)\s*(?:m|metres?|meters?)?$/i;
const FEET = /^([+-]?\d+(?:\.\d+)?)\s*(?:ft|feet|foot|['′])$/i;
const FEET_AND_INCHES = /^(\d+)\s*['′]\s*(\d+(?:\.\d+)?)\s*["″]$/;

/**
 * A length as map data carries it: a number of metres, or text such as `12`, `12 m`, `12m`, `40 ft`, `40'` or `7'4"`.
 * @returns m; NaN for what is none of these, a decimal comma among them
 */
export function lengthOf(value: unknown): number {
  if (typeof value === "number") return Number.isFinite(value) ? value : Number.NaN;
  if (typeof value !== "string") return Number.NaN;
  const text = value.trim();
  const metres = METRES.exec(text);
  if (metres !== null) return Number(metres[1]);
  const feet = FEET.exec(text);
  if (feet !== null) return Number(feet[1]) * M_PER_FT;
  const both = FEET_AND_INCHES.exec(text);
  return both === null ? Number.NaN : Number(both[1]) * M_PER_FT + Number(both[2]) * M_PER_IN;
}
