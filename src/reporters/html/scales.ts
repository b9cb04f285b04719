import { ticks } from "d3-array";
import { type ScaleLinear, scaleLinear } from "d3-scale";
import { clock } from "../../rules/say.js";
import { Markup, markup } from "./markup.js";

/** Points of a drawing; all are this wide. */
export const WIDTH = 960;

/** A straight scale from values to points. */
export type Scale = ScaleLinear<number, number>;

/** Lengths as the reader asked for them: values stay in metres, ticks fall on whole feet where feet were asked for. */
export interface LengthUnit {
  readonly unit: "m" | "ft";
  readonly perUnit_m: number;
}

/** @returns the unit of lengths on axes */
export function lengthUnit(units: "metric" | "imperial"): LengthUnit {
  return units === "metric" ? { unit: "m", perUnit_m: 1 } : { unit: "ft", perUnit_m: 0.3048 };
}

/** @returns a number for an attribute: one decimal is finer than a screen, and short */
export function fixed(value: number): string {
  const text = value.toFixed(1).replace(/\.0$/, "");
  return text === "-0" ? "0" : text;
}

/** @returns a linear scale */
export function scaleOf(from: number, to: number, start: number, end: number): Scale {
  return scaleLinear().domain([from, to]).range([start, end]);
}

/** Steps of time that people count in, s. */
const TIME_STEPS_S = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14_400, 43_200, 86_400];

/** @returns round times within a span, about `count` of them */
export function timeTicks(from_s: number, to_s: number, count: number): number[] {
  const step_s = TIME_STEPS_S.find((step) => (to_s - from_s) / step <= count) ?? 86_400;
  const first = Math.ceil(from_s / step_s);
  const last = Math.floor(to_s / step_s);
  return Array.from({ length: Math.min(200, Math.max(0, last - first + 1)) }, (_, i) => (first + i) * step_s);
}

/** @returns round lengths within a span as metres with their words */
export function lengthTicks(
  from_m: number,
  to_m: number,
  count: number,
  { perUnit_m }: LengthUnit,
): { value_m: number; text: string }[] {
  return ticks(from_m / perUnit_m, to_m / perUnit_m, count).map((value) => ({
    value_m: value * perUnit_m,
    text: String(Number(value.toFixed(6))).replace("-", "−"),
  }));
}

/** @returns the axis of time along the bottom of a drawing */
export function timeAxis(x: Scale, y: number): Markup {
  const [from_s = 0, to_s = 0] = x.domain();
  const marks = timeTicks(from_s, to_s, 12).map(
    (at_s) =>
      markup`<g transform="translate(${fixed(x(at_s))} ${fixed(y)})"><line y2="5" /><text y="18">${clock(at_s)}</text></g>`,
  );
  const [left = 0, right = 0] = x.range();
  return markup`<g class="axis middle"><path d="M${fixed(left)} ${fixed(y)}H${fixed(right)}" />${marks}</g>`;
}
