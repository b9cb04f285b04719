import { z } from "zod";
import type { SignoffRecord } from "../../score/signoff-record.js";
import { count, file, number, position, type Same, seconds, sha256, share } from "./parts.js";

const flight = z.strictObject({
  index: z.int().min(1),
  start_utc: z.iso.datetime().nullable(),
  airborne_s: seconds,
  score: z.int().min(0).max(100).nullable(),
  coverage: share,
  must_be_clear: z.record(z.string(), z.enum(["clear", "thin", "fail", "unknown", "n/a"])),
  findings: z.array(z.strictObject({ rule: z.string(), verdict: z.enum(["thin", "fail"]), duration_s: seconds })),
  assumed: z.array(z.string()),
  copy_of: z.string().nullable(),
  met: z.boolean(),
});

const requirement = z.strictObject({
  id: z.enum([
    "logs-read",
    "flights",
    "minutes",
    "score",
    "coverage",
    "must-be-clear",
    "within",
    "sites",
    "site-minutes",
  ]),
  rule: z.string().nullable(),
  required: number,
  found: number.nullable(),
  unit: z.string(),
  met: z.boolean(),
  message: z.string(),
  exceptions: z.array(z.string()),
});

/** The record of a sign-off (format_version 1). */
export const SIGNOFF_SCHEMA = z.strictObject({
  format: z.literal("homeleg-signoff"),
  format_version: z.literal(1),
  tool_version: z.string(),
  as_of: z.iso.date(),
  trainee: z.string().nullable(),
  instructor: z.string().nullable(),
  remark: z.string().nullable(),
  passed: z.boolean(),
  requirements: z.array(requirement),
  totals: z.strictObject({ logs: count, flights: count, copies: count, minutes: number.min(0) }),
  sites: z.array(position.extend({ flights: count, minutes: number.min(0) })),
  logs: z.array(file.extend({ bytes: count, unread: z.string().nullable(), flights: z.array(flight) })),
  policy: z.strictObject({
    flights: number,
    minutes: number,
    score: number,
    coverage: share,
    must_be_clear: z.array(z.string()),
    within_s: seconds,
    sites: number,
    site_minutes: number,
  }),
  sets: z.array(z.string()),
  policy_file: z.string().nullable(),
  files: z.array(file),
  cautions: z.array(z.string()),
  digest: sha256,
});

/** Fails to compile when the schema and the type drift apart. */
export const SIGNOFF_MATCHES: Same<SignoffRecord, z.infer<typeof SIGNOFF_SCHEMA>> = true;
