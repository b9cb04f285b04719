import { type Markup, markup, type Part } from "./markup.js";

/** A numbered part of a page: its id without the suffix, its heading, what it holds. */
export type Section = readonly [id: string, title: string, content: Part];

/**
 * @param suffix of the ids, where a page has such parts more than once
 * @returns parts of a page under headings with numbers
 */
export function sections(parts: readonly Section[], suffix: string = ""): Markup[] {
  return parts.map(
    ([part, title, content], i) =>
      markup`<section aria-labelledby="${part}${suffix}"><h3 id="${part}${suffix}"><span class="no" aria-hidden="true">${i + 1}</span>${title}</h3>${content}</section>`,
  );
}

/** @returns facts as a list of terms, each with its value */
export function facts(rows: readonly (readonly [string, Part])[]): Markup {
  return markup`<dl class="facts">${rows.map(([what, value]) => markup`<div><dt>${what}</dt><dd>${value}</dd></div>`)}</dl>`;
}
