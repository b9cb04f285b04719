import { z } from "zod";
import type { RehearsalResult } from "../../score/rehearsal-result.js";
import { drain, inputs, latitude_deg, longitude_deg, number, position, type Same, seconds } from "./parts.js";

const known = number.nullable();
const verdict = z.enum(["clear", "thin", "fail", "unknown", "n/a"]);

/** The JSON of a rehearsal (format_version 1). */
export const REHEARSAL_SCHEMA = z.strictObject({
  format: z.literal("homeleg-rehearsal"),
  format_version: z.literal(1),
  path: z.string(),
  flight: z.int().min(1),
  at_s: seconds,
  at_utc: z.iso.datetime().nullable(),
  at_hand: z.boolean(),
  from: position.nullable(),
  recovery_point: position.nullable(),
  height_m: known,
  leg_height_m: known,
  distance_m: number.min(0).nullable(),
  battery_pct: known,
  wind: z.strictObject({ speed_ms: number.min(0).nullable(), from_deg: known, basis: z.string() }),
  phases: z.array(
    z.strictObject({
      phase: z.enum(["delay", "climb", "transit", "descent", "landing"]),
      start_s: known,
      duration_s: number.min(0).nullable(),
      distance_m: number.min(0).nullable(),
      height_m: known,
      ground_speed_ms: known,
      energy_pct: number.min(0).nullable(),
    }),
  ),
  need_pct: z.strictObject({
    middle: number.min(0).nullable(),
    upper: number.min(0).nullable(),
    upper_is: z.enum(["level", "bound"]),
    reason: z.literal("no_headway").exactOptional(),
  }),
  touchdown_pct: z.strictObject({ middle: known, upper: known }),
  clearance: z
    .strictObject({
      centre_m: known,
      corridor_m: known,
      latitude_deg: latitude_deg.nullable(),
      longitude_deg: longitude_deg.nullable(),
      over: z.string(),
      along_m: number.min(0).nullable(),
    })
    .nullable(),
  limits: z.strictObject({
    touchdown_floor_pct: number,
    touchdown_reserve_pct: number,
    clearance_m: number,
    corridor_m: number,
  }),
  verdicts: z.record(z.string(), verdict),
  reasons: z.record(z.string(), z.string()),
  profile: z
    .strictObject({
      along_m: z.array(known),
      ground_m: z.array(known),
      obstacle_top_m: z.array(known),
      obstacle_unknown: z.array(z.boolean()),
    })
    .nullable(),
  inputs,
  drain,
  tool_version: z.string(),
});

/** Fails to compile when the schema and the type drift apart. */
export const REHEARSAL_MATCHES: Same<
  RehearsalResult & { readonly tool_version: string },
  z.infer<typeof REHEARSAL_SCHEMA>
> = true;
