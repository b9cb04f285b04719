import { median } from "../num/quantile.js";
import type { Track } from "./track.js";

/** A run of rows without a gap: [from, to). */
export interface Segment {
  readonly from: number;
  readonly to: number;
}

/** @returns the median time between rows, s; 0 for fewer than two rows */
export function medianStep_s(track: Track): number {
  const { time_s } = track.columns;
  if (track.length < 2) return 0;
  const steps_s = new Float64Array(track.length - 1);
  for (let i = 0; i < steps_s.length; i += 1) steps_s[i] = (time_s[i + 1] ?? 0) - (time_s[i] ?? 0);
  return median(steps_s);
}

/**
 * Cuts a track where nothing may be bridged: a break of the recording, or a gap longer than both the limit and three
 * median steps (a log sampled every ten seconds is slow, not full of gaps).
 * @param step_s the median step, where it is known already
 */
export function segmentsOf(track: Track, longestGap_s: number, step_s: number = medianStep_s(track)): Segment[] {
  if (track.length === 0) return [];
  const { time_s } = track.columns;
  const limit_s = Math.max(longestGap_s, 3 * step_s);
  const breaks = new Set(track.breaks);
  const segments: Segment[] = [];
  let from = 0;
  for (let i = 1; i < track.length; i += 1) {
    if (!breaks.has(i) && (time_s[i] ?? 0) - (time_s[i - 1] ?? 0) <= limit_s) continue;
    segments.push({ from, to: i });
    from = i;
  }
  segments.push({ from, to: track.length });
  return segments;
}
