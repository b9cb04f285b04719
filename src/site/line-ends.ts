import { ON_LINE } from "./grid.js";

/** @returns share of the way at which a coordinate comes to be within 0 to `last`; above 1 where it never is. */
export function enters(from: number, step: number, last: number): number {
  if (isWithin(from, last)) return 0;
  const t = (from < 0 ? -from : last - from) / step;
  if (isWithin(from + step, last)) return Math.min(1, t);
  return t >= 0 ? t : 2;
}

/** @returns share of the way at which it ceases to be; below 0 where it never was. */
export function leaves(from: number, step: number, last: number): number {
  const to = from + step;
  if (isWithin(to, last)) return 1;
  const t = (to < 0 ? -from : last - from) / step;
  return isWithin(from, last) ? Math.max(0, t) : t;
}

function isWithin(value: number, last: number): boolean {
  return value >= -ON_LINE && value <= last + ON_LINE;
}
