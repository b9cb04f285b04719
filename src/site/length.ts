const M_PER_FT = 0.3048;
const M_PER_IN = 0.0254;

/** Nothing that stands on the earth is so high or so wide. */
export const LONGEST_M = 100_000;

const METRES = /^([+-]?\d+(?:\.\d+)?)\s*(?:m|metres?|meters?)?$/i;
const FEET = /^([+-]?\d+(?:\.\d+)?)\s*(?:ft|feet|foot|['′])$/i;
const FEET_AND_INCHES = /^(\d+)\s*['′]\s*(\d+(?:\.\d+)?)\s*["″]$/;

/**
 * A length as map data carries it: a number of metres, or text such as `12`, `12 m`, `12m`, `40 ft`, `40'` or `7'4"`.
 * @returns m; NaN for what is none of these, a decimal comma among them, and for what is over 100 km
 */
export function lengthOf(value: unknown): number {
  const length_m = writtenLengthOf(value);
  return Math.abs(length_m) <= LONGEST_M ? length_m : Number.NaN;
}

/** @returns whether a value is a length, and over 100 km */
export function isTooLong(value: unknown): boolean {
  return writtenLengthOf(value) > LONGEST_M;
}

function writtenLengthOf(value: unknown): number {
  if (typeof value === "number") return value;
  if (typeof value !== "string") return Number.NaN;
  const text = value.trim();
  const metres = METRES.exec(text);
  if (metres !== null) return Number(metres[1]);
  const feet = FEET.exec(text);
  if (feet !== null) return Number(feet[1]) * M_PER_FT;
  const both = FEET_AND_INCHES.exec(text);
  return both === null ? Number.NaN : Number(both[1]) * M_PER_FT + Number(both[2]) * M_PER_IN;
}
