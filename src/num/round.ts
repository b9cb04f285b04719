/**
 * @returns `value` to a multiple of 10^-digits, never -0; null for what is not a finite number, since JSON has no other
 *   word for it
 */
export function roundTo(value: number, digits: number): number | null {
  if (!Number.isFinite(value)) return null;
  // Through text: scaling by a power of ten would round some halves the wrong way.
  return Number(value.toFixed(digits)) + 0;
}

/** @returns degrees to 1e-9 (a tenth of a millimetre), or null */
export function roundDegrees(value_deg: number): number | null {
  return roundTo(value_deg, 9);
}

/** @returns any other quantity to 1e-6, or null */
export function roundValue(value: number): number | null {
  return roundTo(value, 6);
}
