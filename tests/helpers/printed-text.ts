import { expect } from "vitest";

/** A value that a printed number may stand for: in SI, or a test of the text where it is printed in a way of its own. */
export type Wanted = number | ((text: string) => boolean);

const FACTORS: Readonly<Record<string, number>> = {
  ft: 0.3048,
  kt: 1852 / 3600,
  "ft/min": 0.3048 / 60,
  min: 60,
};

/** @returns a printed quantity in SI, and how far from the true one it may be by its rounding; undefined for none */
export function quantityOf(text: string): { value: number; within: number } | undefined {
  const clock = /^(?:(\d+):)?(\d+):(\d\d)$/.exec(text);
  if (clock !== null) {
    // Rounded down.
    const value = Number(clock[1] ?? 0) * 3600 + Number(clock[2]) * 60 + Number(clock[3]) + 0.5;
    return { value, within: 0.5 + 1e-6 };
  }
  const lasts = /^(\d+) min (\d\d) s$/.exec(text);
  if (lasts !== null) return { value: Number(lasts[1]) * 60 + Number(lasts[2]), within: 0.5 };
  const number = /^(-?\d+(?:\.(\d+))?)(?: (.+))?$/.exec(text);
  if (number === null) return undefined;
  const factor = FACTORS[number[3] ?? ""] ?? 1;
  const within = 0.5 * 10 ** -(number[2]?.length ?? 0) + 1e-9;
  return { value: Number(number[1]) * factor, within: within * factor };
}

/** @returns a test of a whole percentage that is rounded down, of a share */
export const floored =
  (share: number): Wanted =>
  (text) =>
    text === `${Math.floor(share * 100)} %`;

/**
 * The words of a report, from which is taken what was held to the JSON. What is left at the end may hold no digit: so every
 * number was held to something.
 */
export class PrintedText {
  #rest: string;

  constructor(text: string) {
    this.#rest = ` ${text.replaceAll(/\s+/g, " ")} `;
  }

  /** Takes out sentences that are the JSON's own; those not printed are passed over. */
  words(...sentences: readonly string[]): void {
    const collapsed = sentences.map((one) => one.replaceAll(/\s+/g, " ").trim()).filter((one) => one.length > 1);
    for (const one of collapsed.toSorted((a, b) => b.length - a.length)) this.#rest = this.#rest.replaceAll(one, "¶");
  }

  /**
   * Takes out every match of a pattern; the numbers in its groups must all be those of one of the candidates.
   * @param candidates values in the order of the groups; of a group that did not match nothing is asked
   * @returns how many there were
   */
  numbers(pattern: RegExp, ...candidates: readonly (readonly Wanted[])[]): number {
    let count = 0;
    this.#rest = this.#rest.replaceAll(new RegExp(pattern, "g"), (found: string, ...groups: unknown[]) => {
      const printed = groups.slice(
        0,
        groups.findIndex((one) => typeof one === "number"),
      );
      const agrees = candidates.some((wanted) => printed.every((text, i) => agree(text, wanted[i])));
      expect(agrees, `"${found.trim()}" is none of ${JSON.stringify(candidates)}`).toBe(true);
      count += 1;
      return "¶";
    });
    return count;
  }

  /** Every number was taken. */
  done(): void {
    expect(/.{0,60}\d.{0,60}/.exec(this.#rest)?.[0]).toBeUndefined();
  }
}

function agree(text: unknown, wanted: Wanted | undefined): boolean {
  if (typeof text !== "string") return true;
  if (typeof wanted === "function") return wanted(text.trim());
  const read = quantityOf(text.trim());
  return read !== undefined && wanted !== undefined && Math.abs(read.value - wanted) <= read.within;
}

/** @returns the pattern of a text as it stands */
export function literally(text: string): string {
  return text.replaceAll(/[.*+?^${}()|[\]\\]/g, String.raw`\$&`);
}
