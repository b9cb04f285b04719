import { radians } from "../num/bearing.js";
import { deriveCourse_deg, type Motion } from "../track/motion.js";
import type { Segment } from "../track/segments.js";
import type { Track } from "../track/track.js";

/** Slower than this has no course that means anything. */
const STANDING_MS = 0.1;

/** Velocity over the ground at a flight's rows (index 0 is its first), m/s; NaN where speed or course is not known. */
export interface GroundVelocity {
  readonly north_ms: Float64Array;
  readonly east_ms: Float64Array;
}

/** @returns ground speed along the logged course, else along that of the positions; standing still is 0 on any course */
export function groundVelocity(
  track: Track,
  flight: { readonly first: number; readonly last: number; readonly segments: readonly Segment[] },
  motion: Motion,
): GroundVelocity {
  const course_deg = track.columns.course_deg ?? deriveCourse_deg(track, flight.segments);
  const north_ms = new Float64Array(flight.last - flight.first + 1);
  const east_ms = new Float64Array(north_ms.length);
  for (let k = 0; k < north_ms.length; k += 1) {
    const i = flight.first + k;
    const speed_ms = motion.groundSpeed_ms[i] ?? Number.NaN;
    const angle = speed_ms < STANDING_MS ? 0 : radians(course_deg[i] ?? Number.NaN);
    const held_ms = speed_ms < STANDING_MS ? 0 : speed_ms;
    north_ms[k] = held_ms * Math.cos(angle);
    east_ms[k] = held_ms * Math.sin(angle);
  }
  return { north_ms, east_ms };
}
