import { z } from "zod";

// What several outputs have in common.
export const number = z.number();
export const count = z.int().min(0);
export const share = z.number().min(0).max(1);
export const seconds = z.number().min(0);
export const basis = z.enum(["measured", "declared", "fitted", "inferred", "assumed"]);
export const latitude_deg = z.number().min(-90).max(90);
export const longitude_deg = z.number().min(-180).max(180);
export const sha256 = z.string().regex(/^[0-9a-f]{64}$/);

export const problem = z.strictObject({
  severity: z.enum(["error", "warning", "note"]),
  code: z.string(),
  message: z.string(),
  line: z.int().min(1).nullable(),
});

export const drain = z.strictObject({
  basis,
  from: z.string(),
  hover_pct_per_min: number.min(0),
  climb_pct_per_min: number.min(0),
  cruise_pct_per_min: number.min(0),
  descent_pct_per_min: number.min(0),
  spread_pct: number.min(0),
});

/** Of the regimes, in % of the battery a minute, and the like: what was taken as given. */
export const inputs = z.record(
  z.string(),
  z.strictObject({ value: z.union([number, z.string()]), unit: z.string(), basis, from: z.string() }),
);

export const position = z.strictObject({ latitude_deg, longitude_deg });

export const file = z.strictObject({ path: z.string(), sha256 });

/** True where a schema and the type of an output are the same; else a compile error where it is declared. */
export type Same<A, B> = [Mutable<A>] extends [B] ? ([B] extends [Mutable<A>] ? true : false) : false;
type Mutable<T> = { -readonly [K in keyof T]: Mutable<T[K]> };

/** @returns JSON Schema (draft 2020-12) of an output */
export function jsonSchemaOf(name: string, schema: z.ZodType): unknown {
  return { $id: `homeleg-${name}-1`, title: `homeleg ${name.replaceAll("-", " ")}`, ...z.toJSONSchema(schema) };
}
