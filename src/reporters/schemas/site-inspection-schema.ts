import { z } from "zod";
import type { SiteInspection } from "../../inspect/site-inspection.js";
import { count, file, latitude_deg, longitude_deg, number, problem, type Same, share } from "./parts.js";

const terrain = z.strictObject({
  path: z.string(),
  format: z.string(),
  projection: z.string(),
  west_deg: longitude_deg,
  south_deg: latitude_deg,
  // Over 180 where it lies across the antimeridian.
  east_deg: number,
  north_deg: latitude_deg,
  columns: z.int().min(1),
  rows: z.int().min(1),
  resolution_m: number.min(0),
  void_share: share,
});

const byDefault = z.strictObject({
  kind: z.string(),
  count,
  height_m: number,
  basis: z.enum(["declared", "assumed"]),
});

/** The JSON of a site's inspection (format_version 1). */
export const SITE_INSPECTION_SCHEMA = z.strictObject({
  format: z.literal("homeleg-site-inspection"),
  format_version: z.literal(1),
  tool_version: z.string(),
  config: z.array(file),
  terrain: z.enum(["flat", "files"]).nullable(),
  terrain_files: z.array(terrain),
  obstacles: z
    .strictObject({ files: z.array(z.string()), count, of_unknown_height: count, by_default: z.array(byDefault) })
    .nullable(),
  zones: z.strictObject({ files: z.array(z.string()), count, kinds: z.record(z.string(), count) }).nullable(),
  problems: z.array(problem),
  flights: z.array(
    z.strictObject({
      path: z.string(),
      index: z.int().min(1),
      under_share: share,
      way_home_share: share.nullable(),
      is_tied: z.boolean(),
    }),
  ),
});

/** What the command line puts before an inspection. */
type Head = Pick<z.infer<typeof SITE_INSPECTION_SCHEMA>, "format" | "format_version" | "tool_version" | "config">;

/** Fails to compile when the schema and the type drift apart. */
export const SITE_INSPECTION_MATCHES: Same<Head & SiteInspection, z.infer<typeof SITE_INSPECTION_SCHEMA>> = true;
