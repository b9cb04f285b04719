import { z } from "zod";
import type { SiteAdvice } from "../../advise/advice.js";
import { basis, count, number, position, type Same, seconds } from "./parts.js";

const place = position.extend({
  log: z.string().nullable(),
  flight: z.int().min(1).nullable(),
  at_s: seconds.nullable(),
});

const height = z.strictObject({
  status: z.enum(["safe", "partly", "none", "unknown"]),
  set_m: number.nullable(),
  least_m: number.nullable(),
  counts_from: z.enum(["recovery-point", "take-off"]),
  clearance_m: number,
  dictated_by: z.strictObject({ over: z.string(), at: position, from: place }).nullable(),
  over_ground: z
    .strictObject({ most_m: number, legal_m: number, is_legal: z.boolean(), at: position, from: place })
    .nullable(),
  was_m: number.nullable(),
  asked: count,
  unseen: count,
  unseen_from: place.nullable(),
  knows_obstacles: z.boolean(),
});

const turnback = z.strictObject({
  reserve_pct: number,
  upper_pct: number,
  leg_height_m: number,
  wind: z.strictObject({ basis, text: z.string() }),
  drain_basis: basis,
  upper_is: z.enum(["level", "bound"]),
  rows: z.array(
    z.strictObject({
      distance_m: number.min(0),
      cells: z.array(
        z.strictObject({
          direction: z.string(),
          upper_pct: number.nullable(),
          middle_pct: number.nullable(),
          reason: z.enum(["no_headway", "over_full"]).nullable(),
        }),
      ),
    }),
  ),
});

/** The JSON of advice for a site (format_version 1). */
export const ADVICE_SCHEMA = z.strictObject({
  format: z.literal("homeleg-advice"),
  format_version: z.literal(1),
  flights: z.array(z.strictObject({ log: z.string(), flight: z.int().min(1), farthest_m: number.min(0).nullable() })),
  recovery_point: position.extend({ basis }).nullable(),
  radius_m: number.min(0).nullable(),
  recovery_height: height,
  turnback: turnback.nullable(),
  lost_link: z.strictObject({
    declared: z.enum(["return", "land", "hold"]).nullable(),
    elsewhere: z.strictObject({ action: z.literal("return").nullable(), why: z.string() }),
    zones_declared: z.boolean(),
    zones: z.array(
      z.strictObject({ name: z.string(), zone: z.string(), action: z.enum(["return", "hold"]), why: z.string() }),
    ),
  }),
  wants: z.array(z.strictObject({ label: z.string(), yaml: z.string().nullable() })),
  tool_version: z.string(),
});

/** Fails to compile when the schema and the type drift apart. */
export const ADVICE_MATCHES: Same<SiteAdvice & { readonly tool_version: string }, z.infer<typeof ADVICE_SCHEMA>> = true;
