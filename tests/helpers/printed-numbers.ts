import { expect } from "vitest";
import { pointedAt, unescaped } from "./pages.js";

/** Numbers of the result on a page: where each stands in the JSON, its value there, and the words. */
export function numbersOf(page: string): { pointer: string; value: string; text: string }[] {
  const inText = [...page.matchAll(/<data value="([^"]*)" data-of="([^"]*)">([^<]*)<\/data>/g)].map(
    ([, value = "", pointer = "", text = ""]) => ({ pointer, value, text }),
  );
  const inPictures = [...page.matchAll(/data-of="([^"]*)" data-value="([^"]*)">([^<]*)</g)].map(
    ([, pointer = "", value = "", text = ""]) => ({ pointer, value, text }),
  );
  return [...inText, ...inPictures].map(({ pointer, value, text }) => ({
    pointer: unescaped(pointer),
    value: unescaped(value),
    text: unescaped(text),
  }));
}

/** Reads a number as the page prints it, and how far from the true one it may be. */
export function readBack(text: string): { value: number; within: number } | undefined {
  const clock = /^(?:(\d+):)?(\d+):(\d\d)$/.exec(text);
  if (clock !== null) {
    return { value: Number(clock[1] ?? 0) * 3600 + Number(clock[2]) * 60 + Number(clock[3]), within: 1 };
  }
  const lasts = /^(\d+) min (\d\d) s$/.exec(text);
  if (lasts !== null) return { value: Number(lasts[1]) * 60 + Number(lasts[2]), within: 0.5 };
  const number = /^-?\d+(?:\.(\d+))?/.exec(text);
  if (number === null) return undefined;
  return { value: Number(number[0]), within: 0.5 * 10 ** -(number[1]?.length ?? 0) + 1e-9 };
}

/** Holds every number on a page to the JSON that it is of: the very value beside it, and what people read. */
export function expectNumbersOf(page: string, json: unknown): void {
  for (const { pointer, value, text } of numbersOf(page)) {
    const wanted = pointedAt(json, pointer);
    expect(wanted, pointer).not.toBeUndefined();
    expect(value, pointer).toBe(String(wanted));
    const read = readBack(text);
    if (typeof wanted !== "number" || read === undefined) continue;
    const { scale, within } = printedAs(pointer, text);
    expect(Math.abs(read.value - wanted * scale), `${pointer} ${text}`).toBeLessThanOrEqual(within ?? read.within);
  }
}

/** Numbers that are printed in another unit than the JSON has, some of them rounded down or to whole days. */
function printedAs(pointer: string, text: string): { scale: number; within?: number } {
  const isRequirement = /\/requirements\/\d+\/(required|found)$/.test(pointer);
  if (text.endsWith("%") && (isRequirement || /share$|\/coverage(\/rules\/|$)/.test(pointer))) {
    return { scale: 100, within: 1 };
  }
  if (/^[\d.]+ min$/.test(text)) return { scale: pointer.endsWith("_s") ? 1 / 60 : 1, within: 0.1 };
  if (isRequirement && / days?$/.test(text)) return { scale: 1 / 86_400, within: 1 };
  return { scale: 1 };
}
