import { type Markup, markup } from "./markup.js";

/** @returns a percentage in words: an endless need is "without end", what is not known says so */
export function percentText(value_pct: number, digits = 1): string {
  if (Number.isNaN(value_pct)) return "not known";
  if (value_pct === Number.POSITIVE_INFINITY) return "without end";
  if (value_pct === Number.NEGATIVE_INFINITY) return "nothing";
  const text = value_pct.toFixed(digits);
  return `${/^-0(\.0+)?$/.test(text) ? text.slice(1) : text.replace("-", "−")} %`;
}

/** @returns a number for programs: what is not known or has no end is null, as in JSON */
export function exactText(value: number): string {
  return Number.isFinite(value) ? String(value) : "null";
}

/**
 * A number of one moment as people read it, with the very value beside it.
 * @param column its name in the table of moments
 */
export function momentDatum(at_s: number, column: string, value: number, text: string): Markup {
  return markup`<data value="${exactText(value)}" data-at="${at_s}" data-column="${column}">${text}</data>`;
}
