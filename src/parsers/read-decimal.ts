const MINUS = 45;
const PLUS = 43;
/** Whole numbers below this are exact, and so are these powers of ten: then one division is rounded as `Number` does. */
const EXACT = 2 ** 53;
const LONGEST_NUMBER = 40;
const POWERS = Float64Array.from({ length: 23 }, (_, power) => Number(`1e${power}`));

/**
 * Reads a plain number from bytes: a sign, digits and a decimal mark, no blanks and no exponent. It is that of `Number`, bit
 * for bit. Source: W. D. Clinger, How to read floating point numbers accurately, 1990 (the exact case).
 *
 * @param mark the byte of the decimal mark; −1 if there is none
 * @param into where the number goes, at `place`: a number that is handed back would be boxed
 * @returns where the digits end; −1 if there are none, or more of them than one division can do
 */
export function readDecimal(data: Uint8Array, from: number, mark: number, into: Float64Array, place: number): number {
  let at = from;
  let byte = data[at] ?? 0;
  const isNegative = byte === MINUS;
  if (isNegative || byte === PLUS) byte = data[(at += 1)] ?? 0;
  let digits = -at;
  let value = 0;
  while (byte >= 48 && byte <= 57) {
    value = value * 10 + (byte - 48);
    byte = data[(at += 1)] ?? 0;
  }
  digits += at;
  let places = 0;
  if (byte === mark) {
    places = -(at + 1);
    byte = data[(at += 1)] ?? 0;
    while (byte >= 48 && byte <= 57) {
      value = value * 10 + (byte - 48);
      byte = data[(at += 1)] ?? 0;
    }
    places += at;
    digits += places;
  }
  if (digits === 0 || digits > LONGEST_NUMBER || value >= EXACT || places > 22) return -1;
  const scaled = places === 0 ? value : value / (POWERS[places] ?? Number.NaN);
  into[place] = isNegative ? -scaled : scaled;
  return at;
}
