import { distance_m } from "../num/geodesic.js";
import { firstGoodFix } from "../recovery/point.js";
import type { Replay } from "../recovery/replay.js";
import { type Conduct, conductRule } from "./rule.js";

/**
 * Whether the recovery point was fixed by take-off: it is stored when the fix first is good, wherever the aircraft then is.
 */
export const pointLate = conductRule({
  id: "point-late",
  question: "Was the recovery point fixed before take-off?",
  unit: "m",
  limits: { satellites: "fix.satellites_at_start", height_m: "height_before_point", distance_m: "adrift.thin" },
  judge(replay, limits, say): Conduct {
    const { flight, setting, track, moments, inputs } = replay;
    // A logged point says itself when it was stored. A declared one says where it was, not when: then the fix tells.
    const isTold = inputs.point.basis === "measured";
    const fix = isTold
      ? { isKnown: inputs.point.setRow !== undefined, row: inputs.point.setRow }
      : firstGoodFix(track, flight, setting.policy);
    const { takeoff } = flight;
    if (!fix.isKnown || takeoff === undefined)
      return { verdict: "unknown", lacks: [isTold ? "recovery-point" : "fix"] };
    if (fix.row === undefined) return { verdict: "thin", finding: neverGood(replay, limits.satellites) };
    if (fix.row <= flight.first) return { verdict: "clear" };
    const k = fix.row - flight.first;
    const height_m = inputs.heights.overTakeoff_m[k] ?? Number.NaN;
    const away_m = distance_m(
      takeoff.latitude_deg,
      takeoff.longitude_deg,
      moments.latitude_deg[k] ?? Number.NaN,
      moments.longitude_deg[k] ?? Number.NaN,
    );
    if (Number.isNaN(height_m)) return { verdict: "unknown", lacks: ["height"] };
    const tooHigh = height_m > limits.height_m;
    const tooFar = away_m > limits.distance_m;
    const at_s = moments.at_s[k] ?? Number.NaN;
    return {
      verdict: tooHigh || tooFar ? "fail" : "thin",
      finding: {
        first: flight.first,
        last: fix.row,
        at: fix.row,
        // The height is shown where both are over their limits: it is the longer way to fall.
        value: tooFar && !tooHigh ? away_m : height_m,
        limit: tooFar && !tooHigh ? limits.distance_m : limits.height_m,
        message:
          `The fix first was good enough to store a recovery point at ${say.time(at_s)}, ` +
          `${say.length(height_m)} up and ${say.length(away_m)} from take-off: a recovery flies there, and before it nowhere.`,
        advice: `Wait on the ground for ${limits.satellites} satellites, and check where the recovery point is before you go.`,
        evidence: { fixed_at_s: at_s, height_m, from_takeoff_m: away_m },
      },
    };
  },
  bases: () => ["measured"],
});

function neverGood({ flight, track, moments }: Replay, wanted: number): NonNullable<Conduct["finding"]> {
  const { satellites } = track.columns;
  const most = satellites?.subarray(0, flight.last + 1).reduce((top, value) => (value > top ? value : top), 0);
  const seen = most === undefined ? "" : ` (at most ${most} satellites)`;
  const height_m = moments.height_m.reduce((top, value) => (value > top ? value : top), 0);
  return {
    first: flight.first,
    last: flight.last,
    at: flight.first,
    value: most ?? Number.NaN,
    limit: wanted,
    unit: "1",
    message: `The fix never was as good as a recovery point wants${seen}; whether one was stored, and where, is not certain.`,
    advice: `Wait on the ground for ${wanted} satellites before take-off.`,
    evidence: { most_satellites: most ?? null, highest_m: height_m },
  };
}
