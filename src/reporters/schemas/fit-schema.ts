import { z } from "zod";
import type { AircraftFit } from "../../fit/aircraft-fit.js";
import { count, file, number, type Same, seconds } from "./parts.js";

const rate = z.strictObject({
  pct_per_min: number,
  deviation_pct_per_min: number.min(0),
  time_s: seconds,
  is_tied: z.boolean(),
});

const speed = z.strictObject({ speed_ms: number, flights: count, least_ms: number, most_ms: number }).nullable();

const check = z.strictObject({
  logs: z.array(
    z.strictObject({
      path: z.string(),
      flown_pct: number,
      predicted_pct: number,
      upper_pct: number,
      difference_pct: number,
      is_within_upper: z.boolean(),
    }),
  ),
  bias_pct: number,
  deviation_pct: number.min(0).nullable(),
  within_upper: count,
  level_pct: number,
});

/** The JSON of a fit (format_version 1). */
export const FIT_SCHEMA = z.strictObject({
  format: z.literal("homeleg-fit"),
  format_version: z.literal(1),
  tool_version: z.string(),
  config: z.array(file),
  logs: z.array(
    z.strictObject({
      path: z.string(),
      flights: count,
      airborne_s: seconds,
      flown_pct: number.nullable(),
      predicted_pct: number.nullable(),
      difference_pct: number.nullable(),
      problem: z.strictObject({ code: z.string(), message: z.string() }).nullable(),
    }),
  ),
  flights: count,
  airborne_s: seconds,
  fitted_s: seconds,
  first_utc: z.iso.datetime().nullable(),
  last_utc: z.iso.datetime().nullable(),
  drain: z.strictObject({ hover: rate, climb: rate, cruise: rate, descent: rate }).nullable(),
  spread_pct: number.min(0).nullable(),
  spread_seen_pct: number.min(0).nullable(),
  speeds: z.strictObject({ recovery: speed, climb: speed, descent: speed }),
  disagreement: z
    .strictObject({
      kind: z.enum(["log-apart", "two-groups", "too-wide"]),
      leave_out: z.array(z.string()),
      message: z.string(),
    })
    .nullable(),
  check: check.nullable(),
});

/** What the command line puts before a fit. */
type Head = Pick<z.infer<typeof FIT_SCHEMA>, "format" | "format_version" | "tool_version" | "config">;

/** Fails to compile when the schema and the type drift apart. */
export const FIT_MATCHES: Same<Head & AircraftFit, z.infer<typeof FIT_SCHEMA>> = true;
