import { line } from "d3-shape";
import type { DrawnVerdict } from "../../pictures/picture.js";
import { Markup, markup, type Part } from "./markup.js";
import { PAGE_STYLE } from "./page-style.js";
import { fixed, WIDTH } from "./scales.js";

/** A drawing with a name and a description for those who do not see it. */
export interface Drawing {
  readonly id: string;
  readonly height: number;
  readonly title: string;
  readonly description: string;
  readonly body: Part;
  /** Names the kind of drawing, for the script that links them, with what it needs to find a place on it. */
  readonly linked?: { readonly kind: string; readonly data: Readonly<Record<string, string | number>> };
}

/** @returns an SVG image that can be scrolled to where the page is narrower than it */
export function drawing(drawn: Drawing): Markup {
  const { title, linked } = drawn;
  const data = Object.entries(linked?.data ?? {}).map(
    ([name, value]) => new Markup(` data-${name}="${markup`${value}`.text}"`),
  );
  const kind = linked === undefined ? undefined : new Markup(` data-linked="${markup`${linked.kind}`.text}"`);
  const hint = linked === undefined ? "" : " The arrow keys move the moment that all pictures show.";
  return markup`<div class="wide" tabindex="0" role="group" aria-label="${title}.${hint}"${kind}${data}>
${image(drawn)}</div>`;
}

function image({ id, height, title, description, body }: Drawing): Markup {
  return markup`<svg viewBox="0 0 ${WIDTH} ${height}" role="img" aria-labelledby="${id}-t" aria-describedby="${id}-d">
<title id="${id}-t">${title}</title><desc id="${id}-d">${description}</desc>
${body}
</svg>`;
}

/** @returns a drawing as a file of its own, light or dark as the reader's screen is */
export function standAlone(drawn: Drawing): string {
  return aloneSvg(image(drawn).text);
}

/** @returns the same for an image out of a page, from `<svg` to its end */
export function aloneSvg(svg: string): string {
  const defs = PATTERNS.text.slice(PATTERNS.text.indexOf("<defs>"), PATTERNS.text.lastIndexOf("</svg>"));
  const style = `<style>${PAGE_STYLE}svg{background:var(--sheet)}</style>`;
  return `${svg.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ').replace(">", `>${style}${defs}`)}\n`;
}

/** Points in drawing units; where one is undefined the line is broken. */
export type Points = readonly (readonly [number, number] | undefined)[];

const draw = line<readonly [number, number] | undefined>()
  .defined((point) => point !== undefined && Number.isFinite(point[0] + point[1]))
  .x((point) => point?.[0] ?? 0)
  .y((point) => point?.[1] ?? 0)
  .digits(1);

/** @returns the path data of a line, without its breaks; empty where there is nothing to draw */
export function linePath(points: Points): string {
  return draw(points) ?? "";
}

/** @returns a class for a verdict */
export function verdictClass(verdict: DrawnVerdict): string {
  return verdict === "thin?" ? "guess" : verdict === "n/a" ? "none" : verdict;
}

/** @returns a line in the look of a verdict: each differs in width and dashes, not in colour alone */
export function verdictLine(verdict: DrawnVerdict, d: string): Markup {
  const line = markup`<path class="line ${verdictClass(verdict)}" d="${d}" />`;
  // A failing line has rungs like a ladder.
  return verdict === "fail" ? markup`${line}<path class="line rungs" d="${d}" />` : line;
}

