import { xmlText } from "../escape/xml-text.js";

/** Text that is already safe to stand in a page. Only `markup` makes it out of anything else. */
export class Markup {
  readonly text: string;

  /** @param text markup written in this program, never text from a log or a file */
  constructor(text: string) {
    this.text = text;
  }
}

/** What can be put into a template: text is escaped, markup stands as it is, nothing is left out. */
export type Part = string | number | Markup | undefined | readonly Part[];

/**
 * The one way from any text into a page, for content and for quoted attributes alike.
 * @returns the text with what HTML or SVG would act on as entities, and what the eye cannot see made visible
 */
export function escapeText(text: string): string {
  return xmlText(text).replaceAll("`", "&#96;");
}

/** A template whose every value is escaped unless it is markup itself. */
export function markup(strings: TemplateStringsArray, ...parts: readonly Part[]): Markup {
  return new Markup(strings.reduce((text, literal, i) => text + textOf(parts[i - 1]) + literal));
}

function textOf(part: Part): string {
  if (part === undefined) return "";
  if (part instanceof Markup) return part.text;
  if (typeof part === "object") return part.map(textOf).join("");
  return escapeText(String(part));
}

/** @returns a data block for a script of the page: numbers and words of ours, and no sign that could end the block */
export function jsonBlock(id: string, value: unknown): Markup {
  const text = JSON.stringify(value).replace(/[<>&\u2028\u2029]/g, (sign) => {
    return `\\u${(sign.codePointAt(0) ?? 0).toString(16).padStart(4, "0")}`;
  });
  return new Markup(`<script type="application/json" id="${escapeText(id)}">${text}</script>`);
}
