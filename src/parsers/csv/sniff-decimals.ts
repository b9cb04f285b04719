import { cleanText } from "../clean-text.js";
import type { Decimals } from "../cell-readers.js";

/** A comma that cannot stand between thousands: `12,5`, `0,125`, `1234,567`, `1.234,5`. */
const COMMA = /^[-+]?(?:\d+,(?!\d{3}$)\d+|0\d*,\d+|\d{4,},\d+|\d{1,3}(?:\.\d{3})+,\d+)$/;
/** A point that cannot stand between thousands: `12.5`, `0.125`, `1234.567`, `1,234.5`. */
const POINT = /^[-+]?(?:\d+\.(?!\d{3}$)\d+|0\d*\.\d+|\d{4,}\.\d+|\d{1,3}(?:,\d{3})+\.\d+)$/;
const EITHER_COMMA = /^[-+]?\d{1,3},\d{3}$/;
const EITHER_POINT = /^[-+]?\d{1,3}\.\d{3}$/;

/**
 * Tells the decimal mark from the cells of a sample.
 *
 * @returns `mixed` if some cells need a comma and others a point; cells such as `1,234` alone are decimals where the
 *   delimiter shows that commas are (a semicolon or a tab), else thousands
 */
export function sniffDecimals(sample: readonly (readonly string[])[], delimiter: string): Decimals {
  const seen = { comma: false, point: false, eitherComma: false, eitherPoint: false };
  for (const row of sample) {
    for (const cell of row) {
      // Of cells with a point alone the first is enough.
      if (!cell.includes(",") && (seen.point || !cell.includes("."))) continue;
      const text = cleanText(cell);
      seen.comma ||= COMMA.test(text);
      seen.point ||= POINT.test(text);
      seen.eitherComma ||= EITHER_COMMA.test(text);
      seen.eitherPoint ||= EITHER_POINT.test(text);
    }
  }
  if (seen.comma) return seen.point ? "mixed" : "comma";
  if (seen.point || seen.eitherPoint) return "point";
  return seen.eitherComma && delimiter !== "," ? "comma" : "point";
}