/** Hatchings, once a page; the look of each follows the page's colours. */
export const PATTERNS = new Markup(`<svg class="defs" aria-hidden="true" focusable="false"><defs>
<pattern id="h-thin" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="w-thin" width="6" height="6"/><path class="k-thin" d="M0 0V6" stroke-width="3"/></pattern>
<pattern id="h-guess" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="k-thin" d="M0 0V8" stroke-width="1.6"/></pattern>
<pattern id="h-fail" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="w-fail" width="7" height="7"/><path class="k-paper" d="M0 0V7M0 0H7" stroke-width="1.3"/></pattern>
<pattern id="h-unknown" width="7" height="7" patternUnits="userSpaceOnUse"><rect class="k-dot" x="0" y="0" width="1.6" height="1.6"/><rect class="k-dot" x="3.5" y="3.5" width="1.6" height="1.6"/></pattern>
<pattern id="h-clear" width="4" height="4" patternUnits="userSpaceOnUse"><rect class="w-clear" width="4" height="4"/></pattern>
<pattern id="h-earth" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="w-earth" width="9" height="9"/><path class="k-earth" d="M0 0V9" stroke-width="1.2"/></pattern>
<pattern id="h-solid" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="w-ink" width="6" height="6"/><path class="k-ink" d="M0 0V6M0 0H6" stroke-width="1.1"/></pattern>
<pattern id="h-need" width="10" height="10" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><rect class="w-need" width="10" height="10"/><path class="k-need" d="M0 0V10" stroke-width="1"/></pattern>
<pattern id="h-keep" width="5" height="5" patternUnits="userSpaceOnUse"><path class="k-ink" d="M0 0H5" stroke-width="1"/></pattern>
<pattern id="h-zone" width="11" height="11" patternUnits="userSpaceOnUse" patternTransform="rotate(20)"><path class="k-earth" d="M0 0H11" stroke-width="1"/></pattern>
<pattern id="h-climb" width="4" height="4" patternUnits="userSpaceOnUse"><rect class="w-ink" width="4" height="4"/><path class="k-ink" d="M0 0V4" stroke-width="1.6"/></pattern>
<pattern id="h-transit" width="4" height="4" patternUnits="userSpaceOnUse"><rect class="w-need" width="4" height="4"/><path class="k-need" d="M0 0H4" stroke-width="1.6"/></pattern>
<pattern id="h-descent" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="w-ink" width="5" height="5"/><path class="k-ink" d="M0 0V5" stroke-width="1.6"/></pattern>
<pattern id="h-landing" width="4" height="4" patternUnits="userSpaceOnUse"><rect class="k-dot" width="4" height="4"/></pattern>
</defs></svg>`);

/** The survey marks of this program: a stake for the recovery point, a staff for the operator, a peg for take-off. */
export const MARKS = {
  stake: "M0 0V-20M-6 -15H6M-4 -10H4M-5 0H5",
  staff: "M0 0V-10L-6 -18M0 -10L6 -18M-3 0H3",
  peg: "M-7 0H7M0 0V-11",
  lozenge: "M0 -9L7 0L0 9L-7 0ZM0 -15V-9M0 9V15M-13 0H-7M7 0H13",
  saltire: "M-4.5 -4.5L4.5 4.5M-4.5 4.5L4.5 -4.5",
} as const;

/** @returns a survey mark at a place, drawn over a halo of paper so that it stands off what is under it */
export function mark(kind: keyof typeof MARKS, x: number, y: number, extra = ""): Markup {
  const d = MARKS[kind];
  return markup`<g class="mark ${kind} ${extra}" transform="translate(${fixed(x)} ${fixed(y)})"><path class="halo" d="${d}" /><path d="${d}" /></g>`;
}

/** @returns a numbered tag: a square with a corner cut, for the worst moment of a finding */
export function tag(number: number, x: number, y: number): Markup {
  return markup`<g class="tag" transform="translate(${fixed(x)} ${fixed(y)})"><path d="M-10 -9H6L11 -4V9H-10Z" /><text y="4.5">${number}</text></g>`;
}

/** Labels at the end of lines, moved apart so that none lies on another. */
export function apartLabels<T extends { readonly y: number }>(
  labels: readonly T[],
  least: number,
  low: number,
  high: number,
): T[] {
  const sorted = [...labels]
    .sort((a, b) => a.y - b.y)
    .map((label) => ({ ...label, y: Math.min(high, Math.max(low, label.y)) }));
  for (let i = 1; i < sorted.length; i += 1) {
    const before = sorted[i - 1];
    const here = sorted[i];
    if (before !== undefined && here !== undefined) sorted[i] = { ...here, y: Math.max(here.y, before.y + least) };
  }
  for (let i = sorted.length - 1; i >= 0; i -= 1) {
    const here = sorted[i];
    const limit = (sorted[i + 1]?.y ?? high + least) - least;
    if (here !== undefined && here.y > limit) sorted[i] = { ...here, y: limit };
  }
  return sorted;
}
