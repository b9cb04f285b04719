import { scaleUtc } from "d3-scale";
import { type Markup, markup } from "./markup.js";
import { fixed, scaleOf } from "./scales.js";
import { drawing, linePath } from "./svg.js";

const LEFT = 46;
const RIGHT = 930;
const TOP = 20;
const BOTTOM = 220;

/** The score of a flight with a date. */
export interface DatedScore {
  /** Milliseconds since 1970, UTC. */
  readonly time: number;
  readonly score: number;
  readonly verdict: keyof typeof SIGNS;
  readonly path: string;
}

/** @returns scores by date, each with a sign of its verdict; the line joins them in order */
export function scoreTrend(scores: readonly DatedScore[]): Markup {
  const dated = scores.toSorted((a, b) => a.time - b.time);
  const [first] = dated;
  const last = dated[dated.length - 1];
  if (first === undefined || last === undefined || first.time === last.time) {
    return markup`<p class="none">A trend wants at least two flights with a score and a date.</p>`;
  }
  const x = scaleUtc()
    .domain([first.time, last.time])
    .range([LEFT + 14, RIGHT - 14]);
  const y = scaleOf(0, 100, BOTTOM, TOP);
  const format = dateFormat(last.time - first.time);
  const ups = [0, 20, 40, 60, 80, 100].map(
    (value) =>
      markup`<path d="M${LEFT} ${fixed(y(value))}H${RIGHT}" /><text x="${LEFT - 8}" y="${fixed(y(value) + 4)}">${value}</text>`,
  );
  const times = x
    .ticks(8)
    .map(
      (time) =>
        markup`<g transform="translate(${fixed(x(time))} ${BOTTOM})"><line y2="5" /><text y="18">${format(time.toISOString())}</text></g>`,
    );
  const signs = dated.map(
    ({ time, score, verdict, path }) =>
      markup`<g class="sign ${verdict}" transform="translate(${fixed(x(time))} ${fixed(y(score))})"><title>${path}: ${verdict}, score ${score}</title><path d="${SIGNS[verdict]}" /></g>`,
  );
  const body = markup`<g class="grid end">${ups}</g><g class="axis middle"><path d="M${LEFT} ${BOTTOM}H${RIGHT}" />${times}</g><path class="trendline" d="${linePath(dated.map(({ time, score }) => [x(time), y(score)] as const))}" />${signs}`;
  return markup`<figure class="picture">${drawing({
    id: "trend-picture",
    height: 250,
    title: "Scores over time",
    description: `${dated.length} scores, the first ${first.score}, the last ${last.score}; every one is in the table above.`,
    body,
  })}<figcaption>Bars stand for clear, pairs of bars for thin, crosses for fail; flights without a score or a date are left out.</figcaption></figure>`;
}

const DAY_MS = 86_400_000;

/** Dates as short as the span allows, in UTC: the clock within two days, else the day. */
function dateFormat(span_ms: number): (iso: string) => string {
  return span_ms < 2 * DAY_MS ? (iso) => iso.slice(11, 16) : (iso) => iso.slice(0, 10);
}

/** Signs that differ in shape, not in colour alone. */
const SIGNS = { clear: "M-7 0H7", thin: "M-7 -3H7M-7 3H7", fail: "M-6 -6L6 6M-6 6L6 -6", unknown: "M-2 0H2" } as const;
