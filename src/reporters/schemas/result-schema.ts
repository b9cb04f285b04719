import { z } from "zod";
import type { RunResult } from "../../score/result.js";
import {
  basis,
  count,
  drain,
  file,
  inputs,
  latitude_deg,
  longitude_deg,
  number,
  position,
  problem,
  type Same,
  seconds,
  sha256,
  share,
} from "./parts.js";

const verdict = z.enum(["thin", "fail"]);

const finding = z.strictObject({
  rule: z.string(),
  verdict,
  episode: z.int().min(1),
  start_s: seconds,
  end_s: seconds,
  duration_s: seconds,
  decided_by: basis,
  by_assumption_alone: z.boolean(),
  related: z.array(z.string()),
  worst: z.strictObject({
    at_s: seconds,
    latitude_deg: latitude_deg.nullable(),
    longitude_deg: longitude_deg.nullable(),
    height_m: number.nullable(),
    value: number.nullable(),
    limit: number.nullable(),
    unit: z.string(),
  }),
  message: z.string(),
  advice: z.string(),
  evidence: z.record(z.string(), z.union([number, z.string()]).nullable()),
});

const recoveryFlown = z.strictObject({
  start_s: seconds,
  end_s: seconds,
  basis,
  ended: z.enum(["landed", "taken-over", "record-ends"]),
  predicted: z.strictObject({
    time_s: number.nullable(),
    need_middle_pct: number.nullable(),
    need_upper_pct: number.nullable(),
    height_m: number.nullable(),
  }),
  actual: z.strictObject({
    time_s: seconds,
    used_pct: number.nullable(),
    height_m: number.nullable(),
    ended_m_from_point: number.min(0).nullable(),
    path_ratio: number.min(0).nullable(),
  }),
});

const flight = z.strictObject({
  index: z.int().min(1),
  start_utc: z.iso.datetime().nullable(),
  start_s: seconds,
  end_s: seconds,
  airborne_s: seconds,
  distance_flown_m: number.min(0).nullable(),
  farthest_m: number.min(0).nullable(),
  highest_m: number.nullable(),
  battery_start_pct: number.nullable(),
  battery_end_pct: number.nullable(),
  recovery_point: position.extend({ basis, set_at_s: seconds }).nullable(),
  recovery_point_moves: z.array(position.extend({ at_s: seconds })),
  inputs,
  drain,
  drain_fitted: drain.nullable(),
  upper_is: z.enum(["level", "bound"]),
  score: z.int().min(0).max(100).nullable(),
  share_part: number.min(0).max(100).nullable(),
  conduct_part: number.min(0).max(100).nullable(),
  points_lost: z.record(z.string(), number.min(0)),
  recoverable_share: share.nullable(),
  fail_s: seconds,
  thin_s: seconds,
  coverage: z.strictObject({ share, rules: z.record(z.string(), share.nullable()) }),
  turnback: z
    .strictObject({ passed: z.boolean(), last_safe_s: seconds.nullable(), outbound_after_s: seconds })
    .nullable(),
  recoveries_flown: z.array(recoveryFlown),
  findings: z.array(finding),
  not_assessed: z.array(z.strictObject({ rule: z.string(), missing: z.array(z.string()), share })),
  coverage_hints: z.array(z.string()),
  strip: z.array(z.enum(["clear", "thin", "fail", "unknown"])),
});

const log = z.strictObject({
  path: z.string(),
  sha256,
  bytes: count,
  parser: z.enum(["csv", "gpx"]).nullable(),
  rows: count,
  rows_rejected: count,
  channels: z.record(z.string(), z.strictObject({ source: z.string(), unit: z.string(), filled_share: share })),
  problems: z.array(problem),
  declared_not_used: z.array(z.string()),
  flights: z.array(flight),
});

const shard = z.strictObject({
  index: z.int().min(1),
  count: z.int().min(1),
  logs: count,
  positions: z.array(count),
  left_out: z.array(z.strictObject({ position: count, path: z.string() })),
  config_positions: z.array(count),
  gate: z.strictObject({
    verdict,
    min_score: number.nullable(),
    min_coverage: share.nullable(),
  }),
});

/** The JSON result (format_version 1), from which docs/result.schema.json is made. */
export const RUN_SCHEMA = z.strictObject({
  format: z.literal("homeleg-result"),
  format_version: z.literal(1),
  tool_version: z.string(),
  config: z.array(file),
  logs: z.array(log),
  summary: z.strictObject({
    logs: count,
    logs_unreadable: count,
    flights: count,
    airborne_s: seconds,
    score_min: z.int().nullable(),
    score_median: number.nullable(),
    fail_s: seconds,
    findings: count,
    gate: z.strictObject({
      passed: z.boolean(),
      reasons: z.array(z.strictObject({ code: z.string(), message: z.string() })),
    }),
  }),
  shard: shard.exactOptional(),
});

/** Fails to compile when the schema and the types of the result drift apart. */
export const SCHEMA_MATCHES_TYPES: Same<RunResult, z.infer<typeof RUN_SCHEMA>> = true;
