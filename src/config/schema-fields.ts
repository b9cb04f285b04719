import * as z from "zod";
import { UserError } from "../user-error.js";
import { quoted } from "./quoted.js";
import { acceptedUnits, parseQuantity, withUnit, type Dimension } from "./units.js";

/** Bounds of a quantity, in the base unit of its dimension. */
export interface Bounds {
  readonly atLeast?: number;
  readonly moreThan?: number;
  readonly atMost?: number;
  readonly under?: number;
  readonly isWhole?: boolean;
}

/** What a mistake found by `superRefine` looks like: the message is what to do, `said` replaces what was read. */
export interface Complaint {
  readonly path: (string | number)[];
  readonly message: string;
  readonly said?: string;
}

/** @returns a field that takes a quantity with its unit, or a bare number in the base unit, and gives the base unit */
export function quantity(dimension: Dimension, bounds: Bounds = {}) {
  const accepted = acceptedUnits(dimension);
  return z
    .union([z.string(), z.number()], { error: accepted })
    .describe(accepted)
    .transform((written, context): number => {
      try {
        const value = parseQuantity(written, dimension);
        if (!isWithin(value, bounds)) context.addIssue({ code: "custom", message: describeBounds(bounds, dimension) });
        return value;
      } catch (error) {
        if (!(error instanceof UserError)) throw error;
        context.addIssue({ code: "custom", message: error.hint ?? accepted, params: { said: error.message } });
        return z.NEVER;
      }
    });
}

/**
 * @param accepted what to write; by default one of the words
 * @returns a field that takes one of the words
 */
export function choice<const Words extends readonly [string, ...string[]]>(words: Words, accepted?: string) {
  const all = words.map(quoted);
  const error = accepted ?? `Write ${all.slice(0, -1).join(", ")} or ${all.at(-1)}.`;
  return z.enum(words, { error });
}

/** @returns a field that takes text that is not blank */
export function text(what: string) {
  const error = `Write ${what}.`;
  return z.string({ error }).refine((read) => read.trim() !== "", { error });
}

/** @returns a field that takes `true` or `false` */
export function flag() {
  return z.boolean({ error: "Write `true` or `false`." });
}

/**
 * @param accepted what to write; by default the first keys
 * @returns a group of keys; any other key is a mistake
 */
export function group<Shape extends z.core.$ZodLooseShape>(shape: Shape, accepted?: string) {
  const keys = Object.keys(shape);
  const some = keys.slice(0, 4).map(quoted).join(", ");
  return z.strictObject(shape, { error: accepted ?? `Write its keys: ${some}${keys.length > 4 ? ", …" : ""}.` });
}

/** @returns a check that runs even where other parts of the group are wrong: all mistakes are told at once */
export function always<T>(check: (value: T, complain: (complaint: Complaint) => void) => void): z.core.$ZodCheck<T> {
  return z.superRefine<T>(
    (value, context) => {
      check(value, ({ path, message, said }) => {
        context.addIssue({ code: "custom", path, message, params: { said } });
      });
    },
    { when: ({ value }) => typeof value === "object" && value !== null },
  );
}

/** @returns a finite number, or undefined: parts of a group that did not parse are none */
export function numberOf(value: unknown): number | undefined {
  return typeof value === "number" ? value : undefined;
}

function isWithin(value: number, { atLeast, moreThan, atMost, under, isWhole }: Bounds): boolean {
  if (isWhole === true && !Number.isInteger(value)) return false;
  return (
    value >= (atLeast ?? Number.NEGATIVE_INFINITY) &&
    value > (moreThan ?? Number.NEGATIVE_INFINITY) &&
    value <= (atMost ?? Number.POSITIVE_INFINITY) &&
    value < (under ?? Number.POSITIVE_INFINITY)
  );
}

function describeBounds({ atLeast, moreThan, atMost, under, isWhole }: Bounds, dimension: Dimension): string {
  const named = [
    ["at least", atLeast],
    ["more than", moreThan],
    ["at most", atMost],
    ["under", under],
  ] as const;
  const parts = named.flatMap(([words, bound]) =>
    bound === undefined ? [] : [`${words} ${withUnit(bound, dimension)}`],
  );
  const percent = dimension === "share" ? " A percentage takes its sign: `80 %`." : "";
  return `It must be ${isWhole === true ? "a whole number, " : ""}${parts.join(" and ")}.${percent}`;
}
