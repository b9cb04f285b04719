import { UserError } from "./user-error.js";

/** When a rehearsal begins: elapsed from the log's first sample, or in UTC. */
export type MomentTime =
  { readonly kind: "elapsed"; readonly at_s: number } | { readonly kind: "utc"; readonly utc_s: number };

const SECONDS = /^\d+(\.\d+)?$/;
const CLOCK = /^(?:(\d+):)?(\d+):(\d{2}(?:\.\d+)?)$/;
const ISO = /^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2}(\.\d+)?)?(Z|[+-]\d{2}:?\d{2})$/i;

/**
 * @param text `412`, `6:52`, `0:06:52`, or ISO 8601 with its zone, `2026-05-17T14:16:36Z`
 * @throws UserError for anything else
 */
export function parseMomentTime(text: string): MomentTime {
  const trimmed = text.trim();
  if (SECONDS.test(trimmed)) return { kind: "elapsed", at_s: Number(trimmed) };
  const clock = CLOCK.exec(trimmed);
  if (clock !== null) {
    const [, hours = "0", minutes = "", seconds = ""] = clock;
    const hasHours = clock[1] !== undefined;
    if (Number(seconds) < 60 && (!hasHours || Number(minutes) < 60)) {
      return { kind: "elapsed", at_s: Number(hours) * 3600 + Number(minutes) * 60 + Number(seconds) };
    }
  }
  const utc_ms = ISO.test(trimmed) ? Date.parse(trimmed.replace(" ", "T")) : Number.NaN;
  if (!Number.isNaN(utc_ms)) return { kind: "utc", utc_s: utc_ms / 1000 };
  throw new UserError("time-wrong", `"${text}" is no time of a log.`, {
    hint: "Seconds or a clock from the log's first sample (412, 6:52, 0:06:52), or UTC (2026-05-17T14:16:36Z).",
  });
}
